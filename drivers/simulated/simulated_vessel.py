"""A vessel and the mixture in it: masses, temperature, and an enthalpy in which melting costs its heat."""

from __future__ import annotations

from bisect import bisect_right
from math import pi
from typing import Literal

from drivers.simulated.acid import ph_of
from drivers.simulated.materials import Acid, SimulatedMaterial
from drivers.simulated.water import CP_WATER

Wall = Literal["glass", "steel", "plastic"]
WALL_CP_J_GK: dict[str, float] = {"glass": 0.84, "steel": 0.50, "plastic": 1.8}


class Mixture:
    """Grams of each material, the water still in each, and the acids, which stay when the water leaves."""

    __slots__ = ("acid_mol", "grams", "materials", "strong_mol", "water")

    def __init__(self) -> None:
        self.grams: dict[str, float] = {}
        self.water: dict[str, float] = {}
        self.materials: dict[str, SimulatedMaterial] = {}
        self.acid_mol: dict[Acid, float] = {}
        self.strong_mol = 0.0

    @classmethod
    def of(cls, material: SimulatedMaterial, grams: float) -> Mixture:
        """So many grams of one material."""
        new = cls()
        new.materials[material.name] = material
        new.grams[material.name] = grams
        new.water[material.name] = grams * material.water_share
        for acid, mol_kg in material.acids:
            new.acid_mol[acid] = new.acid_mol.get(acid, 0.0) + mol_kg * grams / 1000.0
        new.strong_mol = material.strong_mol_kg * grams / 1000.0
        return new

    @property
    def mass_g(self) -> float:
        """All of it."""
        return sum(self.grams.values())

    @property
    def water_g(self) -> float:
        """What could evaporate."""
        return sum(self.water.values())

    @property
    def volume_ml(self) -> float:
        """Volumes added up, no contraction."""
        return sum(g / self.materials[n].density_g_ml for n, g in self.grams.items())

    def add(self, other: Mixture) -> None:
        """Put another mixture into this one."""
        self.materials.update(other.materials)
        for mine, theirs in ((self.grams, other.grams), (self.water, other.water)):
            for name, grams in theirs.items():
                mine[name] = mine.get(name, 0.0) + grams
        for acid, mol in other.acid_mol.items():
            self.acid_mol[acid] = self.acid_mol.get(acid, 0.0) + mol
        self.strong_mol += other.strong_mol

    def take(self, grams: float) -> Mixture:
        """Remove so many grams of the whole, evenly mixed, and return them; at most all there is."""
        mass = self.mass_g
        share = 0.0 if mass <= 0.0 else min(1.0, max(0.0, grams / mass))
        taken, keep = Mixture(), 1.0 - share
        taken.materials = dict(self.materials)
        for mine, theirs in ((self.grams, taken.grams), (self.water, taken.water)):
            for name, amount in mine.items():
                theirs[name] = amount * share
                mine[name] = amount * keep
        for acid, mol in self.acid_mol.items():
            taken.acid_mol[acid] = mol * share
            self.acid_mol[acid] = mol * keep
        taken.strong_mol, self.strong_mol = self.strong_mol * share, self.strong_mol * keep
        if share == 1.0:
            for emptied in (self.grams, self.water, self.materials, self.acid_mol):
                emptied.clear()
        return taken

    def evaporate(self, grams: float) -> float:
        """Remove so many grams of water from every material in proportion; returns what really left."""
        there = self.water_g
        gone = min(grams, there)
        if gone <= 0.0:
            return 0.0
        share = gone / there
        for name, water in self.water.items():
            self.grams[name] -= water * share
            self.water[name] = water * (1.0 - share)
        return gone

    def ph(self, temp_c: float = 25.0) -> float | None:
        """pH of its water, None where there is none to speak of (less than 2 % of the mass)."""
        litres = self.water_g / 1000.0
        if litres <= 0.0 or litres * 1000.0 < 0.02 * self.mass_g:
            return None
        return ph_of({a: n / litres for a, n in self.acid_mol.items()}, self.strong_mol / litres, temp_c)


