"""The mass that will stand when pouring stops now, and when to say so."""

from __future__ import annotations

import pytest
from landing_trial import run

from benchapp.calculations.landing import HAND_S, LAG_S, Lateness, landing_g, stop_in_s


def test_simulated_pours_land_within_a_third_of_what_the_display_alone_gives():
    # The full form, 2,000 benches and three quicknesses of hand, is tests/benchmarks/bench_landing.py.
    found = run(150, seed=21)
    display, ours = found["display reads the target"], found["ours, learning"]
    assert ours.median_abs_share() <= display.median_abs_share() / 3
    assert ours.median_abs_divisions() <= display.median_abs_divisions() / 3
    assert abs(ours.bias_percent()) <= 0.3
    first = found["ours, first guess"]
    assert first.median_abs_share() <= display.median_abs_share() / 3
    assert abs(first.bias_percent()) <= 0.3


def test_what_stands_is_the_display_and_what_it_lags_behind():
    assert landing_g(50.0, 4.0, 0.5) == pytest.approx(52.0)


def test_a_falling_display_lands_where_it_stands():
    assert landing_g(50.0, -4.0, 0.5) == 50.0


def test_a_first_order_display_is_behind_by_flow_times_its_lag():
    # dy/dt = (m - y) / lag with m = q t: after the start has died away m - y = q lag (textbook).
    flow, lag, y, step = 3.0, 0.4, 0.0, 0.001
    for k in range(5000):
        y += (flow * k * step - y) / lag * step
    assert landing_g(y, flow, lag) == pytest.approx(flow * 5000 * step, abs=0.01)


def test_stop_is_said_so_early_that_the_hand_has_time():
    assert stop_in_s(80.0, 10.0, 100.0, 0.5) == pytest.approx(1.5)
    assert stop_in_s(96.0, 10.0, 100.0, 0.5) == pytest.approx(-0.1)
    assert stop_in_s(96.0, 0.0, 100.0) is None


def test_lateness_begins_with_the_guess_and_moves_to_what_the_pours_show():
    late = Lateness(0.1)
    assert late.late_s == pytest.approx(LAG_S + HAND_S)
    for _ in range(30):
        late.cue(90.0, 10.0)
        late.landed(98.0)
    assert late.late_s == pytest.approx(0.8, abs=0.03)


@pytest.mark.parametrize(
    ("shown", "flow", "rest"), [(90.0, 0.3, 95.0), (90.0, 10.0, 150.0), (90.0, 10.0, 80.0)]
)
def test_a_trickle_a_second_pour_or_a_removal_teaches_nothing(shown, flow, rest):
    late = Lateness(0.1)
    late.cue(shown, flow)
    late.landed(rest)
    assert late.late_s == pytest.approx(LAG_S + HAND_S)


def test_a_landing_without_a_cue_teaches_nothing():
    late = Lateness(0.1)
    late.landed(100.0)
    assert late.late_s == pytest.approx(LAG_S + HAND_S)
