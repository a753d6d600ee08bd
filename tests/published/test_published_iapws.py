"""Water against IAPWS-IF97, as the library iapws computes it, and boiling points by altitude (ISO 2533)."""

from __future__ import annotations

import iapws
import pytest

from benchapp.calculations.evaporation import (
    boiling_at_altitude_c,
    boiling_c,
    latent_j_g,
    saturation_pa,
)
from benchapp.calculations.filling import density_at_20_g_ml, nominal_mass_g

TEMPS_C = (0.01, 10.0, 20.0, 40.0, 60.0, 70.0, 75.0, 90.0, 100.0, 120.0)


@pytest.mark.parametrize("temp_c", TEMPS_C)
def test_saturation_pressure_and_its_inverse(temp_c: float) -> None:
    pressure_pa = iapws.IAPWS97(T=temp_c + 273.15, x=0).P * 1e6
    assert saturation_pa(temp_c) == pytest.approx(pressure_pa, rel=1e-9)
    assert boiling_c(pressure_pa) == pytest.approx(temp_c, abs=1e-6)


@pytest.mark.parametrize("temp_c", TEMPS_C)
def test_heat_of_vaporisation(temp_c: float) -> None:
    steam, water = (iapws.IAPWS97(T=temp_c + 273.15, x=x).h for x in (1, 0))
    assert latent_j_g(temp_c) == pytest.approx(steam - water, rel=0.002)


# The published figures the bench keeps: vapour pressure in kPa (iapws and CoolProp agree).
@pytest.mark.parametrize(("temp_c", "kpa"), [(20, 2.339), (40, 7.384), (70, 31.20), (75, 38.595)])
def test_figures_of_the_bench(temp_c: float, kpa: float) -> None:
    assert saturation_pa(temp_c) / 1000.0 == pytest.approx(kpa, rel=2e-4)


@pytest.mark.parametrize(
    ("altitude_m", "boils_c"),
    [(0, 99.974), (500, 98.313), (1000, 96.649), (1500, 94.984), (2000, 93.317), (3000, 89.977)],
)
def test_water_boils_lower_on_a_mountain(altitude_m: float, boils_c: float) -> None:
    assert boiling_at_altitude_c(altitude_m) == pytest.approx(boils_c, abs=0.006)


@pytest.mark.parametrize("temp_c", [20.0, 25.0, 30.0, 35.0, 40.0])
def test_a_bottle_of_water_measured_warm_is_filled_for_20_degrees(temp_c: float) -> None:
    """Within 0.05 %: one expansion stands for all of 20 to 40 °C, a tenth of what the band gives."""
    warm, at_20 = (iapws.IAPWS97(T=t + 273.15, P=0.101325).rho / 1000.0 for t in (temp_c, 20.0))
    filled_g = nominal_mass_g(100.0, density_at_20_g_ml(warm, temp_c))
    assert filled_g == pytest.approx(100.0 * at_20, rel=5e-4)
