"""A hold that somebody states, temperature by temperature: how long it was held, as far as that says."""

from __future__ import annotations

import pytest
from bench_by_hand import SCALES, Bench, kinds

from benchapp import events as ev
from benchapp.make.inputs import Degrees, Hold, NoNumber, Tick, TypeValue

HOLD_S = 600.0


def typed(bench, temp_c):
    bench.now += 1.0
    return bench.give(TypeValue(bench.now, bench.make.state.prompt, temp_c))


@pytest.fixture
def held():
    """Both pots were stated to be in their band: from now on they are held."""
    bench = Bench(devices=SCALES[:2])
    bench.to_the_heat()
    typed(bench, 72.0)
    typed(bench, 72.0)
    return bench


def progress(bench):
    return [e.held_s for e in bench.events if isinstance(e, ev.HoldProgressed)]


def test_it_is_said_how_long_it_was_held_and_when_to_measure_again(held):
    held.give(Tick(held.now + 240.0))
    view = held.view.act_view
    assert view.not_yet == ("Kept hot for 4 min of 10 min.",)
    assert (view.move, view.forecast.middle_s, view.picture.held_s) == ("Hold it", 360.0, 240.0)
    held.give(Tick(held.now + 360.0))
    assert held.view.act_view.not_yet == ("10 min are over: measure once more, and type it.",)
    assert "ActFinished" in kinds(typed(held, 72.0))
    assert progress(held) == [601.0]


def test_what_fell_out_of_its_band_is_held_anew(held):
    held.give(Tick(held.now + 60.0))
    assert "BandLeft" in kinds(typed(held, 50.0))
    assert held.view.act_view.not_yet == ("water pot: 50.0 °C, needs 70 °C.",)
    held.give(Tick(held.now + 1500.0))
    assert "ActFinished" not in kinds(typed(held, 72.0)), "nobody knows for how long it was cold"
    assert held.view.act_view.not_yet == ("Kept hot for 0 s of 10 min.",)
    held.give(Tick(held.now + HOLD_S))
    assert "ActFinished" in kinds(typed(held, 72.0))
    assert progress(held) == [601.0]


def test_what_a_thermometer_that_came_back_saw_fall_out_is_held_anew():
    bench = Bench()
    bench.to_the_heat()
    bench.give(NoNumber(bench.now + 1.0, "thermo", None, "unplugged", "thermo went away.", True))
    typed(bench, 72.0)
    typed(bench, 72.0)
    for n in range(200):
        bench.give(Degrees(bench.now + 1.0, "thermo", "probe 1", round(72.0 - 0.02 * n, 1)))
        bench.give(Degrees(bench.now, "thermo", "probe 2", 72.0))
        if "BandLeft" in kinds(bench.events):
            break
    assert "BandLeft" in kinds(bench.events)
    bench.give(NoNumber(bench.now + 1.0, "thermo", None, "unplugged", "thermo went away.", True))
    bench.give(Tick(bench.now + HOLD_S))
    assert "ActFinished" not in kinds(typed(bench, 72.0))


def test_nobody_states_anything_while_the_make_is_on_hold(held):
    held.give(Hold(held.now, "the door bell"))
    held.give(Tick(held.now + 3 * HOLD_S))
    held.press("resume")
    assert "ActFinished" not in kinds(typed(held, 72.0))
