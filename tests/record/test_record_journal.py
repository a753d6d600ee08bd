"""The journal: on disk in order, chained, and refusing every way of being altered."""

from __future__ import annotations

import json
import sqlite3

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp import events as ev
from benchapp.record import chain, line_tables
from benchapp.record.chain import GENESIS, link, read, text_of
from benchapp.record.documents.as_csv import as_csv
from benchapp.record.documents.as_pdf import as_pdf
from benchapp.record.documents.as_text import as_text
from benchapp.record.errors import JournalDamaged, JournalTooNew, JournalUnavailable, NoSuchBatch
from benchapp.record.journal import Journal
from benchapp.record.verifying import verify
from benchapp.service.procedure_facts import record_in

STARTED = ev.MakeStarted(
    at_s=0.0, batch="b1", maker="Mara Lind", procedure="oat-hand-lotion", procedure_sha256="0" * 64,
    procedure_text="", batch_g=500.0, devices=(ev.DeviceFacts("big", "scale", ("mass",), 0.1, 3000.0),),
)  # fmt: skip
WEIGHT = ev.WeightTaken(
    at_s=12.5, step="02-weigh", act="pour water", line="water", vessel="pot", target_g=376.0, low_g=372.0,
    high_g=380.0, net_g=376.2, gross_g=790.1, source=ev.Source.MEASURED, device="big", checked=False,
)  # fmt: skip


def test_events_come_back_as_they_went_in(journal):
    journal.append("b1", [STARTED, WEIGHT])
    assert journal.events("b1") == [STARTED, WEIGHT]


@pytest.fixture
def parsed(monkeypatch):
    """The stored texts that were read, each time they were."""
    found, read = [], chain.from_json
    monkeypatch.setattr(chain, "from_json", lambda text: found.append(text) or read(text))
    return found


def test_an_event_is_parsed_once_on_its_way_to_paper(journal, parsed):
    journal.append("b1", [STARTED, WEIGHT])
    as_pdf(record_in(journal, "b1"))
    assert len(parsed) == len(set(parsed)) == 2


def test_what_the_record_does_not_show_is_not_even_read(journal, parsed):
    watched = [ev.Watched(at_s=20.0 + n, step="02-weigh") for n in range(50)]
    began = ev.ActBegan(at_s=70.0, step="02-weigh", act="pour water")
    journal.append("b1", [STARTED, *watched, began, WEIGHT])
    text = as_text(record_in(journal, "b1"))
    assert any("376.2 g" in line for line in text)
    assert [json.loads(x)["kind"] for x in parsed] == ["MakeStarted", "WeightTaken"]


def test_a_kind_that_is_not_known_here_is_said_even_where_the_record_has_no_use_for_it(journal, monkeypatch):
    journal.append("b1", [STARTED, ev.Watched(at_s=20.0, step="02-weigh"), WEIGHT])
    monkeypatch.delitem(ev.KINDS, "Watched")
    with pytest.raises(JournalTooNew, match="Watched"):
        record_in(journal, "b1")


def test_a_row_that_is_filed_as_what_its_text_is_not_is_damage(journal):
    journal.append("b1", [STARTED, WEIGHT])
    raw = sqlite3.connect(journal.path)
    raw.execute("DROP TRIGGER event_no_update")
    raw.execute("UPDATE event SET kind = 'Poured' WHERE n = 2")
    raw.commit()
    raw.close()
    with pytest.raises(JournalDamaged, match="filed as what it is not"):
        record_in(journal, "b1")


def test_temperatures_are_drawn_up_only_where_a_form_shows_each(journal, monkeypatch):
    logged = ev.TemperaturesLogged(
        at_s=20.0, step="02-weigh", source=ev.Source.MEASURED, temps_c=(("pot", 71.5),)
    )
    journal.append("b1", [STARTED, logged, WEIGHT])
    drawn, table = [], dict(line_tables.TEMPERATURE)
    make = table[ev.TemperaturesLogged]
    table[ev.TemperaturesLogged] = lambda w, s, e: drawn.append(s) or make(w, s, e)
    monkeypatch.setattr(line_tables, "TEMPERATURE", table)
    record = record_in(journal, "b1")
    assert any("71.5" in line for line in as_text(record))
    assert not drawn
    assert "71.5" in as_csv(record)
    assert len(drawn) == 1


@pytest.mark.parametrize("batch", [None, "b1"])
def test_an_event_is_parsed_once_where_it_is_verified(journal, parsed, batch):
    journal.append(
        "b1",
        [
            STARTED,
            ev.LotTaken(at_s=9.0, step="02-weigh", act="a", line="water", material="water", lot="", how=""),
            WEIGHT,
        ],
    )
    parsed.clear()
    assert verify(journal, batch).sound
    assert len(parsed) == len(set(parsed)) == 3


def test_another_opening_of_the_file_sees_them(journal, tmp_path):
    journal.append("b1", [STARTED, WEIGHT])
    again = Journal(tmp_path / "data", lambda: "later")
    assert again.events("b1") == [STARTED, WEIGHT]
    again.close()


