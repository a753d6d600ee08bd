"""A burst during which the program was away: nobody saw how long the blender was on, so somebody is asked."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.hands_free import distinct_choice, plain_choice
from benchapp.make.inputs import Resumed, Tick, TypeValue


@pytest.fixture
def killed():
    """Killed 14.5 s into the first burst, started again 40 s later."""
    bench = Bench()
    bench.jump("09-blend")
    bench.give(Tick(bench.now))
    while bench.make.state.progress.act != "bursts":
        bench.press("understood")
    bench.press("start")
    bench.give(Tick(bench.now + 14.5))
    bench.make = Make(bench.make.plan, bench.events)
    bench.give(Resumed(bench.now + 40.0, 40.0))
    bench.give(Tick(bench.now + 1.0))
    return bench


def bursts(bench):
    return [e for e in bench.events if isinstance(e, ev.BurstDone)]


def test_nothing_is_counted_before_somebody_has_said_what_was_blended(killed):
    killed.give(Tick(killed.now + 100.0))
    assert bursts(killed) == []
    view = killed.view.act_view
    assert view.instruction == "How long did burst 1 run?"
    assert [c.word for c in view.choices] == ["ran to its end", "unknown", "enough"]
    assert plain_choice(view) is None
    assert distinct_choice(view) is None


def test_that_it_ran_is_recorded_as_stated(killed):
    killed.press("ran to its end")
    (burst,) = bursts(killed)
    assert (burst.number, burst.seconds, burst.source) == (1, 40.0, ev.Source.STATED)
    assert killed.make.state.progress.stage == "rest"


def test_seconds_that_are_stated_are_recorded_as_stated(killed):
    killed.give(TypeValue(killed.now, killed.make.state.prompt, 15.0))
    (burst,) = bursts(killed)
    assert (burst.seconds, burst.source) == (15.0, ev.Source.STATED)
    assert "blended less" in [d.kind for d in killed.make.state.deviations]


def test_what_nobody_knows_stays_unknown_and_is_blended_again(killed):
    killed.press("unknown")
    assert bursts(killed) == []
    (unknown,) = [e for e in killed.events if isinstance(e, ev.BurstUnknown)]
    assert unknown.number == 1
    assert [d.grade for d in killed.make.state.deviations if d.kind == "burst not known"] == [ev.Grade.MINOR]
    assert [c.word for c in killed.view.act_view.choices] == ["start", "enough"]
    killed.press("start")
    killed.give(Tick(killed.now + 40.0))
    assert [(b.number, b.source) for b in bursts(killed)] == [(1, ev.Source.MEASURED)]


def test_a_burst_that_is_watched_is_measured_as_before():
    bench = Bench()
    bench.jump("09-blend")
    bench.give(Tick(bench.now))
    while bench.make.state.progress.act != "bursts":
        bench.press("understood")
    bench.press("start")
    bench.give(Tick(bench.now + 40.0))
    assert [(b.seconds, b.source) for b in bursts(bench)] == [(40.0, ev.Source.MEASURED)]
