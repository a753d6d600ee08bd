"""Charts across batches: each rule on a series made to set it off, and on noise that should not."""

from __future__ import annotations

import random
from math import comb, erf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.control_chart import ControlChart, finest_step, individuals_chart, signals

UNIT = ControlChart(centre=0.0, mean_range=1.128, lower=-3.0, upper=3.0, range_upper=3.685, provisional=False)


def rules(values: list[float], chart: ControlChart = UNIT) -> set[str]:
    return {s.rule for s in signals(values, chart)}


@pytest.mark.parametrize(
    ("values", "rule"),
    [
        ([0.1, -0.1, 3.1], "beyond limits"),
        ([0.1, -2.1, 0.2, -2.2], "two of three beyond 2 sigma"),
        ([1.1, 1.2, 0.0, 1.1, 1.3], "four of five beyond 1 sigma"),
        ([0.3, 0.1, 0.2, 0.5, 0.3, 0.4, 0.1, 0.2], "eight on one side"),
        ([-0.5, -0.3, -0.1, 0.1, 0.2, 0.4], "six in a row rising or falling"),
        ([-2.0, 1.9], "jump between batches"),
    ],
)
def test_rule(values: list[float], rule: str) -> None:
    assert rule in rules(values)
    assert rule in rules([-x for x in values])
    assert rule not in rules(values[:-1])


def test_a_drift_is_mostly_flagged_before_it_leaves_the_limits() -> None:
    """Simulated: 25 steady batches set the chart, then the yield falls by a fifth of a sigma a batch, 200 times."""
    earlier = 0
    for seed in range(200):
        rng = random.Random(seed)
        chart = individuals_chart([95.0 + rng.gauss(0, 1) for _ in range(25)])
        found = signals([95.0 - 0.2 * i + rng.gauss(0, 1) for i in range(40)], chart)
        beyond = [s.index for s in found if s.rule == "beyond limits"]
        drift = [s.index for s in found if s.rule not in ("beyond limits", "jump between batches")]
        assert drift
        earlier += not beyond or drift[0] < beyond[0]
    assert earlier >= 120


def beyond(sigmas: float) -> float:
    """Share of normal values above so many standard deviations."""
    return 0.5 * (1.0 - erf(sigmas / 2**0.5))


#: Chance that a rule is complete at a given batch of a quiet process, from the normal distribution alone. "Two of
#: three" and "four of five" end on a value that is itself out.
ALONE = {
    "beyond limits": 2 * beyond(3.0),
    "two of three beyond 2 sigma": 2 * beyond(2.0) * (1.0 - (1.0 - beyond(2.0)) ** 2),
    "four of five beyond 1 sigma": 2
    * beyond(1.0)
    * sum(comb(4, k) * beyond(1.0) ** k * (1.0 - beyond(1.0)) ** (4 - k) for k in (3, 4)),
    "eight on one side": 2 * 0.5**8,
    "six in a row rising or falling": 2 / 720,
    "jump between batches": 2 * beyond(UNIT.range_upper / 2**0.5),
}


def test_false_alarms_of_each_rule_and_of_all_together() -> None:
    """Simulated beside computed: one batch in 36 of a quiet process is flagged by some rule."""
    rng, count = random.Random(6), 40_000
    found = signals([rng.gauss(0, 1) for _ in range(count)], UNIT)
    for rule, chance in ALONE.items():
        fired = sum(s.rule == rule for s in found) / count
        assert fired == pytest.approx(chance, abs=6.0 * (chance / count) ** 0.5)
    assert len({s.index for s in found}) / count == pytest.approx(0.0277, abs=0.003)
    assert sum(ALONE.values()) == pytest.approx(0.0290, abs=0.0005)  # were no two ever at the same batch


def test_equal_values_and_then_one_step_more_are_no_signal() -> None:
    """A yield of 500 g on a scale of 0.1 g: 0.02 % is one digit."""
    values = [96.0] * 10 + [96.02]
    assert len(signals(values, individuals_chart(values))) >= 2  # what a chart without a floor said
    assert signals(values, individuals_chart(values, 0.02)) == ()
    assert signals([96.0] * 10, individuals_chart([96.0] * 10, 0.02)) == ()
    jumped = [96.0] * 10 + [96.2]
    assert signals(jumped, individuals_chart(jumped, 0.02))


def test_the_last_digit_shown_is_the_step() -> None:
    assert finest_step([480.0, 478.5, 479.25]) == 0.01
    assert finest_step([480.0, 470.0]) == 1.0


@given(st.lists(st.floats(-1e3, 1e3), min_size=3, max_size=30), st.floats(-100, 100))
def test_limits_move_with_the_values(values: list[float], shift: float) -> None:
    here, there = individuals_chart(values), individuals_chart([v + shift for v in values])
    assert there.centre == pytest.approx(here.centre + shift, abs=1e-6)
    assert there.upper - there.lower == pytest.approx(here.upper - here.lower, abs=1e-6)


def test_two_batches_are_no_chart() -> None:
    with pytest.raises(ValueError, match="at least 3"):
        individuals_chart([1.0, 2.0])
