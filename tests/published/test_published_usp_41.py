"""USP general chapter <41> Balances: smallest net weight from repeatability, 2 s / m <= 0.10 %, s at least 0.41 d."""

from __future__ import annotations

import math

import pytest

from benchapp.calculations.minimum_weight import least_weight_g


@pytest.mark.parametrize(("division_g", "smallest_g"), [(0.01, 8.2), (0.1, 82.0), (1.0, 820.0)])
def test_a_scale_is_held_to_the_floor_of_its_rounding(division_g, smallest_g):
    # USP <41>: s is replaced by 0.41 d where it is smaller, so m = 820 d.
    assert least_weight_g(division_g, 0.10) == pytest.approx(smallest_g)


def test_with_a_makers_one_percent_it_is_82_divisions():
    # The same rule with the maker's tolerance in place of 0.10 %.
    assert least_weight_g(0.1, 1.0) == pytest.approx(8.2)


def test_the_floor_is_the_spread_that_rounding_alone_gives():
    # 0.41 d is about sqrt(2) times d / sqrt(12), the spread of a rounding at zero and of one at the load.
    assert math.sqrt(2 / 12) == pytest.approx(0.41, abs=0.005)
