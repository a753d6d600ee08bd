"""Charts across batches: each rule on a series made to set it off, and on noise that should not."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.control_chart import Chart, individuals_chart, signals

UNIT = Chart(centre=0.0, mean_range=1.128, lower=-3.0, upper=3.0, range_upper=3.685, provisional=False)


def rules(values: list[float], chart: Chart = UNIT) -> set[str]:
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


def test_noise_seldom_signals() -> None:
    """Simulated: eight one-sided and the sigma rules together fire on well under a tenth of quiet batches."""
    rng = random.Random(6)
    values = [rng.gauss(0, 1) for _ in range(2000)]
    assert len({s.index for s in signals(values, UNIT)}) < 150


@given(st.lists(st.floats(-1e3, 1e3), min_size=3, max_size=30), st.floats(-100, 100))
def test_limits_move_with_the_values(values: list[float], shift: float) -> None:
    here, there = individuals_chart(values), individuals_chart([v + shift for v in values])
    assert there.centre == pytest.approx(here.centre + shift, abs=1e-6)
    assert there.upper - there.lower == pytest.approx(here.upper - here.lower, abs=1e-6)


def test_two_batches_are_no_chart() -> None:
    with pytest.raises(ValueError, match="at least 3"):
        individuals_chart([1.0, 2.0])
