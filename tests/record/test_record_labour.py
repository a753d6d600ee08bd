"""How long a make took, by what was going on in it."""

from __future__ import annotations

import pytest
from workshop_days import started

from benchapp import events as ev
from benchapp.record.facts import ProcedureFacts, StepFacts
from benchapp.record.labour import MakeTimes, times_of

FACTS = ProcedureFacts(
    steps={
        k: StepFacts(kind, "") for k, kind in (("1", "weigh"), ("2", "heat"), ("3", "fill"), ("4", "weigh"))
    }
)


def began(step, at_s):
    return ev.StepBegan(at_s=at_s, step=step)


def done(step, at_s):
    return ev.StepFinished(at_s=at_s, step=step)


MAKE = [started("b1"), began("1", 10.0), done("1", 110.0), began("2", 110.0), done("2", 710.0), began("3", 710.0),
        done("3", 1010.0), ev.MakeFinished(at_s=1020.0, product_g=480.0, yield_percent=96.0)]  # fmt: skip


@pytest.mark.parametrize(
    ("more", "times"),
    [
        ([], MakeTimes(420.0, 600.0, 0.0, 300.0)),
        # Weighed ahead for 200 s while it heated: that is work.
        ([ev.SteppedAside(at_s=200.0, step="2", act="heat", into="3", vessels=()), ev.SteppedBack(at_s=400.0, step="2", left="3", why="")],
         MakeTimes(620.0, 400.0, 0.0, 300.0)),
        # The same as a make writes it: the other step begins, and is done, in the midst of the heating.
        ([ev.SteppedAside(at_s=200.0, step="2", act="heat", into="4", vessels=()), began("4", 200.0), done("4", 400.0),
          ev.SteppedBack(at_s=400.0, step="2", left="4", why="done")], MakeTimes(620.0, 400.0, 0.0, 300.0)),
        # Held for 60 s of the filling.
        ([ev.MakeHeld(at_s=800.0, reason="a call"), ev.HoldEnded(at_s=860.0, held_s=60.0)], MakeTimes(360.0, 600.0, 60.0, 240.0)),
        # Held for 160 s of it, and for the last 50 s of 100 s the program was not running either: all of it is away.
        ([ev.MakeHeld(at_s=800.0, reason="a call"), ev.MakeResumed(at_s=900.0, gap_s=50.0), ev.HoldEnded(at_s=960.0, held_s=160.0)],
         MakeTimes(260.0, 600.0, 160.0, 140.0)),
        # Nobody was there for 90 s of the heating: the program was not running.
        ([ev.MakeResumed(at_s=500.0, gap_s=90.0)], MakeTimes(420.0, 510.0, 90.0, 300.0)),
    ],
)  # fmt: skip
def test_each_stretch_counts_once(journal, more, times):
    events = sorted([*MAKE, *more], key=lambda e: e.at_s)
    journal.append("b1", events)
    found = times_of(journal.by_kind("b1"), FACTS)
    assert found == times
    assert found.worked_s + found.waited_s + found.away_s == 1020.0
