"""How long the Western Electric rules keep quiet: Champ and Woodall, Technometrics 29 (1987) 393, from memory.

Mean run length of normal values about their centre until a rule fires: 370.40 for the three sigma limits alone, 91.75
for all four rules. A shift of one sigma: 43.89 and 9.22.
"""

from __future__ import annotations

import random

import pytest

from benchapp.calculations.control_chart import ControlChart, signals

UNIT = ControlChart(centre=0.0, mean_range=1.128, lower=-3.0, upper=3.0, range_upper=1e9, provisional=False)
LIMITS = {"beyond limits"}
ALL_FOUR = LIMITS | {"two of three beyond 2 sigma", "four of five beyond 1 sigma", "eight on one side"}


def run_length(rng: random.Random, shift: float, rules: set[str]) -> int:
    values: list[float] = []
    while True:
        values += [rng.gauss(shift, 1.0) for _ in range(max(len(values), 30))]
        fired = [s.index for s in signals(values, UNIT) if s.rule in rules]
        if fired:
            return fired[0] + 1


@pytest.mark.parametrize(
    ("shift", "rules", "published", "runs"),
    [(0.0, ALL_FOUR, 91.75, 300), (1.0, LIMITS, 43.89, 300), (1.0, ALL_FOUR, 9.22, 600)],
)
def test_mean_run_length(shift: float, rules: set[str], published: float, runs: int) -> None:
    """Within three standard errors; run lengths are spread about as widely as their mean."""
    rng = random.Random(1987)
    mean = sum(run_length(rng, shift, rules) for _ in range(runs)) / runs
    assert mean == pytest.approx(published, abs=3.0 * published / runs**0.5)
