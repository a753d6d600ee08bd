"""Verifying: every way of altering the file is found and named; what is only an index is told apart."""

from __future__ import annotations

import sqlite3

import pytest
from workshop_days import a_month, sent

from benchapp.record.chain import link
from benchapp.record.errors import NoSuchBatch
from benchapp.record.journal import Journal
from benchapp.record.verifying import verify

WALL = "2026-03-01T09:00:00.000+01:00"
LOTION = "20260303-oat-hand-lotion-1"


@pytest.fixture
def month(journal):
    a_month(journal)
    return journal


def behind_its_back(journal, *statements):
    """Alter the file with the guards taken off and put back, as a clever owner would."""
    raw = sqlite3.connect(journal.path, isolation_level=None)
    guards = raw.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
    for name, _ in guards:
        raw.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        raw.execute(statement)
    for _, sql in guards:
        raw.execute(sql)
    raw.close()


def places(verified):
    return [(f.batch, f.n) for f in verified.findings]


def weighing(journal):
    """The place of the lotion's first weighing: its n and seq."""
    stored = journal.stored(LOTION)[2]
    return stored.n, stored.seq


def test_an_untouched_journal_is_sound_and_its_indexes_are_what_a_rebuild_gives(month):
    found = verify(month)
    assert found.sound
    assert found.indexes == ()
    assert found.events == sum(
        len(month.stored(b)) for b in ("workshop", *(x.batch for x in month.batches()))
    )
    assert found.head == month.head()


def test_each_batch_alone_is_sound(month):
    for line in month.batches():
        found = verify(month, line.batch)
        assert (found.sound, found.indexes) == (True, ())
        assert found.events == len(month.stored(line.batch))


def test_a_changed_text_is_named_by_batch_and_event(month):
    n, seq = weighing(month)
    behind_its_back(month, f"UPDATE event SET text = replace(text, '380', '360') WHERE seq = {seq}")
    assert places(verify(month)) == [(LOTION, n)]
    found = verify(month, LOTION)
    assert places(found) == [(LOTION, n)]
    assert found.findings[0].what == "its text is not what was written"


def test_a_changed_text_with_its_hash_made_to_fit_breaks_the_next_link(month):
    n, seq = weighing(month)
    raw = sqlite3.connect(month.path)
    prev, text = raw.execute("SELECT prev, text FROM event WHERE seq = ?", [seq]).fetchone()
    raw.close()
    changed = text.replace("380", "360")
    behind_its_back(
        month, f"UPDATE event SET text = '{changed}', hash = '{link(prev, changed)}' WHERE seq = {seq}"
    )
    assert places(verify(month)) == [(LOTION, n + 1)]
    assert (LOTION, n) in places(verify(month, LOTION))


def test_a_row_taken_out_is_named(month):
    n, seq = weighing(month)
    behind_its_back(month, f"DELETE FROM event WHERE seq = {seq}")
    found = verify(month)
    assert places(found)[0] == (LOTION, n + 1)
    assert f"event {seq} of the journal missing" in found.findings[0].what
    assert any(f"event {n} of batch {LOTION} missing" in f.what for f in verify(month, LOTION).findings)


def test_the_last_row_of_a_batch_taken_out_is_seen_from_the_batch(month):
    last = month.stored(LOTION)[-1]
    behind_its_back(month, f"DELETE FROM event WHERE seq = {last.seq}")
    found = verify(month, LOTION)
    assert places(found) == [(LOTION, last.n - 1)]
    assert not verify(month).sound


def test_two_rows_exchanged_are_named(month):
    n, seq = weighing(month)
    behind_its_back(
        month,
        f"UPDATE event SET seq = -1 WHERE seq = {seq}",
        f"UPDATE event SET seq = {seq} WHERE seq = {seq + 1}",
        f"UPDATE event SET seq = {seq + 1} WHERE seq = -1",
    )
    assert (LOTION, n) in places(verify(month))
    assert not verify(month, LOTION).sound


