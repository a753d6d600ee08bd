"""What is told of a bath: how far it is ahead of a vessel, against the two equations integrated in time; and what it brings
to pots nothing was chosen on."""

from __future__ import annotations

from dataclasses import replace
from math import exp, inf

import pytest
from family_trial import judge
from family_waits import waits

from benchapp.calculations.hot_bath import HotBath, ahead_of

START_C, STEP_S = 20.0, 0.05


def followed(lead_k: float, lag_k: float, end_c: float) -> dict[float, float]:
    """By the clock: a bath that rises to its setting and a vessel with a lag of 300 s; K ahead at whole °C."""
    tau_s = 300.0
    vessel, bath, found = START_C, START_C + lead_k, {}
    for degree in range(21, 71):
        while vessel < degree:
            vessel += (bath - vessel) / tau_s * STEP_S
            bath = min(bath + lag_k / tau_s * STEP_S, end_c)
        found[float(degree)] = bath - vessel
    return found


@pytest.mark.parametrize(("lead_k", "lag_k", "end_c"), [(0.0, 15.0, 110.0), (32.0, 6.0, 78.0), (15.0, 35.0, 80.0), (3.0, 90.0, 85.0)])  # fmt: skip
def test_a_bath_is_ahead_as_two_equations_in_time_say(lead_k: float, lag_k: float, end_c: float) -> None:
    at_c = [10.0 + 0.5 * i for i in range(121)]
    ahead = dict(zip(at_c, ahead_of(at_c, START_C, end_c, lead_k, lag_k), strict=True))
    for degree, truly in followed(lead_k, lag_k, end_c).items():
        assert ahead[degree] == pytest.approx(truly, rel=0.03 if degree < 23.0 else 0.01)


def test_a_bath_put_on_cold_is_ahead_as_a_first_order_lag_behind_a_ramp() -> None:
    """T = lag (u - 1 + exp(-u)), ahead by lag (1 - exp(-u)), u the time in units of the vessel's own (textbook)."""
    lag_k = 20.0
    for u in (0.5, 1.0, 2.0, 3.0):
        over_k = lag_k * (u - 1.0 + exp(-u))
        steps = [START_C + over_k * i / 200.0 for i in range(201)]
        assert ahead_of(steps, START_C, inf, 0.0, lag_k)[-1] == pytest.approx(
            lag_k * (1.0 - exp(-u)), rel=0.01
        )


def test_what_is_said_of_a_bath_and_what_cannot_be() -> None:
    assert HotBath.told("not known", 80.0) is None
    assert HotBath.told("gets hotter", 80.0) == HotBath(None)
    assert HotBath.told("thermostat", 80.0) == HotBath(80.0)
    with pytest.raises(ValueError, match="130 °C"):
        HotBath(130.0)


def test_the_kind_of_bath_brings_water_nearer_and_a_wrong_dial_is_got_over() -> None:
    """The short form of tests/benchmarks/bench_families.py with the word "told"."""
    chosen = waits("water phase in a bath", 30, 5001)
    untold, told = judge(chosen), judge(chosen, tells=("bath",))
    for place in (0.25, 0.5):
        assert told.middle(place) < 0.8 * untold.middle(place)
    assert 0.7 <= told.held / told.spoken <= 0.97
    turned = [
        replace(w, told=replace(w.told, dial_c=w.told.dial_c - 6.0))
        for w in chosen
        if w.told.way != "heating"
    ]
    astray = judge(turned, tells=("bath",))
    assert astray.held >= 0.6 * astray.spoken