def test_each_event_is_bound_to_the_one_before(journal):
    journal.append("b1", [STARTED])
    journal.append("b1", [WEIGHT])
    first, second = journal.stored("b1")
    assert first.hash == link(GENESIS, text_of("b1", 1, first.wall, STARTED))
    assert second.hash == link(first.hash, text_of("b1", 2, second.wall, WEIGHT))
    assert journal.head() == second.hash


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE event SET text = 'other' WHERE seq = 1",
        "DELETE FROM event WHERE seq = 2",
        "INSERT OR REPLACE INTO event VALUES (1, 'b1', 1, 'X', 'text', 'p', 'h')",
        "INSERT INTO event VALUES (9, 'b1', 9, 'X', 'text', 'p', 'h')",
        "INSERT INTO event SELECT 3, 'b1', 3, 'X', 'text', 'wrong', 'h'",
        "INSERT INTO event SELECT 3, 'b1', 3, 'X', 'text', hash, hash FROM event WHERE seq = 2",
        "INSERT INTO event VALUES (1, 'b1', 1, 'X', 't', 'p', 'h') ON CONFLICT(seq) DO UPDATE SET text = 't'",
    ],
    ids=["update", "delete", "replace", "gap", "fork", "hash used twice", "upsert"],
)
def test_the_file_itself_refuses_alteration(journal, statement):
    journal.append("b1", [STARTED, WEIGHT])
    raw = sqlite3.connect(journal.path)
    with pytest.raises(sqlite3.DatabaseError):
        raw.execute(statement)
    raw.close()
    assert journal.events("b1") == [STARTED, WEIGHT]


def test_a_batch_is_written_whole_or_not_at_all(journal):
    journal.append("b1", [STARTED])
    broken = ev.NumberTaken(
        at_s=1.0, step="s", act="a", what="density", value=float("nan"), unit="g/ml", source=ev.Source.STATED
    )
    with pytest.raises(ValueError, match="not JSON compliant"):
        journal.append("b1", [WEIGHT, broken])
    assert journal.events("b1") == [STARTED]


def test_a_folder_that_cannot_be_made_is_one_sentence(tmp_path):
    file = tmp_path / "file"
    file.write_text("")
    with pytest.raises(JournalUnavailable, match="Choose another with --data"):
        Journal(file / "data", lambda: "")


def test_a_file_that_is_no_journal_is_said_to_be_damaged(tmp_path):
    (tmp_path / "journal.sqlite").write_bytes(b"this is no database, and long enough not to look empty" * 40)
    with pytest.raises(JournalDamaged, match="Restore a backup"):
        Journal(tmp_path, lambda: "")


def test_a_newer_schema_is_left_alone(tmp_path):
    Journal(tmp_path, lambda: "").close()
    raw = sqlite3.connect(tmp_path / "journal.sqlite")
    raw.execute("UPDATE schema SET version = 99")
    raw.commit()
    raw.close()
    with pytest.raises(JournalTooNew, match="Update the program"):
        Journal(tmp_path, lambda: "")


def test_a_journal_locked_by_another_program_says_so(journal, mocker):
    mocker.patch("benchapp.record.sqlite.LOCK_WAIT_S", 0.05)
    quick = Journal(journal.path.parent, lambda: "")
    other = sqlite3.connect(journal.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(JournalUnavailable, match="Another program holds it"):
        quick.append("b1", [STARTED])
    other.execute("ROLLBACK")
    other.close()
    quick.close()


def test_an_unknown_batch_is_one_sentence(journal):
    with pytest.raises(NoSuchBatch, match="benchapp batches"):
        journal.events("nothing")


def test_batches_are_listed_newest_first_with_their_end(journal):
    journal.append("b1", [STARTED])
    journal.append("b2", [STARTED])
    journal.append("b1", [ev.MakeFinished(at_s=9.0, product_g=470.0, yield_percent=94.0)])
    newest, oldest = journal.batches()
    assert (newest.batch, newest.end) == ("b2", "")
    assert (oldest.batch, oldest.end, oldest.product_g) == ("b1", "finished", 470.0)


def test_batch_names_are_never_used_twice(journal):
    first = journal.new_batch("20260301", "lotion")
    journal.append(first, [STARTED])
    assert journal.new_batch("20260301", "lotion") != first


@given(st.text(max_size=40), st.floats(allow_nan=False, allow_infinity=False), st.booleans())
def test_any_text_and_number_survive_the_stored_form(text, value, checked):
    event = ev.WeightTaken(
        at_s=value, step=text, act=text, line=text, vessel=text, target_g=value, low_g=value, high_g=value,
        net_g=value, gross_g=None, source=ev.Source.STATED, device=text, checked=checked,
    )  # fmt: skip
    assert read(text_of(text, 1, "", event)) == ("", event)


def test_an_event_of_a_newer_version_is_not_guessed_at():
    text = text_of("b", 1, "", WEIGHT).replace("WeightTaken", "WeightDreamt")
    with pytest.raises(JournalTooNew):
        read(text)


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"kind": 1}', "nonsense"])
def test_a_row_that_is_no_event_is_damage(text):
    with pytest.raises(JournalDamaged):
        read(text)
