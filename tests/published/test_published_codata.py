"""Nernst slope against the CODATA constants as SciPy ships them, and USP <791>'s k."""

from __future__ import annotations

import math

import pytest
from scipy import constants

from benchapp.calculations.ph_electrode import FARADAY, GAS_CONSTANT, nernst_slope_mv


def test_the_constants_are_codatas() -> None:
    assert pytest.approx(constants.R, rel=1e-9) == GAS_CONSTANT
    assert pytest.approx(constants.physical_constants["Faraday constant"][0], rel=1e-9) == FARADAY


@pytest.mark.parametrize(("temp_c", "mv"), [(0, 54.199), (20, 58.167), (25, 59.159), (40, 62.136)])
def test_slope(temp_c: float, mv: float) -> None:
    assert nernst_slope_mv(temp_c) == pytest.approx(mv, abs=0.0006)
    assert nernst_slope_mv(temp_c) == pytest.approx(
        1000 * constants.R * (temp_c + 273.15) * math.log(10) / constants.value("Faraday constant"), rel=1e-9
    )


@pytest.mark.parametrize("temp_c", [15.0, 25.0, 40.0])
def test_usp_791(temp_c: float) -> None:
    """USP <791>: k = 0.05916 + 0.0001984 (t - 25) V."""
    assert nernst_slope_mv(temp_c) == pytest.approx(1000 * (0.05916 + 0.0001984 * (temp_c - 25)), abs=0.01)
