"""How fast a vessel on the bench cools, and how fast one in a bath or on a plate warms, before anything is measured.

Only the shape of these curves has to be right: a forecast learns their scale from the batch itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from benchapp.calculations.evaporation import (
    HUMIDITY,
    KELVIN,
    evaporative_w_m2,
    psychrometric_pa_k,
    saturation_pa,
    surface_w_m2k,
)
from benchapp.calculations.hot_bath import HotBath
from benchapp.foundation.language import tr

SIGMA = 5.670374e-8  # W/(m²·K⁴), CODATA
#: Glass, plastics, paint and water alike; bare steel is less, which the fitted scale takes up.
EMISSIVITY = 0.9
CP_WATER, CP_OIL = 4.18, 2.0  # J/(g·K); oils and waxes 1.8 to 2.2
#: A vessel holds about a tenth of the heat of its contents (common practice, no source).
VESSEL_HEAT = 1.1
#: Vessels are about as deep filled as nine tenths of their width, where nobody stated one (no source).
DEPTH_OF_WIDTH = 0.9
BENCH_W_M2K = 5.0  # through the bottom into a bench top (no source)
#: A draught of about half a metre a second, and radiation near 40 °C taken as steady (no source).
DRAUGHT_W_M2K, STEADY_RADIATION_W_M2K = 10.0, 6.0
BATH_W_M2K = 250.0  # water outside, glass wall, water inside, all by free convection
PLATE_W = 400.0  # of a bench hot plate, what arrives in the contents (no source)


@dataclass(frozen=True, slots=True)
class MeltingShare:
    """What melts in a vessel: its share of the contents 0..1, where it is clear in °C, and how much heat it takes to melt
    in J/g, None where nobody said."""

    share: float
    melts_c: float
    heat_j_g: float | None = None


@dataclass(frozen=True, slots=True)
class VesselPrior:
    """What is known of a vessel beforehand: grams of contents, share of water 0..1, inside diameter in mm.

    ``melts`` is what melts in it; ``bath`` what is told of the hot bath it stands in, None where nobody told.
    """

    mass_g: float
    water_share: float = 0.8
    diameter_mm: float | None = None
    in_bath: bool = False
    melts: tuple[MeltingShare, ...] = ()
    bath: HotBath | None = None

    def __post_init__(self) -> None:
        """Raises ValueError where a figure cannot be."""
        if not self.mass_g > 0.0:
            raise ValueError(
                tr("The contents of a vessel weigh more than nothing, not {mass_g:g} g.", mass_g=self.mass_g)
            )
        if not 0.0 <= self.water_share <= 1.0:
            raise ValueError(
                tr(
                    "The share of water lies between 0 and 1, not at {water_share:g}.",
                    water_share=self.water_share,
                )
            )
        if self.diameter_mm is not None and not self.diameter_mm > 0.0:
            raise ValueError(tr("A vessel is wider than {diameter_mm:g} mm.", diameter_mm=self.diameter_mm))

    @property
    def melting_told(self) -> bool:
        """Whether of all that melts it is told how much heat that takes."""
        return bool(self.melts) and all(x.heat_j_g is not None for x in self.melts)

    @property
    def width_m(self) -> float:
        """Inside diameter in m, stated or from the contents."""
        if self.diameter_mm is not None:
            return self.diameter_mm / 1000.0
        third: float = (4.0 * self.mass_g * 1e-6 / (pi * DEPTH_OF_WIDTH)) ** (1.0 / 3.0)
        return third

    @property
    def surface_m2(self) -> float:
        """Of the open top."""
        return pi * self.width_m**2 / 4.0

    @property
    def depth_m(self) -> float:
        """Of the contents, at 1 g/ml."""
        return self.mass_g * 1e-6 / self.surface_m2

    @property
    def heat_j_k(self) -> float:
        """Heat capacity of contents and vessel."""
        return self.mass_g * (CP_WATER * self.water_share + CP_OIL * (1.0 - self.water_share)) * VESSEL_HEAT


def radiation_w_m2k(temp_c: float, around_c: float) -> float:
    """Radiation as a coefficient in W/(m²·K) (Stefan and Boltzmann, surroundings at one temperature)."""
    hot, cold = temp_c + KELVIN, around_c + KELVIN
    return EMISSIVITY * SIGMA * (hot * hot + cold * cold) * (hot + cold)


def wall_w_m2k(temp_c: float, air_c: float, height_m: float) -> float:
    """Free convection on an upright wall, 1.42 (dT/L)^(1/4) W/(m²·K) (McAdams), with radiation."""
    quarter: float = (abs(temp_c - air_c) / max(height_m, 0.01)) ** 0.25
    return 1.42 * quarter + radiation_w_m2k(temp_c, air_c)


def dry_loss_w(prior: VesselPrior, temp_c: float, air_c: float) -> float:
    """Heat in W a vessel on the bench gives to the air without drying: walls, surface, bottom."""
    over_k = temp_c - air_c
    still = surface_w_m2k(temp_c, air_c, 0.0, 0.0, 101325.0)
    top = still + radiation_w_m2k(temp_c, air_c)
    wall_m2 = pi * prior.width_m * prior.depth_m
    wall = wall_m2 * wall_w_m2k(temp_c, air_c, prior.depth_m)
    return over_k * (wall + prior.surface_m2 * (top + BENCH_W_M2K))


def drying_loss_w(prior: VesselPrior, temp_c: float, air_c: float) -> float:
    """Heat in W that leaves with vapour from an open surface of pure water."""
    if saturation_pa(temp_c) >= 0.98 * 101325.0:
        temp_c = 99.4
    return prior.surface_m2 * evaporative_w_m2(temp_c, air_c, HUMIDITY)


def draughty_loss_w(prior: VesselPrior, temp_c: float, air_c: float, drying: float) -> float:
    """Heat in W lost in a steady draught: coefficients no longer grow with the difference (Newton's limit).

    ``DRAUGHT_W_M2K`` on every face, vapour by the psychrometric relation as in still air.
    """
    over_k = temp_c - air_c
    wall_m2 = pi * prior.width_m * prior.depth_m
    lift_pa = max(0.0, min(saturation_pa(temp_c), 99e3) - HUMIDITY * saturation_pa(air_c))
    vapour = drying * prior.surface_m2 * DRAUGHT_W_M2K * lift_pa / psychrometric_pa_k(temp_c)
    return over_k * (DRAUGHT_W_M2K + STEADY_RADIATION_W_M2K) * (wall_m2 + 2.0 * prior.surface_m2) + vapour


def warming_k_s(prior: VesselPrior, temp_c: float, bath_c: float = 80.0) -> float:
    """Rise of temperature in K/s to be expected in a water bath, else on a hot plate (neither has a source)."""
    if not prior.in_bath:
        return PLATE_W / prior.heat_j_k
    wetted = prior.surface_m2 + pi * prior.width_m * prior.depth_m
    return BATH_W_M2K * wetted * max(abs(bath_c - temp_c), 1.0) / prior.heat_j_k
