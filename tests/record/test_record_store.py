"""What the database under the journal has to do, and what is SQLite's own: migration, backup, damage."""

from __future__ import annotations

import os
import sqlite3
import threading
from pathlib import Path

import pytest
from sqlalchemy.dialects import postgresql
from sqlalchemy.exc import DatabaseError
from sqlalchemy.schema import CreateTable
from workshop_days import FINISHED, Wall, a_month, delivery, made, started

from benchapp import events as ev
from benchapp import record
from benchapp.record import stock
from benchapp.record.chain import GENESIS, link, text_of
from benchapp.record.errors import JournalDamaged, JournalUnavailable
from benchapp.record.journal import Journal
from benchapp.record.journal_schema import free_name
from benchapp.record.projections import PROJECTED, rebuild, stem_of
from benchapp.record.tables import CHAIN, INDEXES
from benchapp.record.verifying import verify
from benchapp.record.workshop import Workshop

WALL = "2026-03-01T09:00:00.000+01:00"


@pytest.fixture
def on_store(tmp_path):
    """Opens journals on one file."""
    opened = []

    def opener(wall=lambda: WALL):
        opened.append(Journal(tmp_path, wall))
        return opened[-1]

    yield opener
    for journal in opened:
        journal.close()


def rows_of(journal):
    with journal.reading() as c:
        return {t.name: sorted(map(tuple, c.execute(t.select()))) for t in INDEXES.sorted_tables}


# --- the contract ------------------------------------------------------------------------------------------


def test_what_is_written_is_there_for_the_next_who_opens_it(on_store):
    a_month(on_store())
    again = on_store()
    assert [b.batch for b in again.batches(2)] == ["20260304-oat-hand-lotion-1", "20260303-oat-hand-lotion-1"]
    assert verify(again).sound


def test_the_indexes_are_the_same_when_rebuilt_from_the_chain(on_store):
    journal = on_store()
    a_month(journal)
    before = rows_of(journal)
    with journal.writing() as c:
        rebuild(c, c)
    assert rows_of(journal) == before
    assert all(before.values()) or not before["correction_index"]


def test_indexes_and_chain_are_written_together_or_not_at_all(on_store, mocker):
    journal = on_store()
    a_month(journal)
    before, head = rows_of(journal), journal.head()
    mocker.patch("benchapp.record.journal.Projector.take", side_effect=ZeroDivisionError)
    with pytest.raises(ZeroDivisionError):
        journal.append("b9", [started("b9")])
    assert (rows_of(journal), journal.head()) == (before, head)


def test_two_who_write_at_once_share_one_chain(on_store):
    """Forty appends from four connections: read-then-insert must not fork the chain."""
    journals = [on_store() for _ in range(4)]

    def write(number):
        for k in range(10):
            journals[number].append(f"b{number}", [ev.Watched(at_s=float(k), step="s")])

    threads = [threading.Thread(target=write, args=(n,)) for n in range(4)]
    for t in threads:
        t.start()
    for t in threads:
        t.join(30)
    found = verify(journals[0])
    assert (found.events, found.sound) == (40, True)


def test_only_kinds_that_change_an_index_are_projected_and_all_are_known():
    assert set(PROJECTED) <= set(ev.KINDS)


def test_batches_wait_until_somebody_decides_for_good(on_store):
    journal = on_store()
    for name in ("b-1", "b-2", "b-3"):
        made(journal, name, {})
    made(journal, "r-1", {}, rehearsal=True)

    def decide(batch, decision):
        event = ev.BatchDecided(at_s=4.0, decision=decision, reason="", by="M", role="releaser")
        journal.append(batch, [event])

    decide("b-1", "released")
    decide("b-2", "rework")
    assert [(b.batch, b.decision) for b in journal.waiting()] == [("b-3", ""), ("b-2", "rework")]
    decide("b-2", "rejected")
    assert [b.batch for b in journal.waiting()] == ["b-3"]
    journal.append("b-4", [started("b-4")])
    assert [b.batch for b in journal.unfinished()] == ["b-4"]


