"""Heat and vapour: what a vessel gives to the air, what a bath gives to a vessel, what leaves as steam.

Natural convection after McAdams: 1.42 (dT/L)^(1/4) W/(m²·K) on upright walls, 0.14 Ra^(1/3) on a free
surface; radiation with the emissivity of the wall. Evaporation from the same surface coefficient by the
Lewis relation.
"""

from __future__ import annotations

from math import exp, pi

from drivers.simulated.simulated_vessel import SimulatedVessel
from drivers.simulated.water import CP_WATER, KELVIN, R_VAPOUR, Air, saturation_pa, vaporisation_j_g

SIGMA = 5.670374e-8
GRAVITY = 9.80665
EMISSIVITY = {"glass": 0.92, "plastic": 0.92, "steel": 0.2}
SURFACE_EMISSIVITY = 0.95
BENCH_W_M2K = 4.0  # through the bottom into a wooden bench top, no source
LID_LETS_THROUGH = 0.05
STIRRED_SURFACE = 1.15  # a moving surface has no cooler skin, no source
# Natural convection 0.1 Ra^(1/3) at a difference of 15 K gives 650 in water and 75 in oil (rounded); stirred
# figures are common practice, no source. Walls: 2 mm glass, 1 mm steel, 2 mm plastic.
OUTSIDE_W_M2K = 600.0
INSIDE_W_M2K = {(True, False): 500.0, (True, True): 1200.0, (False, False): 90.0, (False, True): 300.0}
WALL_W_M2K = {"glass": 500.0, "steel": 15000.0, "plastic": 100.0}
BLENDER_W = 15.0  # what a stick blender leaves in the batch as heat, no source


def surface_w_m2k(temp_c: float, air: Air, vapour_pa: float) -> float:
    """Convective coefficient over a free surface facing up, driven by heat and by light vapour together."""
    light = air.density_kg_m3(temp_c, vapour_pa)
    heavy = air.density_kg_m3(air.temp_c, air.vapour_pa)
    if heavy <= light:
        return 1.0  # a cold surface lies under still air
    film_k = 0.5 * (temp_c + air.temp_c) + KELVIN
    density = 0.5 * (light + heavy)
    viscosity = (
        1.716e-5 * (film_k / KELVIN) ** 1.5 * (KELVIN + 110.4) / (film_k + 110.4) / density
    )  # Sutherland
    conductivity: float = 0.0241 * (film_k / KELVIN) ** 0.9
    diffusivity = conductivity / (density * 1010.0)
    driving = GRAVITY * (heavy - light) / density / (viscosity * diffusivity)
    third: float = driving ** (1.0 / 3.0)
    return max(1.0, 0.14 * conductivity * third)


def evaporation_g_s(surface_m2: float, temp_c: float, air: Air, activity: float = 1.0) -> float:
    """Water leaving an open surface in g/s, never negative; ``activity`` 0..1 lowers the vapour pressure.

    Low-rate form h / (rho cp Le^(2/3)) times the vapour density difference; diffusion of vapour in air
    2.26e-5 (T/273)^1.81 m²/s.
    """
    over_pa = activity * saturation_pa(min(temp_c, air.boiling_c))
    if surface_m2 <= 0.0 or over_pa <= air.vapour_pa:
        return 0.0
    h = surface_w_m2k(temp_c, air, over_pa)
    film_k = 0.5 * (temp_c + air.temp_c) + KELVIN
    density = 0.5 * (air.density_kg_m3(temp_c, over_pa) + air.density_kg_m3(air.temp_c, air.vapour_pa))
    diffusion = 2.26e-5 * (film_k / KELVIN) ** 1.81 * 101325.0 / air.pressure_pa
    lewis = 0.0241 * (film_k / KELVIN) ** 0.9 / (density * 1010.0) / diffusion
    lewis_term: float = lewis ** (2.0 / 3.0)
    transfer_m_s = h / (density * 1010.0 * lewis_term)
    difference = over_pa / (R_VAPOUR * (temp_c + KELVIN)) - air.vapour_pa / (R_VAPOUR * (air.temp_c + KELVIN))
    return 1000.0 * surface_m2 * transfer_m_s * max(0.0, difference)


