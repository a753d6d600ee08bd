"""Properties of water and moist air, 0 to about 130 °C. Pressures in Pa, densities in kg/m³, heat in J/g."""

from __future__ import annotations

from math import atan, exp, sqrt

CRITICAL_K = 647.096
CRITICAL_PA = 22.064e6
CRITICAL_KG_M3 = 322.0
SEA_LEVEL_PA = 101325.0
KELVIN = 273.15
R_AIR = 287.055  # J/(kg·K), dry air
R_VAPOUR = 461.523  # J/(kg·K), water vapour
CP_WATER = 4.186  # J/(g·K), mean over 0 to 100 °C


def saturation_pa(temp_c: float) -> float:
    """Vapour pressure over liquid water in Pa (IAPWS SR1-86(1992), equation 1)."""
    t = temp_c + KELVIN
    x = 1.0 - t / CRITICAL_K
    root = sqrt(x)
    total = x * (
        -7.85951783
        + 1.84408259 * root
        + x * x * (-11.7866497 + 22.6807411 * root + x * (-15.9618719 + 1.80122502 * x * x * x * root))
    )
    return CRITICAL_PA * exp(CRITICAL_K / t * total)


def density_kg_m3(temp_c: float) -> float:
    """Density of liquid water at saturation in kg/m³ (IAPWS SR1-86(1992), equation 2)."""
    b: float = (1.0 - (temp_c + KELVIN) / CRITICAL_K) ** (1.0 / 3.0)
    return CRITICAL_KG_M3 * (
        1.0
        + 1.99274064 * b
        + 1.09965342 * b**2
        - 0.510839303 * b**5
        - 1.75493479 * b**16
        - 45.5170352 * b**43
        - 6.74694450e5 * b**110
    )


def vaporisation_j_g(temp_c: float) -> float:
    """Heat of vaporisation in J/g, a quadratic through the IAPWS-IF97 values at 0, 50 and 100 °C."""
    return 2500.9 - 2.2995 * temp_c - 0.00145 * temp_c * temp_c


def boiling_c(pressure_pa: float) -> float:
    """Temperature in °C at which water boils under the given pressure in Pa, by bisection."""
    low, high = 0.01, 200.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        if saturation_pa(middle) < pressure_pa:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def pressure_pa(altitude_m: float) -> float:
    """Air pressure in Pa at an altitude in m, International Standard Atmosphere (ISO 2533)."""
    return float(SEA_LEVEL_PA * (1.0 - 2.25577e-5 * altitude_m) ** 5.25588)


def wet_bulb_c(temp_c: float, humidity: float) -> float:
    """Wet-bulb temperature in °C of air at ``temp_c`` and relative humidity 0..1 (Stull 2011, sea level)."""
    rh = 100.0 * min(max(humidity, 0.05), 0.99)
    return float(
        temp_c * atan(0.151977 * sqrt(rh + 8.313659))
        + atan(temp_c + rh)
        - atan(rh - 1.676331)
        + 0.00391838 * rh**1.5 * atan(0.023101 * rh)
        - 4.686035
    )


class Air:
    """The air of the workshop: temperature in °C, relative humidity 0..1, pressure from the altitude in m."""

    def __init__(self, temp_c: float, humidity: float, altitude_m: float) -> None:
        self.temp_c = temp_c
        self.humidity = humidity
        self.pressure_pa = pressure_pa(altitude_m)
        self.boiling_c = boiling_c(self.pressure_pa)
        self.wet_bulb_c = wet_bulb_c(temp_c, humidity)
        self.vapour_pa = humidity * saturation_pa(temp_c)

    def density_kg_m3(self, temp_c: float, vapour_pa: float) -> float:
        """Density of moist air at a temperature and a partial pressure of vapour."""
        return ((self.pressure_pa - vapour_pa) / R_AIR + vapour_pa / R_VAPOUR) / (temp_c + KELVIN)
