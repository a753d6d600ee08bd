"""Water against IAPWS-IF97 (the iapws package), boiling at altitude against the published table."""

import pytest
from iapws import IAPWS97

from drivers.simulated.water import (
    Air,
    boiling_c,
    density_kg_m3,
    pressure_pa,
    saturation_pa,
    vaporisation_j_g,
    wet_bulb_c,
)

TEMPERATURES = [0.01, 5.0, 20.0, 40.0, 60.0, 70.0, 75.0, 90.0, 100.0, 120.0]


@pytest.mark.parametrize("temp_c", TEMPERATURES)
def test_vapour_pressure_density_and_heat_of_vaporisation_follow_iapws(temp_c: float) -> None:
    liquid, vapour = (IAPWS97(T=temp_c + 273.15, x=x) for x in (0, 1))
    assert saturation_pa(temp_c) == pytest.approx(liquid.P * 1e6, rel=2e-4)
    assert density_kg_m3(temp_c) == pytest.approx(liquid.rho, rel=1e-4)
    assert vaporisation_j_g(temp_c) == pytest.approx(vapour.h - liquid.h, rel=2e-3)


@pytest.mark.parametrize(
    ("temp_c", "kpa", "density"),
    [(20, 2.339, 998.21), (40, 7.384, 992.22), (70, 31.20, 977.77), (75, 38.595, 974.85)],
)
def test_the_published_figures(temp_c: float, kpa: float, density: float) -> None:
    """Computed with iapws and CoolProp, which agree; densities at atmospheric pressure."""
    assert saturation_pa(temp_c) / 1000.0 == pytest.approx(kpa, rel=5e-4)
    assert density_kg_m3(temp_c) == pytest.approx(density, abs=0.06)


@pytest.mark.parametrize(
    ("altitude_m", "boils_c"),
    [(0, 99.974), (500, 98.313), (1000, 96.649), (1500, 94.984), (2000, 93.317), (3000, 89.977)],
)
def test_boiling_at_altitude(altitude_m: float, boils_c: float) -> None:
    """International Standard Atmosphere; computed with iapws and CoolProp, which agree."""
    assert boiling_c(pressure_pa(altitude_m)) == pytest.approx(boils_c, abs=0.01)


def test_wet_bulb_of_stulls_own_example() -> None:
    """R. Stull, J. Appl. Meteor. Climatol. 50 (2011) 2267: 20 °C and 50 % give 13.7 °C."""
    assert wet_bulb_c(20.0, 0.5) == pytest.approx(13.7, abs=0.05)


def test_moist_air_is_lighter_than_dry() -> None:
    air = Air(20.0, 0.5, 0.0)
    assert air.density_kg_m3(20.0, 0.0) == pytest.approx(1.204, abs=0.002)  # dry air at 20 °C, textbook
    assert air.density_kg_m3(20.0, 2000.0) < air.density_kg_m3(20.0, 0.0)