def test_batch_names_go_on_from_the_highest(on_store):
    journal = on_store()
    assert journal.new_batch("20260301", "lotion") == "20260301-lotion-1"
    journal.append("20260301-lotion-7", [started("20260301-lotion-7")])
    journal.append("20260301-lotion-extra-9", [started("20260301-lotion-extra-9")])
    assert journal.new_batch("20260301", "lotion") == "20260301-lotion-8"
    assert journal.new_batch("20260302", "lotion") == "20260302-lotion-1"


@pytest.mark.parametrize(("batch", "parts"), [("a-b-12", ("a-b", 12)), ("b1", ("b1", 0)), ("a-", ("a-", 0))])
def test_a_name_is_a_stem_and_a_number(batch, parts):
    assert stem_of(batch) == parts


def test_what_is_particular_to_sqlite_stands_in_one_file():
    """Its words nowhere else in the room; and the tables can be made by another engine."""
    words = ("sqlite3", "PRAGMA", "exec_driver_sql", "sqlite_master", "ON CONFLICT", "dialects.sqlite")
    room = Path(record.__file__).parent
    found = {f.name for f in room.rglob("*.py") if any(w in f.read_text(encoding="utf-8") for w in words)}
    assert found == {"sqlite.py"}
    for table in (*CHAIN.sorted_tables, *INDEXES.sorted_tables):
        made = str(CreateTable(table).compile(dialect=postgresql.dialect()))
        assert made.strip().startswith(f"CREATE TABLE {table.name}")


# --- migration ---------------------------------------------------------------------------------------------

SCHEMA_1 = """
CREATE TABLE event (seq INTEGER NOT NULL, batch VARCHAR NOT NULL, n INTEGER NOT NULL, kind VARCHAR NOT NULL,
  text TEXT NOT NULL, prev VARCHAR(64) NOT NULL, hash VARCHAR(64) NOT NULL, PRIMARY KEY (seq), UNIQUE (hash));
CREATE UNIQUE INDEX event_batch ON event (batch, n);
CREATE INDEX event_kind ON event (kind, seq);
CREATE TABLE schema (version INTEGER NOT NULL, PRIMARY KEY (version));
INSERT INTO schema VALUES (1);
CREATE TRIGGER IF NOT EXISTS event_no_update BEFORE UPDATE ON event
BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
"""


@pytest.fixture
def old_file(tmp_path):
    """A file of schema 1, as the first version of the program made it: two batches, one of them finished."""
    raw = sqlite3.connect(tmp_path / "journal.sqlite")
    raw.executescript(SCHEMA_1)
    prev = GENESIS
    events = [("b-1", 1, started("b-1")), ("b-2", 1, started("b-2")), ("b-1", 2, FINISHED)]
    for seq, (batch, n, event) in enumerate(events, 1):
        text = text_of(batch, n, WALL, event)
        row = (seq, batch, n, type(event).__name__, text, prev, link(prev, text))
        raw.execute("INSERT INTO event VALUES (?, ?, ?, ?, ?, ?, ?)", row)
        prev = link(prev, text)
    raw.commit()
    raw.close()
    return tmp_path / "journal.sqlite", prev


def test_an_older_file_is_brought_up_to_date_and_kept_beside_the_new_one(old_file):
    path, head = old_file
    journal = Journal(path.parent, lambda: WALL)
    assert [(b.batch, b.end) for b in journal.batches()] == [("b-2", ""), ("b-1", "finished")]
    assert verify(journal, head=head).head_at.n == 2, "the chain is the old one, to the letter"
    assert verify(journal).indexes == ()
    journal.append("b-2", [FINISHED])
    journal.close()
    kept = sqlite3.connect(path.parent / "journal.schema-1.sqlite")
    assert kept.execute("SELECT version FROM schema").fetchall() == [(1,)]
    assert kept.execute("SELECT COUNT(*) FROM event").fetchall() == [(3,)]
    kept.close()


def test_a_power_cut_in_the_middle_of_it_leaves_the_old_file(old_file, mocker):
    path, _ = old_file
    mocker.patch("benchapp.record.journal_schema.rebuild", side_effect=KeyboardInterrupt)
    with pytest.raises(KeyboardInterrupt):
        Journal(path.parent, lambda: WALL)
    mocker.stopall()
    journal = Journal(path.parent, lambda: WALL)
    assert len(journal.batches()) == 2
    journal.close()
    assert (path.parent / "journal.schema-1-2.sqlite").exists(), "the first copy is not written over"


