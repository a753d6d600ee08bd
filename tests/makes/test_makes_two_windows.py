"""One batch open in two windows: the one that took it up last goes on, the other writes nothing more and says so."""

from __future__ import annotations

import pytest

from benchapp import events as ev
from benchapp.make.inputs import Press, Resumed
from benchapp.runtime.session_start import reopen


@pytest.fixture
def first(make_rehearsal, lotion):
    """A make whose bench is being got ready."""
    session = make_rehearsal(lotion).session
    session.put(Press(session.clock(), session.view().prompt, "understood"))
    return session


@pytest.fixture
def second(first, journal):
    """The same, taken up while the first window is still open."""
    return reopen(journal, journal.stored("b1"), 0.0, lambda: first.clock() + 5.0)


def test_the_first_window_writes_nothing_more_and_says_why(first, second, journal):
    before = journal.stored("b1")
    first.put(Press(first.clock(), first.view().prompt, "yes"))
    assert journal.stored("b1") == before
    view = first.view()
    assert view.act_view.instruction == "Stop. Nothing can be written down."
    assert view.act_view.note == "Batch b1 was taken up in another window and goes on there. Close this one."
    assert view.act_view.choices == ()


def test_the_second_goes_on_and_sleeps_and_wakes_as_ever(first, second, journal):
    second.put(Press(second.clock(), second.view().prompt, "yes"))
    second.put(Resumed(second.clock(), 60.0))
    second.put(Press(second.clock(), second.view().prompt, "yes"))
    said = [e for e in journal.events("b1") if isinstance(e, ev.Confirmed)]
    assert len(said) == 2
    assert second.unwritten == ""


def test_what_was_read_before_somebody_else_took_it_up_is_too_old(first, second, journal):
    read = [s for s in journal.stored("b1") if not isinstance(s.event, ev.MakeResumed)]
    third = reopen(journal, read, 0.0, first.clock)
    assert "another window" in third.unwritten
    assert sum(isinstance(e, ev.MakeResumed) for e in journal.events("b1")) == 1
