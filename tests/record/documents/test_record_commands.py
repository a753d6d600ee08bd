"""record, compare, approve-label and label, as typed."""

from __future__ import annotations

import csv
import io
import json

import jsonschema
import pytest
from invented_batch import BATCH, events
from paper import text_of

from benchapp import events as ev
from benchapp.cli import main
from benchapp.foundation.language import ENGLISH, speak
from benchapp.record.batch_code import batch_code
from benchapp.record.comparison import Pair, compare
from benchapp.record.documents.as_json import schema
from benchapp.record.drawing_up import record_of
from benchapp.record.journal import Journal

WALL = "2026-03-02T11:30:00.000+01:00"


@pytest.fixture
def folder(tmp_path):
    """A journal with the invented batch, a later one with more water lost, and a rehearsal."""
    place = tmp_path / "data"
    journal = Journal(place, lambda: WALL)
    journal.append(BATCH, events())
    journal.append("second", [_second(e) for e in events(batch="second")])
    journal.append("practice", events(rehearsal=True, batch="practice"))
    journal.close()
    return place


def _second(event: ev.Event) -> ev.Event:
    if isinstance(event, ev.WaterLost):
        return ev.WaterLost(at_s=event.at_s, step=event.step, vessel=event.vessel, lost_g=20.2, lines=event.lines, source=event.source)  # fmt: skip
    return event


def run(folder, *words):
    return main([*words, "--data", str(folder)])


def test_the_record_as_json_follows_the_schema(folder, capfdbinary):
    assert run(folder, "record", BATCH, "--as", "json") == 0
    found = json.loads(capfdbinary.readouterr().out)
    jsonschema.Draft202012Validator(schema()).validate(found)
    assert found["chain_head"] != found["head"]


def test_the_code_on_a_container_finds_its_batch(folder, capfdbinary):
    assert run(folder, "record", batch_code(BATCH), "--as", "csv") == 0
    rows = list(csv.reader(io.StringIO(capfdbinary.readouterr().out.decode("utf-8-sig"), newline="")))
    assert rows[1][5] == BATCH


def test_the_record_on_screen_calls_things_by_their_names(folder, capsys):
    assert run(folder, "record", BATCH) == 0
    out = capsys.readouterr().out
    assert "Sunflower oil" in out
    assert "LT-sunflowe" in out
    assert "not found again" in out


def test_the_record_on_paper_and_never_over_another_file(folder, tmp_path, capsys):
    file = tmp_path / "record.pdf"
    assert run(folder, "record", BATCH, "--as", "pdf", "--out", str(file), "--paper", "letter") == 0
    assert BATCH in text_of(file.read_bytes())[0]
    before = file.read_bytes()
    assert run(folder, "record", BATCH, "--as", "pdf", "--out", str(file)) == 3
    assert "is there already" in capsys.readouterr().err
    assert file.read_bytes() == before


def test_a_file_that_cannot_be_written_is_one_sentence(folder, tmp_path, capsys):
    assert run(folder, "record", BATCH, "--as", "pdf", "--out", str(tmp_path / "none" / "x.pdf")) == 3
    assert capsys.readouterr().err.count("\n") == 1


def test_two_batches_side_by_side(folder, capsys):
    assert run(folder, "compare", BATCH, "second") == 0
    (line,) = [x for x in capsys.readouterr().out.splitlines() if "water lost" in x]
    assert "14.2 g" in line
    assert "20.2 g" in line
    assert "+6 g" in line


def test_a_comparison_names_every_ingredient_once(folder):
    journal = Journal(folder, lambda: WALL)
    one, other = (record_of(journal.stored(b)) for b in (BATCH, "second"))
    journal.close()
    shares = [p for p in compare(one, other) if p.group == "weighed"]
    assert len({p.what for p in shares}) == len(shares) == len(one.grams)
    assert sum(p.first for p in shares) == pytest.approx(100)
    water = next(p for p in shares if p.what == "purified-water")
    assert water.difference < 0  # the second lost 6 g more, and had no more given back
    assert all(p.second > p.first for p in shares if p is not water)
    assert Pair("", "", "%", 87.0351, 86.984).difference == -0.06, "87.04 and 86.98, as they are shown"


# --- labels --------------------------------------------------------------------------------------------


@pytest.fixture
def approved(folder, tmp_path, capsys):
    """A draft, filled in and approved."""
    draft = tmp_path / "label.json"
    assert run(folder, "approve-label", "oat-hand-lotion", "--draft", str(draft)) == 0
    assert "ask its supplier" in capsys.readouterr().out
    text = json.loads(draft.read_text())
    text |= {"durability_months": 24, "responsible": ["Low Tide Bench (invented)"]}
    draft.write_text(json.dumps(text))
    assert run(folder, "approve-label", "oat-hand-lotion", "--text", str(draft), "--by", "Ines Varga") == 0
    capsys.readouterr()
    return draft


def test_a_draft_is_not_yet_a_label(folder, tmp_path, capsys):
    draft = tmp_path / "label.json"
    run(folder, "approve-label", "oat-hand-lotion", "--draft", str(draft))
    assert run(folder, "approve-label", "oat-hand-lotion", "--text", str(draft), "--by", "Ines Varga") == 3
    assert "lacks its durability months" in capsys.readouterr().err


def test_labels_are_printed_for_what_was_filled_and_written_down(folder, approved, tmp_path, capsys):
    file = tmp_path / "labels.pdf"
    assert run(folder, "label", BATCH, "--out", str(file), "--by", "Mara Lind") == 0
    assert len(text_of(file.read_bytes())) == 4
    journal = Journal(folder, lambda: WALL)
    printed = [s.event for s in journal.stored(BATCH) if isinstance(s.event, ev.LabelsPrinted)]
    assert [(e.pieces, e.by, len(e.approved)) for e in printed] == [(4, "Mara Lind", 64)]
    journal.close()