def test_a_row_put_in_between_is_named(month):
    n, seq = weighing(month)
    behind_its_back(
        month,
        f"UPDATE event SET seq = -seq - 1, n = CASE batch WHEN '{LOTION}' THEN -n - 1 ELSE n END "
        f"WHERE seq >= {seq}",
        f"INSERT INTO event SELECT {seq}, batch, {n}, kind, text, prev, "
        f"CASE substr(hash, 1, 1) WHEN 'f' THEN 'e' ELSE 'f' END || substr(hash, 2) FROM event "
        f"WHERE seq = {-seq - 1}",
        "UPDATE event SET seq = -seq, n = abs(n) WHERE seq < 0",
    )
    assert (LOTION, n) in places(verify(month))
    assert not verify(month, LOTION).sound


def test_a_row_filed_under_another_batch_is_named(month):
    _, seq = weighing(month)
    behind_its_back(month, f"UPDATE event SET batch = 'other', n = 1 WHERE seq = {seq}")
    assert any("its text says event" in f.what for f in verify(month).findings)


def test_the_end_cut_off_is_not_in_the_chain_but_the_head_on_paper_shows_it(month):
    head = month.head()
    last = month.stored("20260304-oat-hand-lotion-1")[-1]
    behind_its_back(month, f"DELETE FROM event WHERE seq = {last.seq}")
    assert verify(month).findings == ()
    found = verify(month, head=head)
    assert not found.sound
    assert found.head_at is None


def test_a_chain_made_anew_from_the_start_is_shown_by_a_head_alone(month, tmp_path):
    head = month.head()
    forged = Journal(tmp_path / "forged", lambda: WALL)
    for line in reversed(month.batches()):
        forged.append(line.batch, month.events(line.batch)[:-1])
    assert verify(forged).sound
    assert not verify(forged, head=head).sound
    forged.close()


def test_a_head_kept_elsewhere_is_found_where_it_stood(month):
    then = month.stored(LOTION)[-1]
    month.append(LOTION, [sent(4, 4)])
    found = verify(month, head=then.hash.upper() + " ")
    assert found.sound
    assert (found.head_at.batch, found.head_at.n, found.head_at.what) == (LOTION, then.n, then.wall)


def test_guards_taken_off_are_reported_and_put_back_and_stay_in_the_record(month):
    raw = sqlite3.connect(month.path)
    raw.execute("DROP TRIGGER event_no_update")
    raw.commit()
    assert verify(month).guards == ("event_no_update",)
    again = Journal(month.path.parent, lambda: WALL)
    found = verify(again)
    assert (found.guards, found.sound) == (("event_no_update",), False)
    with pytest.raises(sqlite3.DatabaseError, match="append-only"):
        raw.execute("UPDATE event SET text = '' WHERE seq = 1")
    raw.close()
    again.close()
    later = Journal(month.path.parent, lambda: WALL)
    assert verify(later).sound
    assert later.stored("workshop")[-1].event.guards == ("event_no_update",)
    later.close()


def test_a_guard_that_was_weakened_counts_as_missing(month):
    raw = sqlite3.connect(month.path)
    raw.execute("DROP TRIGGER event_no_delete")
    raw.execute("CREATE TRIGGER event_no_delete BEFORE DELETE ON event BEGIN SELECT 1; END")
    raw.commit()
    raw.close()
    assert verify(month).guards == ("event_no_delete",)


@pytest.mark.parametrize(
    ("statement", "table"),
    [
        ("UPDATE lot_index SET \"left\" = 5000 WHERE lot = 'oil-1'", "lot_index: lot oil-1"),
        ("DELETE FROM dispatch_index WHERE last = 3", "dispatch_index: batch"),
        (f"UPDATE batch_index SET decision = '' WHERE batch = '{LOTION}'", f"batch_index: batch {LOTION}"),
        (f"UPDATE lot_use SET lot = 'oil-2' WHERE batch = '{LOTION}' AND lot = 'water-9'", "lot_use: batch"),
    ],
)
def test_an_index_that_differs_from_the_chain_is_an_alarm(month, statement, table):
    raw = sqlite3.connect(month.path)
    raw.execute(statement)
    raw.commit()
    raw.close()
    found = verify(month)
    assert not found.sound
    assert found.findings == (), "the chain itself holds"
    assert any(line.startswith(table) for line in found.indexes)
    if "lot_index" not in statement:
        assert verify(month, LOTION).indexes


def test_an_unknown_batch_is_one_sentence(month):
    with pytest.raises(NoSuchBatch, match="benchapp batches"):
        verify(month, "nothing")
