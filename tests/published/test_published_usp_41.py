"""USP general chapter <41> Balances: smallest net weight from repeatability, 2 s / m <= 0.10 %, s at least 0.41 d."""

from __future__ import annotations

import math

import pytest

from benchapp.calculations.minimum_weight import least_weight_g


def repeats(spread_g: float, mean_g: float = 20.0, count: int = 10) -> list[float]:
    """``count`` weighings whose sample standard deviation is exactly ``spread_g``."""
    # Half above, half below by a: s = a * sqrt(n / (n - 1)).
    a = spread_g / math.sqrt(count / (count - 1))
    return [mean_g + (a if k % 2 else -a) for k in range(count)]


def test_the_smallest_weight_is_two_thousand_standard_deviations():
    # USP <41>: s = 0.00015 g on a scale of 0.0001 g gives 0.300 g.
    assert least_weight_g(0.0001, 0.10, repeats(0.00015)) == pytest.approx(0.300)


@pytest.mark.parametrize(("division_g", "smallest_g"), [(0.01, 8.2), (0.1, 82.0), (1.0, 820.0)])
def test_a_scale_that_repeats_itself_is_held_to_the_floor_of_its_rounding(division_g, smallest_g):
    # USP <41>: s is replaced by 0.41 d where it is smaller, so m = 820 d.
    assert least_weight_g(division_g, 0.10, [20.0] * 10) == pytest.approx(smallest_g)
    assert least_weight_g(division_g, 0.10) == pytest.approx(smallest_g)


def test_with_a_makers_one_percent_it_is_82_divisions():
    # The same rule with the maker's tolerance in place of 0.10 %.
    assert least_weight_g(0.1, 1.0) == pytest.approx(8.2)


def test_the_floor_is_the_spread_that_rounding_alone_gives():
    # 0.41 d is about sqrt(2) times d / sqrt(12), the spread of a rounding at zero and of one at the load.
    assert math.sqrt(2 / 12) == pytest.approx(0.41, abs=0.005)
