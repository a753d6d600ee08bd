"""The first page, on paper and on screen: a person judges the batch from it, and corrections stand beside what they correct."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from invented_batch import after, events, record, stored_from
from paper import text_of

from benchapp import events as ev
from benchapp.record.documents.as_pdf import APPENDIX, as_pdf
from benchapp.record.documents.as_text import as_text
from benchapp.record.drawing_up import record_of
from benchapp.record.summary import summary
from benchapp.record.summary_afterwards import MOST_DEVIATIONS, verdict

#: What has to be on it, by name.
NAMED = (
    "Verdict", "Batch", "Procedure", "Made by", "Devices", "Line clearance", "Weighings", "Lots", "Packaging lots",
    "Corrections", "pH", "Yield", "Mass balance", "Containers", "Expiry", "Storage", "Retained samples", "Release checks",
    "Deviations", "Signed",
)  # fmt: skip
GUM = next(n for n, e in enumerate(events(), 1) if isinstance(e, ev.WeightTaken) and e.line == "xanthan-gum")
WRONG = ev.Corrected(
    at_s=11_000, n=GUM, field="net_g", old="1.5", new="0.5", reason="the wrong display", by="Mara Lind"
)


def lines(found):
    return {x.what: x for x in summary(found)}


def test_the_first_page_of_the_paper_has_everything_a_person_judges_by_and_nothing_else_does():
    pages = text_of(as_pdf(record(*after(), WRONG)))
    for name in NAMED:
        assert re.search(rf"^\s*{name}\s", pages[0], re.MULTILINE), name
    assert "released by Ines Varga" in pages[0]
    assert "bottle-100, lot LT-bottles: 5 (1 spoiled)" in pages[0]
    assert "1 in shelf 3 until 2028-09-30" in pages[0]
    assert "Devices and their checks" not in pages[0]
    assert "Devices and their checks" in pages[1]


def test_it_stays_one_page_with_many_deviations():
    many = [
        ev.DeviationNoted(
            at_s=9000 + n, number=n, grade=ev.Grade.MINOR, kind="late drop", step="", text="drop " * 100
        )
        for n in range(2, 40)
    ]
    found = record(*many)
    assert "Devices and their checks" in text_of(as_pdf(found))[1]
    assert f"and {39 - MOST_DEVIATIONS} more under Deviations" in [x.text for x in summary(found)]


def test_a_correction_is_legible_beneath_the_row_it_corrects():
    text = "\n".join(text_of(as_pdf(record(WRONG))))
    assert re.search(r"Xanthan gum\s+slurry beaker\s.*0\.50 g", text)
    fixed = r"^\s*Corrected, net weight: 1\.5 to 0\.5\. the wrong display \(Mara Lind, 2026-03-02"
    assert re.search(fixed, text, re.MULTILINE)
    screen = as_text(record(WRONG))
    at = next(n for n, line in enumerate(screen) if "Xanthan gum " in line and "0.5 g" in line)
    assert screen[at + 1].strip().startswith("^ corrected, net weight: 1.5 to 0.5. the wrong display")


def test_what_was_reached_stands_beside_each_weighing_and_who_weighed_it_on_what():
    text = "\n".join(text_of(as_pdf(record())))
    found = record()
    glycerin = found.reached_percent["glycerin"]
    assert glycerin == pytest.approx(100 * 20.06 / (sum(found.grams.values()) - 14.2))
    assert re.search(rf"Glycerin\s.*{glycerin:.2f} %\s+Mara Lind", text)
    for words in ("lot LT-glycerin, scanned", "measured, checked", "of 4 %"):
        assert words in text


def test_on_screen_what_a_line_came_to_stands_once_so_that_the_column_adds_up():
    found = record()
    again = [x.line for x in found.weighings]
    assert len(again) > len(set(again)), "water is weighed a second time where it steamed off"
    weighed = [x for x in as_text(found) if re.match(r"  \d\d:\d\d .* g ", x)]
    shares = [float(x) for line in weighed for x in re.findall(r"(\d+\.\d\d) %", line)]
    lines = dict.fromkeys(again)
    assert sum(shares) == pytest.approx(
        sum(found.reached_percent[key] for key in lines), abs=0.005 * len(lines)
    )


def test_a_second_person_stands_there_where_one_signed():
    step = next(e.step for e in events() if isinstance(e, ev.WeightTaken))
    seen = ev.Signed(at_s=10_000, step=step, who="Ines Varga", meaning="seen", role="maker", proof="pin")
    assert re.search(r"seen by\s+Ines\b|seen by Ines\b", "\n".join(text_of(as_pdf(record(seen)))))
    assert "seen by" not in "\n".join(text_of(as_pdf(record())))


def test_the_procedure_itself_is_an_appendix():
    pages = text_of(as_pdf(record(*after())))
    first = next(n for n, page in enumerate(pages) if APPENDIX in page)
    assert all(not re.search(r"^ *\d+ {2}\[\[step\]\]", page, re.MULTILINE) for page in pages[:first])


@pytest.mark.parametrize(
    ("more", "sentence", "alarm"),
    [
        ((), "finished, not decided; 1 deviation still open", True),
        (after(), "released by Ines Varga, 2026-03-03 11:35:00 +01:00", False),
        (
            (*after(), WRONG),
            "released by Ines Varga, 2026-03-03 11:35:00 +01:00; 1 deviation still open",
            True,
        ),
    ],
)
def test_the_verdict(more, sentence, alarm):
    found = verdict(record(*more))
    assert (found.text, found.alarm) == (sentence, alarm)


def test_a_batch_that_grew_to_keep_its_formula_is_held_against_what_it_became():
    """The percentage beside the planned grams would be another sum: 473 g of 600 g, not of 500 g."""
    plain = lines(record())["Yield"].text
    assert re.match(r"[\d.]+ g of 500 g planned, ", plain)
    grown = ev.TargetsRevised(
        at_s=9_000, step="02-weigh", why="too much glycerin", batch_g=600.0, additions=(), targets=()
    )
    found = lines(record(grown))["Yield"].text
    assert re.match(r"[\d.]+ g of 600 g, which 500 g planned became, ", found)


def test_one_reading_is_one():
    assert re.search(r"allowed\), \d+ readings$|allowed\), 1 reading$", lines(record())["pH"].text)
    assert "1 readings" not in lines(record())["pH"].text


def test_what_is_not_known_is_said_to_be_so():
    found = lines(record())
    assert (found["Expiry"].text, found["Storage"].text) == (
        "not stated: no label is approved",
        "the procedure does not say",
    )
    assert found["Retained samples"].text == "no retained sample asked for by the procedure"
    assert lines(replace(record(), keeps="best used before the end of 03/2028"))["Expiry"].text.endswith(
        "03/2028"
    )


def test_the_record_on_screen_fits_two_screens_and_draws_temperatures():
    found = record(*after())
    screen = as_text(found)
    assert len(screen) <= 80
    assert sum(len(c.points) for c in found.curves) > 200
    (oil,) = [line for line in screen if "oil pot" in line and "█" in line]
    assert re.search("21.0–71.8 °C [▁▂]", oil)
    assert len(oil) <= 80, "no terminal breaks the curve"
    short = [line for line in screen if len(line) <= 100]
    assert len(short) >= len(screen) - 4


def test_pieces_that_were_corrected_stand_as_they_are_now():
    said = [*events(), *after()]
    n = next(n for n, e in enumerate(said, 1) if isinstance(e, ev.PiecesUsed))
    fixed = ev.Corrected(
        at_s=200_000, n=n, field="pieces", old="5", new="6", reason="miscounted", by="Mara Lind"
    )
    found = record(*after(), fixed)
    assert lines(found)["Packaging lots"].text == "bottle-100, lot LT-bottles: 6 (1 spoiled)"
    assert found.pieces[0]["pieces"] == 5


@pytest.mark.parametrize(
    ("ended_at", "said"),
    [
        ("2026-03-01T10:20:00.000+01:00", "09:00 to 10:20"),
        ("2026-03-03T08:05:00.000+01:00", "09:00 to 2026-03-03 08:05"),
        ("2026-03-01T10:20:00.000+02:00", "09:00 to 2026-03-01 10:20 +02:00"),
    ],
    ids=["the same day", "another day", "another zone"],
)
def test_when_it_ended_is_said_with_the_day_where_that_is_another(ended_at, said):
    found = replace(record(), begun="2026-03-01T09:00:00.000+01:00", ended=ended_at)
    assert lines(found)["Made by"].text.endswith(said)


def test_what_stands_in_the_pots_of_a_make_that_was_given_up_is_not_called_lost():
    begun = [e for e in events() if not isinstance(e, ev.BottleFilled | ev.MakeFinished | ev.SampleTaken)]
    found = record_of(stored_from([*begun, ev.MakeAbandoned(at_s=9_000, reason="the mains failed")]))
    text = lines(found)["Mass balance"].text
    assert "g went in" in text
    assert "not found again" not in text
    assert not any("not found again" in page for page in text_of(as_pdf(found)))


def test_a_batch_that_was_worked_over_is_checked_anew():
    """What was found before says nothing of it as it is now: the release asks for it again, and so does the paper."""
    again = ev.BatchDecided(
        at_s=100_000, decision="rework", reason="too thin", by="Ines Varga", role="releaser"
    )
    before = [e for e in after() if isinstance(e, ev.CheckRecorded)]
    assert "pH after a day passed" in lines(record(*before))["Release checks"].text
    assert "pH after a day not done" in lines(record(*before, again))["Release checks"].text
    anew = replace(before[0], at_s=100_000 + 86_400)
    assert "pH after a day passed" in lines(record(*before, again, anew))["Release checks"].text
