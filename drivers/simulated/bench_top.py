"""What stands on the bench: its vessels, scales, probes and bath, looked up by name, and the time there."""

from __future__ import annotations

from collections.abc import Iterable
from random import Random

from drivers.simulated.errors import named
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
        return named("vessel", key, self.vessels)

    def scale(self, name: str) -> SimulatedScale:
        """The scale of that name; UnknownName if there is none."""
        return named("scale", name, self.scales)

    def probe(self, name: str) -> TempProbe:
        """The temperature probe of that name; UnknownName if there is none."""
        return named("probe", name, self.probes)

    def scale_under(self, key: str) -> SimulatedScale | None:
        """The scale a vessel stands on."""
        return self.scales.get(self.vessel(key).place)
