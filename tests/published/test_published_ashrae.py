"""Evaporation from an open 15 cm vessel, air 20 °C and 50 %: ASHRAE's still-air equation for pools (Carrier)."""

from __future__ import annotations

from math import pi

import pytest

from benchapp.calculations.evaporation import ashrae_still_air_g_min, evaporative_w_m2, latent_j_g
from benchapp.calculations.water_loss import SPREAD, evaporation_g_min

G_MIN = [(40, 0.24), (60, 0.75), (70, 1.21), (75, 1.52)]


@pytest.mark.parametrize(("temp_c", "g_min"), G_MIN)
def test_the_equation(temp_c: float, g_min: float) -> None:
    assert ashrae_still_air_g_min(150, temp_c, 20, 0.5) == pytest.approx(g_min, abs=0.006)


@pytest.mark.parametrize(("temp_c", "g_min"), G_MIN)
def test_the_estimate_for_a_make_lies_within_what_such_equations_miss_by(temp_c: float, g_min: float) -> None:
    assert evaporation_g_min(150, temp_c, 20, 0.5) == pytest.approx(g_min, rel=0.18)


# From 75 °C on the psychrometric form is 27 % above this equation (and 4 % under Shah's).
@pytest.mark.parametrize(("temp_c", "g_min"), G_MIN[:-1])
def test_the_psychrometric_form_of_the_forecast(temp_c: float, g_min: float) -> None:
    surface_m2 = pi * 0.15**2 / 4
    found = 60 * surface_m2 * evaporative_w_m2(temp_c, 20, 0.5) / latent_j_g(temp_c)
    assert found == pytest.approx(g_min, rel=SPREAD)
