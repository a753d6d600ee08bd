"""What stands on the bench: its vessels, scales, probes and bath, looked up by name, and the time there."""

from __future__ import annotations

from collections.abc import Iterable
from random import Random

from drivers.simulated.errors import UnknownName
from drivers.simulated.heat_flow import Bath
from drivers.simulated.probes import PhProbe, TempProbe
from drivers.simulated.simulated_scale import SimulatedScale
from drivers.simulated.simulated_vessel import SimulatedVessel
from drivers.simulated.water import Air


class BenchTop:
    """Everything on the bench. Times in simulated seconds, masses in g, temperatures in °C."""

    def __init__(
        self,
        seed: int,
        air: Air,
        scales: Iterable[tuple[str, float, float]] = (),  # name, capacity_g, division_g
        probes: Iterable[str] = (),
        ph_probes: Iterable[str] = (),
    ) -> None:
        self._seed, self.air, self.now_s = seed, air, 0.0
        self.vessels: dict[str, SimulatedVessel] = {}
        self.scales = {
            n: SimulatedScale(n, capacity, division, self._rng(n)) for n, capacity, division in scales
        }
        self.probes = {n: TempProbe(n, air.temp_c, self._rng(n)) for n in probes}
        self.ph_probes = {n: PhProbe(n, self._rng(n)) for n in ph_probes}
        self.bath = Bath(air.temp_c)

    def _rng(self, who: str) -> Random:
        return Random(f"{self._seed}/{who}")

    def vessel(self, key: str) -> SimulatedVessel:
        """The vessel of that key; UnknownName if there is none."""
        if key not in self.vessels:
            raise UnknownName("vessel", key, self.vessels)
        return self.vessels[key]

    def scale(self, name: str) -> SimulatedScale:
        """The scale of that name; UnknownName if there is none."""
        if name not in self.scales:
            raise UnknownName("scale", name, self.scales)
        return self.scales[name]

    def probe(self, name: str) -> TempProbe:
        """The temperature probe of that name; UnknownName if there is none."""
        if name not in self.probes:
            raise UnknownName("probe", name, self.probes)
        return self.probes[name]

    def scale_under(self, key: str) -> SimulatedScale | None:
        """The scale a vessel stands on."""
        return self.scales.get(self.vessel(key).place)