class SimulatedVessel:
    """A pot, beaker or boat with its contents, all at one temperature.

    ``enthalpy_j`` counts from 0 °C with everything that can freeze solid. ``place`` is "bench", "bath" or the
    name of a scale.
    """

    def __init__(
        self,
        key: str,
        empty_g: float,
        capacity_ml: float,
        diameter_mm: float | None,
        wall: Wall,
        temp_c: float,
    ) -> None:
        self.key, self.empty_g, self.capacity_ml, self.wall = key, empty_g, capacity_ml, wall
        # A pot a little taller than wide where nobody measured it.
        self.diameter_m = (
            diameter_mm / 1000.0 if diameter_mm else (capacity_ml * 1e-6 * 4.0 / (pi * 1.1)) ** (1.0 / 3.0)
        )
        self.mixture = Mixture()
        self.wall_j_k = empty_g * WALL_CP_J_GK[wall]
        self.enthalpy_j = self.wall_j_k * temp_c
        self.place = "bench"
        self.stirred = self.lidded = self.blending = False
        self.blended_s = self.evaporated_g = self.spilt_g = 0.0
        self._temps: list[float] = []
        self._enthalpies: list[float] = []
        self._slope = self.wall_j_k
        self._volume_ml = self._mass_g = 0.0
        self.refresh()

    @property
    def mass_g(self) -> float:
        """Vessel and contents, as a scale would carry them."""
        return self.empty_g + self._mass_g

    @property
    def net_g(self) -> float:
        """Contents alone."""
        return self._mass_g

    @property
    def volume_ml(self) -> float:
        """Contents, in ml."""
        return self._volume_ml

    @property
    def contents(self) -> dict[str, float]:
        """Grams by material name."""
        return dict(self.mixture.grams)

    @property
    def surface_m2(self) -> float:
        """The open surface."""
        return pi * self.diameter_m**2 / 4.0

    @property
    def depth_m(self) -> float:
        """How deep the contents stand."""
        return self.volume_ml * 1e-6 / self.surface_m2

    @property
    def heat_j_k(self) -> float:
        """Heat capacity without what melting takes."""
        return self._slope

    @property
    def temp_c(self) -> float:
        """Temperature that belongs to the enthalpy."""
        if not self._temps:
            return self.enthalpy_j / self._slope
        at = bisect_right(self._enthalpies, self.enthalpy_j)
        if at == 0:
            return self.enthalpy_j / self._slope
        if at == len(self._temps):
            return self._temps[-1] + (self.enthalpy_j - self._enthalpies[-1]) / self._slope
        span = (self.enthalpy_j - self._enthalpies[at - 1]) / (
            self._enthalpies[at] - self._enthalpies[at - 1]
        )
        return self._temps[at - 1] + span * (self._temps[at] - self._temps[at - 1])

    def ph(self) -> float | None:
        """pH of the contents at their own temperature."""
        return self.mixture.ph(self.temp_c)

    def receive(self, portion: Mixture, temp_c: float) -> None:
        """Let a portion at ``temp_c`` fall in; what does not fit runs over and is counted as spilt."""
        self.enthalpy_j += enthalpy_j(portion, temp_c)
        self.mixture.add(portion)
        self.refresh()
        if self._volume_ml > self.capacity_ml > 0.0:
            over_g = self._mass_g * (1.0 - self.capacity_ml / self._volume_ml)
            self.give(over_g)
            self.spilt_g += over_g

    def give(self, grams: float) -> tuple[Mixture, float]:
        """Take so many grams out; returns them and their temperature in °C."""
        temp_c = self.temp_c
        portion = self.mixture.take(grams)
        self.enthalpy_j -= enthalpy_j(portion, temp_c)
        self.refresh()
        return portion, temp_c

    def lose_water(self, grams: float, carried_j_g: float) -> float:
        """Let water leave as vapour that carries ``carried_j_g`` away; returns the grams that left."""
        gone = self.mixture.evaporate(grams)
        self.enthalpy_j -= gone * carried_j_g
        self.evaporated_g += gone
        self.refresh()
        return gone

    def refresh(self) -> None:
        """Work out mass, volume and the enthalpy curve again after the contents have changed."""
        mass = volume = 0.0
        slope = self.wall_j_k
        ramps: list[tuple[float, float, float]] = []
        for name, grams in self.mixture.grams.items():
            material = self.mixture.materials[name]
            mass += grams
            volume += grams / material.density_g_ml
            slope += _cp_j_k(material, grams, self.mixture.water[name])
            if material.melts_c is not None and grams > 0.0:
                ramps.append(
                    (
                        material.melts_c - material.melting_span_k,
                        material.melts_c,
                        grams * material.latent_j_g,
                    )
                )
        self._mass_g, self._volume_ml, self._slope = mass, volume, slope
        self._temps = sorted({t for low, high, _ in ramps for t in (low, high)})
        self._enthalpies = [
            t * slope + sum(j * min(1.0, max(0.0, (t - low) / (high - low))) for low, high, j in ramps)
            for t in self._temps
        ]


def _cp_j_k(material: SimulatedMaterial, grams: float, water_g: float) -> float:
    """Heat capacity of some material that may have lost water: what is missing was water."""
    if not 0.0 < material.water_share < 1.0:
        return grams * material.cp_j_gk
    dry_cp = (material.cp_j_gk - material.water_share * CP_WATER) / (1.0 - material.water_share)
    return (grams - water_g) * max(dry_cp, 0.5) + water_g * CP_WATER


def melted(material: SimulatedMaterial, temp_c: float) -> float:
    """Share 0..1 of a material that melts which is liquid at a temperature."""
    assert material.melts_c is not None
    return min(1.0, max(0.0, (temp_c - material.melts_c + material.melting_span_k) / material.melting_span_k))


def enthalpy_j(portion: Mixture, temp_c: float) -> float:
    """Enthalpy in J of a portion at ``temp_c``, counted from 0 °C."""
    total = 0.0
    for name, grams in portion.grams.items():
        material = portion.materials[name]
        total += _cp_j_k(material, grams, portion.water[name]) * temp_c
        if material.melts_c is not None:
            total += grams * material.latent_j_g * melted(material, temp_c)
    return total