def killed(*_):
    raise KeyboardInterrupt


@pytest.mark.parametrize("at", ["benchapp.service.labels.Labels.printed", "pathlib.Path.replace"])
def test_labels_whose_printing_is_stopped_are_none_that_nobody_counted(
    folder, approved, tmp_path, monkeypatch, at
):
    file = tmp_path / "labels.pdf"
    with monkeypatch.context() as m:
        m.setattr(at, killed)
        run(folder, "label", BATCH, "--out", str(file), "--by", "Mara Lind")
    journal = Journal(folder, lambda: WALL)
    counted = any(isinstance(s.event, ev.LabelsPrinted) for s in journal.stored(BATCH))
    journal.close()
    assert (counted, file.exists()) == (at == "pathlib.Path.replace", False)


def test_a_batch_that_is_not_what_its_label_says_gets_none(folder, approved, tmp_path, capsys):
    text = json.loads(approved.read_text())
    names = text["ingredients"]
    text["ingredients"] = [names[0], names[2], names[1], *names[3:]]
    approved.write_text(json.dumps(text))
    assert run(folder, "approve-label", "oat-hand-lotion", "--text", str(approved), "--by", "Ines Varga") == 3
    assert "is now more than Glycerin" in capsys.readouterr().err


def test_a_changed_batch_is_out_of_specification_and_blocks_its_release(folder, approved, tmp_path, capsys):
    journal = Journal(folder, lambda: WALL)
    extra = ev.WeightTaken(
        at_s=10_000, step="02-weigh", act="x", line="glycerin", vessel="water-pot", target_g=60, low_g=59, high_g=61,
        net_g=60.0, gross_g=None, source=ev.Source.MEASURED, device="bench scale", checked=True,
    )  # fmt: skip
    journal.append("third", [*events(batch="third")[:-1], extra, events()[-1]])
    journal.close()
    file = tmp_path / "labels.pdf"
    assert run(folder, "label", "third", "--out", str(file), "--by", "Mara Lind") == 3
    assert "Glycerin" in capsys.readouterr().out
    assert not file.exists()
    assert run(folder, "release", "third") == 3
    assert "Glycerin" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("label", "practice", "--out", "x.pdf", "--by", "M"), "A rehearsal makes no product"),
        (("label", BATCH, "--out", "x.pdf", "--by", "M", "--containers", "3-9"), "Containers 1 to 4 were filled"),
        (("label", BATCH, "--out", "x.pdf", "--by", "M", "--size", "20x20"), "larger label"),
        (("label", BATCH, "--out", "x.pdf"), "Say who you are"),
        (("label", "nothing"), "There is no batch"),
    ],
)  # fmt: skip
def test_what_cannot_be_labelled_is_said_in_one_sentence(
    folder, approved, tmp_path, capsys, words, sentence, monkeypatch
):
    monkeypatch.chdir(tmp_path)
    assert run(folder, *words) == 3
    assert sentence in capsys.readouterr().err
    assert not (tmp_path / "x.pdf").exists()


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("For external\u202e use only.", "U+202E"),
        ("For external use\nonly.", "U+000A"),
        ("For external use only \U0001f9f4", "U+1F9F4"),
        ("x" * 5000, "has 5000 letters; a label has room for 1000"),
    ],
)
def test_what_no_label_can_print_is_not_approved(folder, approved, capsys, text, sentence):
    """It was approved, and refused only when the labels were printed."""
    filled_in = json.loads(approved.read_text()) | {"cautions": [text]}
    approved.write_text(json.dumps(filled_in))
    assert run(folder, "approve-label", "oat-hand-lotion", "--text", str(approved), "--by", "Ines Varga") == 3
    assert sentence in capsys.readouterr().err


def test_no_size_at_all_costs_no_answer(folder, capsys):
    assert run(folder, "cost", BATCH, "--batch-size", "0 g") == 3
    assert '"0 g" is nothing' in capsys.readouterr().err


def test_only_a_releaser_approves_a_label_once_people_are_enrolled(folder, approved, capsys, monkeypatch):
    for room in ("labelling", "people"):
        monkeypatch.setattr(f"benchapp.commands.{room}.ask_secret", lambda _: "246810")
    assert run(folder, "person", "enrol", "Ines Varga", "--role", "releaser") == 0
    assert run(folder, "approve-label", "oat-hand-lotion", "--text", str(approved), "--by", "Mara Lind") == 3
    assert "Mara Lind" in capsys.readouterr().err
    assert run(folder, "approve-label", "oat-hand-lotion", "--text", str(approved), "--by", "Ines Varga") == 0


def test_without_an_approved_label_nothing_is_printed(folder, capsys):
    assert run(folder, "label", BATCH) == 3
    assert "Begin with: benchapp approve-label oat-hand-lotion" in capsys.readouterr().err


@pytest.mark.parametrize("words", [("label", BATCH), ("record", "nothing")])
def test_what_stands_in_the_way_is_said_in_the_readers_language_and_not_in_the_records(folder, capsys, words):
    said = {}
    try:
        for faces, record in (("de", "fr"), ("de", "de"), ("fr", "fr")):
            assert run(folder, "language", faces, "--record", record) == 0
            capsys.readouterr()
            assert run(folder, *words) == 3
            said[faces, record] = capsys.readouterr().err
    finally:
        speak(ENGLISH)
    assert said["de", "fr"] == said["de", "de"] != said["fr", "fr"]
