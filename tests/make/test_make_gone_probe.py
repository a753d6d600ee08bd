"""A probe that gives nothing, because it is broken or its device is gone: what is typed in its stead counts, and it is said once."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench, kinds
from heated_make import HeatedMake
from otherbench.thermal import Thermometer

from benchapp import events as ev
from benchapp.make.inputs import Degrees, NoNumber, Tick, TypeValue


def read(bench, temp_c, seconds=30.0):
    for _ in range(int(seconds)):
        for probe in ("probe 1", "probe 2"):
            bench.give(Degrees(bench.now + 0.5, "thermo", probe, temp_c))


def unplugged(bench):
    bench.give(NoNumber(bench.now + 1.0, "thermo", None, "unplugged", "thermo went away.", True))


def broken(bench, seconds=8):
    """Both probes say at each reading that they are open; what is asked is answered."""
    for _ in range(seconds):
        for probe in ("probe 1", "probe 2"):
            bench.give(NoNumber(bench.now + 0.5, "thermo", probe, "open probe", f"{probe} is open.", False))
            bench.press("seen to")


def typed(bench, temp_c):
    bench.now += 1.0
    return bench.give(TypeValue(bench.now, bench.make.state.prompt, temp_c))


@pytest.fixture
def at_the_gate():
    """Two hot pots are to be poured together, a probe in each."""
    bench = Bench()
    bench.jump("08-combine")
    for probe, vessel in (("probe 1", "water-pot"), ("probe 2", "oil-pot")):
        bench.commit([ev.ProbeMoved(at_s=bench.now, probe=probe, vessel=vessel)])
    bench.give(Tick(bench.now))
    while bench.make.act().key == "cautions":
        bench.press("understood")
    read(bench, 72.0)
    return bench


@pytest.mark.parametrize("gone", [unplugged, broken])
def test_a_gate_opens_by_what_is_typed_of_each_vessel(at_the_gate, gone):
    """It asked for a temperature, and whatever was typed it did not know it: only "all the same" went on."""
    bench = at_the_gate
    gone(bench)
    bench.give(Tick(bench.now + 150.0))
    assert bench.view.act_view.not_yet[-2:] == (
        "water pot: temperature not known.", "oil pot: temperature not known.",
    )  # fmt: skip
    typed(bench, 71.5)
    assert "oil pot" in bench.view.act_view.ask.what
    typed(bench, 70.5)
    live = {x.name: (x.value, x.source) for x in bench.view.act_view.live}
    assert live == {"water pot": (71.5, ev.Source.STATED), "oil pot": (70.5, ev.Source.STATED)}
    assert "yes" in [c.word for c in bench.view.act_view.choices]
    assert "ActFinished" in kinds(bench.press("yes"))
    assert "combined out of band" not in [d.kind for d in bench.make.state.deviations]


def test_what_is_typed_does_not_hold_against_a_probe_that_reads_again(at_the_gate):
    unplugged(at_the_gate)
    typed(at_the_gate, 71.5)
    typed(at_the_gate, 71.5)
    read(at_the_gate, 66.0, 90.0)
    assert [x.value for x in at_the_gate.view.act_view.live] == [66.0, 66.0]
    unplugged(at_the_gate)
    assert "yes" not in [c.word for c in at_the_gate.view.act_view.choices], "it was typed before that"


def test_what_was_typed_counts_for_five_minutes(at_the_gate):
    unplugged(at_the_gate)
    typed(at_the_gate, 71.5)
    typed(at_the_gate, 71.5)
    at_the_gate.give(Tick(at_the_gate.now + 310.0))
    assert "temperature not known." in at_the_gate.view.act_view.not_yet[-1]


def test_a_broken_probe_is_an_alarm_once_and_again_when_it_had_read_meanwhile():
    """It was one at every reading: nothing was left but to give the batch up."""
    bench = Bench()
    bench.to_the_heat()
    read(bench, 40.0)
    broken(bench)
    assert kinds(bench.events).count("AlarmRaised") == 2, "one for each probe"
    assert bench.view.trouble is None
    read(bench, 40.0)
    broken(bench)
    assert kinds(bench.events).count("AlarmRaised") == 4
    typed(bench, 72.0)
    typed(bench, 72.0)
    bench.give(Tick(bench.now + 600.0))
    assert "ActFinished" in kinds(typed(bench, 72.0)), "it goes on by hand"


def back_after(seconds, lies_at_c=None):
    """A pot cools on another bench; its thermometer is unplugged, and comes back so long after, the probe where it was or
    lying on something of that temperature."""
    bench = HeatedMake(seed=3, temp_c=72.0)
    bench.begin("10-cool")
    bench.yes_until("cool")
    bench.run(240.0)
    unplugged(bench)
    for probe in bench.probes.values():
        probe.lies_at_c = lies_at_c
    bench.kitchen_only(seconds)
    bench.now = round(bench.now + seconds, 3)
    bench.meter = Thermometer("thermo", list(bench.probes.values()), bench.kitchen.rng, 1.0)
    bench.run(240.0)
    return bench


@pytest.mark.parametrize("seconds", [60.0, 330.0, 500.0, 800.0])
def test_a_probe_that_is_back_in_its_pot_after_minutes_counts_again_without_a_question(seconds):
    """After five and a half minutes it was said to have gone from 69.0 to 61.9 °C at once: it had cooled so."""
    bench = back_after(seconds)
    assert bench.asked == []
    (live,) = bench.view.act_view.live
    assert (live.source, live.value) == (ev.Source.MEASURED, pytest.approx(bench.truth("water-pot"), abs=0.5))
    assert bench.make.state.probe_doubts == {}


@pytest.mark.parametrize("seconds", [60.0, 330.0])
def test_one_that_lies_beside_its_pot_after_minutes_is_asked_about(seconds):
    assert [e.kind for e in back_after(seconds, 24.0).asked] == ["probe"]


def test_a_temperature_typed_wrong_at_a_gate_can_be_typed_again_of_either_vessel(at_the_gate):
    """Once both were known, only the first was asked for: a slip in the other stood for five minutes."""
    unplugged(at_the_gate)
    typed(at_the_gate, 71.5)
    typed(at_the_gate, 7.2)
    assert "oil pot" in at_the_gate.view.act_view.ask.what
    typed(at_the_gate, 72.0)
    assert "yes" in [c.word for c in at_the_gate.view.act_view.choices]
    assert "water pot" in at_the_gate.view.act_view.ask.what, "what was stated longest ago"


def test_a_probe_that_breaks_once_it_was_asked_where_it_lies_is_an_alarm_of_its_own(at_the_gate):
    """Both are called a probe alarm; the one was taken for the other."""
    bench = at_the_gate
    asked = ev.AlarmRaised(
        at_s=bench.now, kind="probe", text="Is it still in?", vessel="water-pot", probe="probe 1"
    )
    bench.commit([asked, ev.AlarmCleared(at_s=bench.now, kind="probe", how="seen to")])
    for _ in range(2):
        bench.give(NoNumber(bench.now + 1.0, "thermo", "probe 1", "open probe", "probe 1 is open.", False))
    assert bench.make.state.alarm is not None
    assert "is open: no temperature" in bench.make.state.alarm.text
