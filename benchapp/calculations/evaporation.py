"""Water and its vapour: saturation, boiling, latent heat, and how fast an open surface dries.

Pressures in Pa, temperatures in °C. Published correlations for still air differ from each
other and from measurement by about a quarter; nothing here is better than that.
"""

from __future__ import annotations

from math import pi, sqrt

KELVIN = 273.15
STANDARD_PA = 101325.0
#: Relative humidity of a room nobody measured (common practice, no source).
HUMIDITY = 0.45
R_DRY_AIR = 287.055  # J/(kg·K)
CP_AIR = 1006.0  # J/(kg·K)
#: Thermal over mass diffusivity of vapour in air, near 0.85 from 20 to 80 °C; its two-thirds power.
LEWIS_TWO_THIRDS = 0.85 ** (2.0 / 3.0)

# Coefficients n1 to n10 of the saturation line.
_N1, _N2, _N3, _N4, _N5 = (
    1167.0521452767, -724213.16703206, -17.073846940092, 12020.82470247, -3232555.0322333,
)  # fmt: skip
_N6, _N7, _N8, _N9, _N10 = (
    14.91510861353, -4823.2657361591, 405113.40542057, -0.23855557567849, 650.17534844798,
)  # fmt: skip


def saturation_pa(temp_c: float) -> float:
    """Vapour pressure over liquid water in Pa, 0 to 370 °C (IAPWS-IF97, region 4, equation 30)."""
    t = temp_c + KELVIN
    v = t + _N9 / (t - _N10)
    a = v * v + _N1 * v + _N2
    b = _N3 * v * v + _N4 * v + _N5
    c = _N6 * v * v + _N7 * v + _N8
    return 1e6 * (2.0 * c / (-b + sqrt(b * b - 4.0 * a * c))) ** 4


def boiling_c(pressure_pa: float) -> float:
    """Temperature in °C at which water boils under a pressure in Pa (IAPWS-IF97, region 4, equation 31)."""
    b: float = (pressure_pa / 1e6) ** 0.25
    e = b * b + _N3 * b + _N6
    f = _N1 * b * b + _N4 * b + _N7
    g = _N2 * b * b + _N5 * b + _N8
    d = 2.0 * g / (-f - sqrt(f * f - 4.0 * e * g))
    temp_k = 0.5 * (_N10 + d - sqrt((_N10 + d) ** 2 - 4.0 * (_N9 + _N10 * d)))
    return temp_k - KELVIN


def air_pressure_pa(altitude_m: float) -> float:
    """Pressure of the standard atmosphere in Pa at an altitude in m, up to 11 km (ISO 2533)."""
    return float(STANDARD_PA * (1.0 - 0.0065 * altitude_m / 288.15) ** 5.25588)


def boiling_at_altitude_c(altitude_m: float) -> float:
    """Temperature in °C at which water boils at an altitude in m, standard atmosphere."""
    return boiling_c(air_pressure_pa(altitude_m))


def latent_j_g(temp_c: float) -> float:
    """Heat of vaporisation of water in J/g, 0 to 110 °C, within 0.2 %.

    Watson's form; 2256.5 J/g at 100 °C and the exponent from the IAPWS-IF97 values at 0 and 100 °C.
    """
    return float(2256.5 * ((374.0 - temp_c) / 274.0) ** 0.33)


def psychrometric_pa_k(temp_c: float, pressure_pa: float = STANDARD_PA) -> float:
    """Pressure of vapour in Pa that carries as much heat as one kelvin: cp p Le^(2/3) / (0.622 L).

    The psychrometric constant with the Lewis relation (Chilton and Colburn).
    """
    return CP_AIR * pressure_pa * LEWIS_TWO_THIRDS / (0.622 * 1000.0 * latent_j_g(temp_c))


def surface_w_m2k(temp_c: float, air_c: float, over_pa: float, air_pa: float, pressure_pa: float) -> float:
    """Free convection over a level surface facing up in W/(m²·K); at least 1 where a cold layer lies still."""
    warm = (temp_c + KELVIN) * (1.0 + 0.378 * over_pa / pressure_pa)
    lift_k = warm - (air_c + KELVIN) * (1.0 + 0.378 * air_pa / pressure_pa)
    third: float = max(lift_k, 0.0) ** (1.0 / 3.0)
    return max(1.0, 1.52 * third)


def evaporative_w_m2(temp_c: float, air_c: float, humidity: float) -> float:
    """Heat that vapour takes from an open water surface in W/m², never negative.

    The low-rate form, which is what the published correlations were fitted with.
    """
    over = saturation_pa(temp_c)
    air = humidity * saturation_pa(air_c)
    if over <= air:
        return 0.0
    h = surface_w_m2k(temp_c, air_c, over, air, STANDARD_PA)
    return h * (over - air) / psychrometric_pa_k(temp_c, STANDARD_PA)


def ashrae_still_air_g_min(
    diameter_mm: float, temp_c: float, air_c: float, humidity: float = HUMIDITY
) -> float:
    """The ASHRAE equation for pools without wind (Carrier's), 0.089 (pw - pa) / Y kg/(s·m²) with kPa and kJ/kg."""
    surface_m2 = pi * (diameter_mm / 1000.0) ** 2 / 4.0
    difference_kpa = (saturation_pa(temp_c) - humidity * saturation_pa(air_c)) / 1000.0
    return max(0.0, 60000.0 * surface_m2 * 0.089 * difference_kpa / latent_j_g(temp_c))


def shah_still_air_g_min(
    diameter_mm: float, temp_c: float, air_c: float, humidity: float = HUMIDITY
) -> float:
    """Shah's equation for an undisturbed surface: 35 rho_w (rho_a - rho_w)^(1/3) (W_w - W_a) kg/(h·m²).

    Densities are of dry air per m³ of mixture, W humidity ratios.
    """
    surface_m2 = pi * (diameter_mm / 1000.0) ** 2 / 4.0
    over, air = saturation_pa(temp_c), humidity * saturation_pa(air_c)
    dry_over = (STANDARD_PA - over) / (R_DRY_AIR * (temp_c + KELVIN))
    dry_air = (STANDARD_PA - air) / (R_DRY_AIR * (air_c + KELVIN))
    ratio = 0.622 * (over / (STANDARD_PA - over) - air / (STANDARD_PA - air))
    if ratio <= 0.0 or dry_air <= dry_over:
        return 0.0
    third: float = (dry_air - dry_over) ** (1.0 / 3.0)
    return 1000.0 / 60.0 * surface_m2 * 35.0 * dry_over * third * ratio
