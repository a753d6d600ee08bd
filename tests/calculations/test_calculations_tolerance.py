"""Bands from role and ceiling; a scale too coarse for a margin is refused, the law's limit never widened."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchapp.calculations.tolerance import (
    BY_ROLE_PERCENT,
    tolerance_percent_of,
    weighing_band,
)
from benchapp.foundation.numbers import exact
from procedures.formula import Role


def test_every_role_has_a_tolerance():
    assert set(BY_ROLE_PERCENT) == set(get_args(Role))


def test_a_stated_tolerance_goes_before_the_roles():
    assert tolerance_percent_of("oil") == 2.0
    assert tolerance_percent_of("oil", 0.5) == 0.5
    with pytest.raises(KeyError):
        tolerance_percent_of("sand")


def test_an_ordinary_band_is_the_margin_either_way():
    band = weighing_band(100.0, "oil", 0.1)
    assert (band.band.low, band.band.high, band.refused) == (98.0, 102.0, "")


def test_the_ceiling_cuts_the_band_at_the_last_number_the_display_shows_below_it():
    band = weighing_band(4.9, "preservative", 0.01, 1.0, ceiling_g=4.925)
    assert band.band.high == pytest.approx(4.92)
    assert band.refused == ""


def test_a_coarse_scale_is_refused_and_the_law_is_not_stretched():
    band = weighing_band(5.0, "preservative", 0.1, 1.0, ceiling_g=5.0)
    assert "too coarse" in band.refused
    assert band.band.high == 5.0
    assert band.band.low == pytest.approx(4.95)
    free = weighing_band(5.0, "fragrance", 1.0)
    assert "too coarse" in free.refused
    assert (free.band.low, free.band.high) == (4.0, 6.0)


def test_a_scale_as_coarse_as_the_target_does_not_take_nothing_for_it():
    for target, step in ((1.0, 1.0), (2.0, 5.0), (0.35, 1.0)):
        band = weighing_band(target, "gum", step).band
        assert band.below(0.0)
        assert band.holds(target)


def test_a_target_above_its_ceiling_is_refused():
    with pytest.raises(ValueError, match="above the ceiling"):
        weighing_band(5.1, "preservative", 0.01, ceiling_g=5.0)


@settings(deadline=None)
@given(
    st.integers(1, 100_000), st.sampled_from(sorted(BY_ROLE_PERCENT)), st.sampled_from([0.01, 0.1, 1.0]),
    st.none() | st.floats(1.0, 1.2),
)  # fmt: skip
def test_a_band_holds_its_target_and_never_passes_its_ceiling(steps, role, step, slack):
    target = round(steps * step, 2)
    ceiling = None if slack is None else target * slack
    found = weighing_band(target, role, step, ceiling_g=ceiling)
    assert found.band.low > 0, "nothing at all is never right"
    assert found.band.holds(target)
    assert ceiling is None or found.band.high <= exact(ceiling)
    margin = target * BY_ROLE_PERCENT[role] / 100
    assert bool(found.refused) == (exact(margin) < step)
