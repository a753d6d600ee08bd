"""Over simulated vessels of a generator written apart: the interval holds about four times in five.

The short form of tests/benchmarks/bench_forecast.py, whose 500 vessels the figures in the documentation are from.
"""

from __future__ import annotations

from statistics import median

import pytest
from forecast_trial import Tally, draw, judge

VESSELS = 50


@pytest.fixture(scope="module")
def cooling() -> dict[float, Tally]:
    return judge(draw("cool", VESSELS, 1))


def test_the_interval_holds_about_four_times_in_five(cooling: dict[float, Tally]) -> None:
    """75 to 88 % is asked of 500 vessels; 3 x 50 correlated looks may stray 5 points further by chance."""
    inside = sum(t.inside for t in cooling.values())
    spoken = sum(t.inside + t.before + t.after for t in cooling.values())
    assert spoken >= 0.98 * 3 * VESSELS
    assert 0.70 <= inside / spoken <= 0.93


def test_the_middle_is_far_better_than_a_straight_line_or_newtons_law(cooling: dict[float, Tally]) -> None:
    for tally in cooling.values():
        ours = median(tally.errors["ours"])
        assert ours < 8.0
        assert ours < 0.5 * median(tally.errors["Newton"])
        assert ours < 0.2 * median(tally.errors["straight line"])


def test_baths_and_plates() -> None:
    tallies = judge(draw("heat", 40, 1))
    inside = sum(t.inside for t in tallies.values())
    spoken = sum(t.inside + t.before + t.after for t in tallies.values())
    assert 0.68 <= inside / spoken <= 0.93
    for tally in tallies.values():
        assert median(tally.errors["ours"]) < median(tally.errors["Newton"])
