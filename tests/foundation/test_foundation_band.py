"""A band holds what reads the same as its limits, whatever binary floats make of a sum."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.foundation.band import Band
from benchapp.foundation.numbers import exact, to_division


def test_a_limit_that_was_summed_up_holds_what_the_scale_shows():
    assert 0.8 - 0.1 != 0.7  # why this is needed
    band = Band(0.8 - 0.1, 0.8 + 0.1)
    assert band.holds(0.7)
    assert band.holds(0.9)
    assert not band.holds(0.699)
    assert not band.holds(0.901)


def test_an_open_end_holds_everything_on_its_side():
    assert Band.of(None, 40.0).holds(-273.0)
    assert Band.of(35.0, None).holds(1e9)
    assert Band.of(35.0, None).below(34.9)
    assert not Band.of(None, 40.0).below(-273.0)


@given(st.integers(1, 10_000), st.integers(0, 10_000), st.sampled_from(["0.001", "0.01", "0.1", "0.5", "1"]))
def test_a_band_of_whole_divisions_agrees_with_decimal_arithmetic(low: int, width: int, division: str):
    """Independent: the decimal module does the sums in tens, where the display lives."""
    step = Decimal(division)
    band = Band(float(step) * low, float(step) * low + float(step) * width)
    for count in (low - 1, low, low + width, low + width + 1):
        shown = step * count
        expected = step * low <= shown <= step * (low + width)
        assert band.holds(float(step) * count) is expected
        assert band.holds(float(shown)) is expected
        assert exact(float(step) * count) == float(shown)


@given(st.floats(-5000, 5000), st.sampled_from([0.001, 0.01, 0.1, 0.2, 0.5, 1.0, 5.0]))
def test_a_division_is_a_decimal_multiple_within_half_a_division(value: float, division: float):
    shown = to_division(value, division)
    assert abs(shown - value) <= division / 2 + 1e-6
    assert Decimal(str(shown)) % Decimal(str(division)) == 0


def test_a_scale_without_divisions_is_an_error_and_not_a_number():
    with pytest.raises(ZeroDivisionError):
        to_division(1.0, 0.0)


@given(st.integers(1, 10**8), st.integers(0, 10**6), st.integers(0, 3))
def test_limits_that_are_shown_with_fewer_decimals_admit_nothing_the_band_refuses(
    low: int, width: int, decimals: int
):
    """Independent: every number of the display between the shown limits is asked in decimal arithmetic."""
    lower, upper = Decimal(low).scaleb(-6), Decimal(low + width).scaleb(-6)
    shown = Band(float(lower), float(upper)).shown(decimals)
    step = Decimal(1).scaleb(-decimals)
    first, last = (Decimal(f"{x:.{decimals}f}") for x in shown)
    assert first >= lower > first - step
    assert last <= upper < last + step