def radiation_w_m2k(temp_c: float, air_c: float, emissivity: float) -> float:
    """Radiation to surroundings at air temperature as a coefficient."""
    hot, cold = temp_c + KELVIN, air_c + KELVIN
    return emissivity * SIGMA * (hot * hot + cold * cold) * (hot + cold)


def wall_w_m2k(temp_c: float, air_c: float, height_m: float, emissivity: float) -> float:
    """Convection and radiation together on an upright wall."""
    convection: float = 1.42 * (abs(temp_c - air_c) / max(height_m, 0.01)) ** 0.25
    return convection + radiation_w_m2k(temp_c, air_c, emissivity)


def air_ua_w_k(vessel: SimulatedVessel, temp_c: float, air: Air, under_water_m: float) -> float:
    """Dry heat exchange of a vessel with the air in W/K; ``under_water_m`` of its wall stand in a bath."""
    across = vessel.diameter_m
    height = max(vessel.depth_m, vessel.capacity_ml * 1e-6 / vessel.surface_m2 if vessel.net_g <= 0 else 0.0)
    wall_m2 = pi * across * max(0.0, height - under_water_m)
    ua = wall_m2 * wall_w_m2k(temp_c, air.temp_c, height, EMISSIVITY[vessel.wall])
    top = surface_w_m2k(temp_c, air, air.vapour_pa) + radiation_w_m2k(temp_c, air.temp_c, SURFACE_EMISSIVITY)
    ua += vessel.surface_m2 * top * (0.3 if vessel.lidded else 1.0)
    if under_water_m <= 0.0:
        ua += vessel.surface_m2 * BENCH_W_M2K
    return ua


def settle_w(ua_w_k: float, heat_j_k: float, difference_k: float, dt_s: float) -> float:
    """Joules flowing in ``dt_s`` over ``ua_w_k`` into ``heat_j_k``, exact for a constant other side."""
    if heat_j_k <= 0.0:
        return 0.0
    return heat_j_k * difference_k * (1.0 - exp(-ua_w_k * dt_s / heat_j_k))


def cool_and_dry(vessel: SimulatedVessel, air: Air, dt_s: float, under_water_m: float = 0.0) -> float:
    """One step of a vessel against the air: dry loss, evaporation, boiling, the blender's work.

    Returns the joules that came in from air and blender (negative when cooling), vapour not counted.
    """
    temp_c = vessel.temp_c
    came_j = settle_w(
        air_ua_w_k(vessel, temp_c, air, under_water_m), vessel.heat_j_k, air.temp_c - temp_c, dt_s
    )
    if vessel.blending and vessel.net_g > 0.0:
        came_j += BLENDER_W * dt_s
        vessel.blended_s += dt_s
    vessel.enthalpy_j += came_j
    water_g = vessel.mixture.water_g
    if water_g > 0.0:
        activity = water_g / vessel.net_g  # share of the mass, standing in for Raoult and for a film of oil
        rate = evaporation_g_s(vessel.surface_m2, temp_c, air, activity)
        rate *= (LID_LETS_THROUGH if vessel.lidded else 1.0) * (STIRRED_SURFACE if vessel.stirred else 1.0)
        if rate > 0.0:
            vessel.lose_water(rate * dt_s, CP_WATER * temp_c + vaporisation_j_g(temp_c))
        boil_off(vessel, air)
    return came_j


def boil_off(vessel: SimulatedVessel, air: Air) -> None:
    """Turn heat above the boiling point into steam."""
    over_k = vessel.temp_c - air.boiling_c
    if over_k > 0.0:
        latent = vaporisation_j_g(air.boiling_c)
        vessel.lose_water(over_k * vessel.heat_j_k / latent, CP_WATER * air.boiling_c + latent)