def test_a_copy_never_takes_a_name_that_is_taken(tmp_path):
    assert free_name(tmp_path / "a.sqlite").name == "a.sqlite"
    (tmp_path / "a.sqlite").touch()
    (tmp_path / "a-2.sqlite").touch()
    assert free_name(tmp_path / "a.sqlite").name == "a-3.sqlite"


# --- backup and damage -------------------------------------------------------------------------------------


def test_a_backup_taken_while_somebody_writes_opens_and_is_sound(tmp_path):
    journal = Journal(tmp_path / "bench", lambda: WALL)
    a_month(journal)
    writer = Journal(tmp_path / "bench", lambda: WALL)
    going, stop = threading.Event(), threading.Event()

    def write():
        k = 0
        while not stop.is_set() and k < 2000:
            writer.append("busy", [ev.Watched(at_s=float(k), step="s")])
            k += 1
            going.set()

    thread = threading.Thread(target=write)
    thread.start()
    assert going.wait(10)
    (tmp_path / "copy").mkdir()
    journal.store.backup(tmp_path / "copy" / "journal.sqlite")
    stop.set()
    thread.join(30)
    restored = Journal(tmp_path / "copy", lambda: WALL)
    found = verify(restored)
    assert (found.sound, found.indexes) == (True, ())
    assert verify(journal, head=restored.head()).head_at is not None, "the copy is the journal as it was"
    restored.append("after", [started("after")])
    assert verify(restored).sound
    assert not list((tmp_path / "copy").glob("*.unfinished"))
    for one in (restored, writer, journal):
        one.close()


def test_a_backup_that_cannot_be_written_is_one_sentence(journal, tmp_path):
    with pytest.raises(JournalUnavailable, match=r"The backup .* cannot be written"):
        journal.store.backup(tmp_path / "no such folder" / "copy.sqlite")


def test_a_torn_page_is_said_to_be_damage(tmp_path):
    journal = Journal(tmp_path, lambda: WALL)
    for n in range(1, 60):
        made(journal, f"lotion-{n}", {"water": ("w-1", 10.0)})
    with journal.store.engine.connect() as c:
        c.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    journal.close()
    size = (tmp_path / "journal.sqlite").stat().st_size
    with (tmp_path / "journal.sqlite").open("r+b") as file:
        file.seek(4096 * 8)
        file.write(b"\xff" * (size // 2 // 4096 * 4096))
    assert "malformed" in damage_said(tmp_path)


def damage_said(folder):
    """What opening or verifying says of a damaged file; opening may find it first."""
    try:
        journal = Journal(folder, lambda: WALL)
    except JournalDamaged as error:
        return str(error)
    try:
        return verify(journal).pages
    except JournalDamaged as error:
        return str(error)
    finally:
        journal.close()


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_may_only_be_read_is_one_sentence(tmp_path):
    Journal(tmp_path, lambda: WALL).close()
    for path in (*tmp_path.iterdir(), tmp_path):
        path.chmod(0o500 if path.is_dir() else 0o400)
    with pytest.raises(JournalUnavailable, match=r"who may write there|may write in it"):
        Journal(tmp_path, lambda: WALL).append("b1", [started("b1")])
    tmp_path.chmod(0o700)


def test_a_full_disk_is_one_sentence_and_nothing_is_half_written(tmp_path):
    """A limit on the file's pages stands for the disk's."""
    journal = Journal(tmp_path, lambda: WALL)
    journal.append("b1", [started("b1")])
    fill = "INSERT INTO lot_use SELECT hex(randomblob(200000)), 'l', 'x', '', 'g', 0, 0, 0"
    with journal.store.engine.connect() as c:
        c.exec_driver_sql("PRAGMA max_page_count = 40")
        with pytest.raises(DatabaseError) as full:
            c.exec_driver_sql(fill)
    why = journal.store.why(full.value)
    assert isinstance(why, JournalUnavailable)
    assert "The disk is full; make room." in str(why)
    journal.close()


def test_a_book_of_lots_is_read_from_a_journal_that_knows_none(on_store):
    assert Workshop(on_store()).lots().lots == {}
    assert Workshop(on_store(Wall())).people().signing() == ()
    stock.receive(Workshop(on_store()), delivery("oil-1"))
