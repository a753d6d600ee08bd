"""Devices that speak seldom: a meter that says a pH every few seconds comes to rest too, and is heard in between."""

from __future__ import annotations

import pytest
from bench_by_hand import SCALES, Bench

from benchapp import events as ev
from benchapp.make.inputs import Degrees, PhRead, Tick, TypeValue


def at_the_reading(period_s):
    meter = ev.DeviceFacts("meter", "ph meter", ("ph",), period_s=period_s, checked="2026-03-01")
    bench = Bench(devices=(*SCALES[:2], meter))
    bench.jump("14-measure-ph")
    bench.weigh_everything()
    bench.give(Tick(bench.now))
    while bench.make.state.progress.stage != "read":
        if not bench.press("understood" if "cautions" in bench.make.state.prompt else "yes"):
            bench.give(Tick(bench.now + 30.0))
    return bench


@pytest.mark.parametrize("period_s", [1.0, 3.0, 10.0])
def test_a_reading_at_rest_is_taken_from_a_meter_that_speaks_seldom(period_s):
    """One that spoke every three seconds never came to rest, and what was typed instead was noted against the maker."""
    bench = at_the_reading(period_s)
    late_s = [0.0, 0.1, -0.1, 0.2, -0.2, 0.1, 0.0, -0.1, 0.1, 0.0, 0.1, -0.2, 0.0, 0.1]
    began_s = bench.now
    for n, late in enumerate(late_s, 1):
        bench.give(PhRead(round(began_s + n * period_s + late, 3), "meter", 5.51))
        bench.give(Tick(round(bench.now + 0.6 * period_s, 3)))
        if bench.make.state.phs:
            break
        assert bench.view.act_view.live[0].value == 5.51, "it is known between two readings"
    assert [(e.ph, e.source) for e in bench.make.state.phs] == [(5.51, ev.Source.MEASURED)]
    assert bench.now - began_s >= 9.0


def test_one_that_is_still_moving_is_not_taken():
    bench = at_the_reading(3.0)
    for n in range(20):
        bench.give(PhRead(bench.now + 3.0, "meter", round(5.0 + 0.05 * n, 2)))
    assert bench.make.state.phs == []


def test_what_is_typed_between_two_readings_of_a_thermometer_that_works_is_noted():
    slow = ev.DeviceFacts("thermo", "thermometer", ("probe 1", "probe 2"), period_s=10.0)
    bench = Bench(devices=(*SCALES[:2], slow))
    bench.to_the_heat()
    for probe in ("probe 1", "probe 2"):
        bench.give(Degrees(bench.now + 0.1, "thermo", probe, 40.0))
    bench.give(TypeValue(bench.now + 8.0, bench.make.state.prompt, 72.0))
    assert "typed over a device" in [d.kind for d in bench.make.state.deviations]
