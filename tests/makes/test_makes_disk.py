"""The disk fails in the middle of a make: one sentence, nothing lost, nothing shown that is not written, a way on."""

from __future__ import annotations

import sqlite3

import pytest
from sqlalchemy import event
from walking import walk

from benchapp import events as ev
from benchapp.make.inputs import Hold
from benchapp.record.verifying import verify
from benchapp.runtime.session_start import plan_of, reopen


class Disk:
    """Makes a real SQLite file refuse as a real disk would: with SQLite's own error, at its own place."""

    def __init__(self, journal):
        self.full = False
        event.listen(journal.store.engine, "begin", self._limit)

    def _limit(self, connection):
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        connection.exec_driver_sql(f"PRAGMA max_page_count={pages if self.full else 1073741823}")


@pytest.fixture
def pouring(make_rehearsal, lotion):
    """The water is being poured."""
    rehearsal = make_rehearsal(lotion)
    walk(
        rehearsal,
        lambda m: (
            "pour purified-water" in m.prompt and m.act_view.live and (m.act_view.live[0].value or 0) > 10
        ),
    )
    return rehearsal


def test_a_full_disk_stops_the_make_in_one_sentence_and_it_goes_on_when_there_is_room(pouring, journal):
    disk = Disk(journal)
    disk.full = True
    before = journal.events("b1")
    view = walk(pouring, lambda m: m.trouble is not None)
    assert view.trouble.kind == "unwritten"
    assert "The disk is full; make room." in view.trouble.text
    assert view.act_view.choices == ()
    for _ in range(100):
        pouring.step()
    kept = journal.events("b1")
    assert kept[: len(before)] == before
    assert pouring.session.make.state.count == len(kept), "nothing counts that is not written"
    disk.full = False
    walk(pouring, lambda m: m.trouble is None)
    walk(pouring, lambda m: m.step_key == "03-weigh")
    (water,) = [
        e for e in journal.events("b1") if isinstance(e, ev.WeightTaken) and e.line == "purified-water"
    ]
    assert water.low_g <= water.net_g <= water.high_g
    assert verify(journal).sound


def test_a_press_while_nothing_can_be_written_changes_nothing_and_is_not_lost_for_good(pouring, journal):
    view = pouring.session.view()
    disk = Disk(journal)
    disk.full = True
    # So much that no room left in the last page can take it.
    pouring.session.put(Hold(pouring.session.clock(), "called away " * 2000))
    assert pouring.session.view().trouble.kind == "unwritten"
    assert not [e for e in journal.events("b1") if isinstance(e, ev.MakeHeld)]
    disk.full = False
    pouring.session.put(Hold(pouring.session.clock(), "called away"))
    assert pouring.session.view().trouble.kind == "held"
    assert view.trouble is None


def test_another_program_that_holds_the_file_is_named_and_waited_for(pouring, journal):
    event.listen(journal.store.engine, "begin", lambda c: c.exec_driver_sql("PRAGMA busy_timeout=20"))
    other = sqlite3.connect(journal.path, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    pouring.session.put(Hold(pouring.session.clock(), "called away"))
    assert "Another program holds it; close that one." in pouring.session.view().trouble.text
    other.execute("ROLLBACK")
    other.close()
    walk(pouring, lambda m: m.trouble is None)


def test_after_a_power_cut_on_a_full_disk_the_make_stands_where_the_journal_ends(pouring, journal):
    disk = Disk(journal)
    disk.full = True
    walk(pouring, lambda m: m.trouble is not None)
    disk.full = False
    stored = journal.stored("b1")
    base = stored[-1].event.at_s
    again = reopen(journal, stored, 0.0, lambda: base)
    assert plan_of(stored[0].event).batch_g == again.make.plan.batch_g
    assert again.make.state.step == pouring.session.make.state.step
    assert again.make.state.weighed_g == pouring.session.make.state.weighed_g


def test_a_journal_that_is_moved_away_is_missed_at_once_and_used_again_when_it_is_back(pouring, journal):
    away = journal.path.with_name("elsewhere.sqlite")
    count = len(journal.events("b1"))
    journal.path.rename(away)
    pouring.session.put(Hold(pouring.session.clock(), "called away"))
    assert "was moved, deleted or replaced" in pouring.session.view().trouble.text
    away.rename(journal.path)
    assert len(journal.events("b1")) == count
    walk(pouring, lambda m: m.trouble is None)
    assert len(journal.events("b1")) > count
