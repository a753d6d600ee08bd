"""A pot whose contents melt and set: stirred bulk and skin, in air, in a bath, on a plate or in ice; and its probe.

Written apart from the product, from its simulated bench and from ``simulated_vessels``; every coefficient is stated
here (textbook orders of magnitude, no source for this very bench). The independent bench of ``otherbench`` lends its
vapour pressure; its pots neither melt nor thicken.

Bulk and skin each follow dQ = m (cp + L dphi/dT) dT, with the molten share phi a raised cosine between solidus and
liquidus. What passes between them falls as the contents thicken. A probe stands in the bulk, more or less near the skin.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import cos, exp, pi
from random import Random

from otherbench.thermal import vapour_pa

STEP_S = 1.0


@dataclass
class Stuff:
    """Contents by the gram: heat without melting, wax and its latent heat over a range, and how it thickens."""

    mass_g: float
    cp_j_gk: float
    wax: float = 0.0  # of all contents
    latent_j_g: float = 0.0  # of the wax
    solid_c: float = 40.0
    liquid_c: float = 50.0
    thickens: float = 0.0  # natural logarithm lost of the inner exchange per K below the liquidus
    thickest: float = 0.05  # what is left of it at last

    def heat_j_gk(self, temp_c: float) -> float:
        """Heat capacity with what melts or sets just there."""
        if self.wax and self.solid_c < temp_c < self.liquid_c:
            width = self.liquid_c - self.solid_c
            bump = (1.0 - cos(2.0 * pi * (temp_c - self.solid_c) / width)) / width
            return self.cp_j_gk + self.wax * self.latent_j_g * bump
        return self.cp_j_gk

    def flows(self, temp_c: float) -> float:
        """Share left of the inner exchange."""
        if temp_c >= self.liquid_c or not self.thickens:
            return 1.0
        return max(self.thickest, exp(-self.thickens * (self.liquid_c - temp_c)))


@dataclass
class Air:
    """A bench: walls and surface lose, and what dries (none under a lid)."""

    room_c: float
    h_w_m2k: float = 9.0
    dries: float = 0.08  # W/(m²·Pa)
    damp_pa: float = 1200.0
    lid: bool = False

    def step(self, given_w: float) -> None:
        """The room stays as it is."""


@dataclass
class Bath:
    """Water around the pot. ``way``: "thermostat" (proportional), "on-off", "heating" (full power), "ice"."""

    way: str
    temp_c: float
    room_c: float
    water_g: float = 3000.0
    set_c: float = 80.0
    power_w: float = 1000.0
    swing_k: float = 1.0
    ice_g: float = 0.0
    h_w_m2k: float = 350.0
    _heats: bool = True

    def step(self, given_w: float) -> None:
        """One moment; ``given_w`` goes into the pot (below 0: comes out of it)."""
        power = 0.0
        if self.way == "heating":
            power = self.power_w
        elif self.way == "thermostat":
            power = self.power_w * min(1.0, max(0.0, (self.set_c - self.temp_c) / 2.0 + 0.1))
        elif self.way == "on-off":
            self._heats = self.temp_c < self.set_c + (self.swing_k if self._heats else -self.swing_k)
            power = self.power_w if self._heats else 0.0
        net_w = power - given_w - 3.0 * (self.temp_c - self.room_c)
        if self.ice_g > 0.0 and net_w > 0.0 and self.temp_c < 3.0:
            self.ice_g -= net_w * STEP_S / 334.0
            return
        self.temp_c = min(99.0, self.temp_c + net_w * STEP_S / (self.water_g * 4.18))


@dataclass
class Plate:
    """A hot plate under the pot: full power, or switched on and off about a temperature of its own."""

    temp_c: float
    room_c: float
    power_w: float
    set_c: float | None = None
    heat_j_k: float = 600.0
    contact_w_m2k: float = 150.0
    _heats: bool = True

    def step(self, given_w: float) -> None:
        """One moment."""
        if self.set_c is not None:
            self._heats = self.temp_c < self.set_c + (8.0 if self._heats else -8.0)
        power = self.power_w if self._heats else 0.0
        self.temp_c += (power - given_w - 0.4 * (self.temp_c - self.room_c)) * STEP_S / self.heat_j_k


@dataclass
class Stirring:
    """Always, never, so many seconds every so often, or until it stops."""

    way: str
    every_s: float = 300.0
    for_s: float = 40.0
    stops_s: float = 1e9

    def on(self, at_s: float) -> bool:
        """Whether it is stirred now."""
        if self.way == "now and then":
            return at_s % self.every_s < self.for_s
        return self.way == "always" and at_s < self.stops_s


@dataclass
class Pot:
    """The vessel with its contents in one of the surroundings."""

    stuff: Stuff
    width_m: float
    air: Air
    around: Air | Bath | Plate
    stirring: Stirring
    bulk_c: float
    skin_c: float
    skin: float = 0.15  # share of the contents that hangs at the wall
    wall_j_k: float = 60.0
    inner_w_m2k: float = 300.0
    stirred: float = 3.0  # times that while stirred
    at_s: float = 0.0

    def step(self) -> None:
        """One moment."""
        stuff, air = self.stuff, self.air
        top = pi * self.width_m**2 / 4.0
        wall = pi * self.width_m * stuff.mass_g * 1e-6 / top
        stirs = self.stirring.on(self.at_s)
        inner = self.inner_w_m2k * (self.stirred if stirs else 1.0)
        inner *= stuff.flows(0.5 * (self.bulk_c + self.skin_c))
        inner = max(inner, 400.0) if stirs else inner  # a spatula scrapes the wall
        bulk_j_k = stuff.mass_g * (1.0 - self.skin) * stuff.heat_j_gk(self.bulk_c)
        skin_j_k = stuff.mass_g * self.skin * stuff.heat_j_gk(self.skin_c) + self.wall_j_k
        pull = inner * (wall + top) * (1.0 / bulk_j_k + 1.0 / skin_j_k)
        across_w = (
            inner * (wall + top) * (self.bulk_c - self.skin_c) * (1.0 - exp(-pull * STEP_S)) / (pull * STEP_S)
        )
        over = self.bulk_c - air.room_c
        lift = max(vapour_pa(min(self.bulk_c, 99.0)) - air.damp_pa, 0.0)
        surface_w = top * (over * air.h_w_m2k * (0.4 if air.lid else 1.0))
        surface_w += top * lift * air.dries * (0.05 if air.lid else 1.0)
        outer_w = self._outer_w(wall, top)
        self.bulk_c -= (across_w + surface_w) * STEP_S / bulk_j_k
        self.skin_c += (across_w + outer_w) * STEP_S / skin_j_k
        self.around.step(outer_w)
        self.at_s += STEP_S

    def _outer_w(self, wall: float, top: float) -> float:
        """Heat that comes in through wall and floor."""
        if isinstance(self.around, Air):
            free = 0.7 + 0.3 * (abs(self.skin_c - self.around.room_c) / 30.0) ** 0.25
            return -self.around.h_w_m2k * free * (wall + 0.6 * top) * (self.skin_c - self.around.room_c)
        if isinstance(self.around, Bath):
            return self.around.h_w_m2k * (0.8 * wall + top) * (self.around.temp_c - self.skin_c)
        lost = self.air.h_w_m2k * wall * (self.skin_c - self.air.room_c)
        return self.around.contact_w_m2k * top * (self.around.temp_c - self.skin_c) - lost


@dataclass
class Display:
    """A probe between bulk and skin with its lag, its noise and the step of its display."""

    rng: Random
    temp_c: float
    lag_s: float = 5.0
    noise_k: float = 0.05
    step_k: float = 0.1
    near_skin: float = 0.1
    offset_k: float = 0.0
    keep: float = field(init=False)

    def __post_init__(self) -> None:
        self.keep = exp(-STEP_S / self.lag_s)

    @property
    def scatter_k(self) -> float:
        """Standard deviation of one reading."""
        return (self.noise_k**2 + self.step_k**2 / 12.0) ** 0.5

    def read(self, pot: Pot) -> float:
        """One reading."""
        truth = pot.bulk_c + (pot.skin_c - pot.bulk_c) * self.near_skin
        self.temp_c = truth + (self.temp_c - truth) * self.keep
        shown = self.temp_c + self.offset_k + self.rng.gauss(0.0, self.noise_k)
        return round(round(shown / self.step_k) * self.step_k, 6)
