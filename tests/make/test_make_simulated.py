"""A real make takes nothing from a simulated device, and a rehearsal nothing from a real one: whoever wires them."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench, kinds

from benchapp import events as ev
from benchapp.make.inputs import Degrees, Grams, PhRead


def of_the_other_kind(bench, device="big", grams=420.0, seconds=10):
    """The scale of another world at rest under a vessel, ten readings a second."""
    rehearsal = bench.make.state.started.rehearsal
    out = []
    for _ in range(seconds * 10):
        bench.now = round(bench.now + 0.1, 3)
        out += bench.give(Grams(bench.now, device, grams, True, False, simulated=not rehearsal))
    return out


@pytest.fixture
def real():
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    return bench


def test_nothing_a_simulated_scale_says_becomes_a_weight(real):
    out = of_the_other_kind(real)
    assert real.press("it is") == []
    assert "VesselPlaced" not in kinds(out)
    assert "WeightTaken" not in kinds(real.events)


def test_it_is_said_once_for_each_device_and_stands_in_the_record(real):
    out = [e for e in of_the_other_kind(real) if isinstance(e, ev.DeviceLost)]
    out += [e for e in of_the_other_kind(real, "fine") if isinstance(e, ev.DeviceLost)]
    assert [(e.device, e.fault) for e in out] == [("big", "refused"), ("fine", "refused")]
    assert "simulated" in out[0].text
    assert real.view.trouble.kind == "device lost"
    assert "simulated" in real.view.trouble.text


def test_once_the_real_one_speaks_again_it_is_asked_to_prove_its_zero(real):
    of_the_other_kind(real)
    out = real.stand(0.0)
    assert {"DeviceReturned", "ScaleDoubted"} <= set(kinds(out))


@pytest.mark.parametrize(
    "given",
    [
        lambda at: Degrees(at, "thermo", "probe 1", 71.0, simulated=True),
        lambda at: PhRead(at, "thermo", 5.4, simulated=True),
    ],
)
def test_temperatures_and_ph_are_refused_the_same(real, given):
    real.now += 1.0
    assert [e.device for e in real.give(given(real.now)) if isinstance(e, ev.DeviceLost)] == ["thermo"]
    assert real.make.watch.temp_c("probe 1", real.now) is None


def test_a_rehearsal_refuses_a_real_scale():
    bench = Bench(rehearsal=True)
    bench.to("02-weigh")
    bench.simulated = False
    (lost,) = [e for e in of_the_other_kind(bench) if isinstance(e, ev.DeviceLost)]
    assert "rehearsal" in lost.text
    assert "VesselPlaced" not in kinds(bench.events)