class Bath:
    """A steel water bath with a thermostat. Grams of water in it, temperature in °C, heater in W.

    The thermostat's feeler hangs in the water: when the water is gone it feels air, the heater stays on and
    only the cut-out at 160 °C stops it.
    """

    WALL_J_K = 400.0
    DIAMETER_M = 0.24
    DRY_G = 150.0  # below this the vessels stand on hot steel, no longer in water
    HYSTERESIS_K = 0.8
    CUT_OUT_C = 160.0

    def __init__(self, temp_c: float, level_g: float = 2500.0) -> None:
        self.temp_c, self.level_g = temp_c, level_g
        self.set_c, self.power_w = 0.0, 0.0
        self.heating = False
        self.evaporated_g = 0.0
        self.heater_j = 0.0  # all the heater has given, for the balance

    @property
    def heat_j_k(self) -> float:
        """Of water and steel."""
        return self.WALL_J_K + CP_WATER * self.level_g

    @property
    def dry(self) -> bool:
        """Whether vessels no longer stand in water."""
        return self.level_g < self.DRY_G

    @property
    def enthalpy_j(self) -> float:
        """From 0 °C."""
        return self.heat_j_k * self.temp_c

    def depth_m(self, vessels: list[SimulatedVessel]) -> float:
        """How deep the water stands around the vessels in it."""
        open_m2 = pi * self.DIAMETER_M**2 / 4.0 - sum(v.surface_m2 for v in vessels)
        return self.level_g * 1e-6 / max(open_m2, 0.005)

    def step(self, vessels: list[SimulatedVessel], air: Air, dt_s: float) -> None:
        """Heat, lose to the air, evaporate, give to the vessels. Energy is kept."""
        self._thermostat(air)
        joules = self.power_w * dt_s if self.heating else 0.0
        self.heater_j += joules
        depth = self.depth_m(vessels)
        open_m2 = max(0.005, pi * self.DIAMETER_M**2 / 4.0 - sum(v.surface_m2 for v in vessels))
        outside = pi * self.DIAMETER_M * 0.12 * wall_w_m2k(self.temp_c, air.temp_c, 0.12, 0.2)
        top = open_m2 * (
            surface_w_m2k(self.temp_c, air, air.vapour_pa) + radiation_w_m2k(self.temp_c, air.temp_c, 0.9)
        )
        joules += settle_w(outside + top, self.heat_j_k, air.temp_c - self.temp_c, dt_s)
        for vessel in vessels:
            ua = immersed_ua_w_k(vessel, 0.0 if self.dry else depth)
            given = settle_w(ua, vessel.heat_j_k, self.temp_c - vessel.temp_c, dt_s)
            vessel.enthalpy_j += given
            joules -= given
        self.temp_c += joules / self.heat_j_k
        self._lose(open_m2, air, dt_s)

    def _thermostat(self, air: Air) -> None:
        feels = air.temp_c if self.dry and self.temp_c < self.CUT_OUT_C else self.temp_c
        limit = self.CUT_OUT_C if self.dry else self.set_c
        if self.power_w <= 0.0 or feels > min(self.set_c, limit) + self.HYSTERESIS_K:
            self.heating = False
        elif feels < self.set_c - self.HYSTERESIS_K:
            self.heating = True

    def _lose(self, open_m2: float, air: Air, dt_s: float) -> None:
        """Evaporation and boiling; vapour takes its own heat along, so the latent part cools the rest."""
        if self.level_g <= 0.0:
            return
        gone = min(self.level_g, evaporation_g_s(open_m2, min(self.temp_c, air.boiling_c), air) * dt_s)
        over_j = max(0.0, self.temp_c - air.boiling_c) * self.heat_j_k
        gone = min(self.level_g, gone + over_j / vaporisation_j_g(air.boiling_c))
        enthalpy = self.enthalpy_j - gone * (
            CP_WATER * self.temp_c + vaporisation_j_g(min(self.temp_c, air.boiling_c))
        )
        self.level_g -= gone
        self.evaporated_g += gone
        self.temp_c = enthalpy / self.heat_j_k


def immersed_ua_w_k(vessel: SimulatedVessel, depth_m: float) -> float:
    """Bath to contents in W/K: water outside, the wall, and inside stirred or not."""
    if depth_m <= 0.0:
        return 12.0 * vessel.surface_m2  # a pot standing on dry hot steel
    wetted = vessel.surface_m2 + pi * vessel.diameter_m * min(depth_m, max(vessel.depth_m, 0.01))
    watery = vessel.mixture.water_g > 0.3 * vessel.net_g and vessel.blended_s <= 0.0
    moved = vessel.stirred or vessel.blending
    inside = INSIDE_W_M2K[watery, moved]
    return wetted / (1.0 / OUTSIDE_W_M2K + 1.0 / WALL_W_M2K[vessel.wall] + 1.0 / inside)
