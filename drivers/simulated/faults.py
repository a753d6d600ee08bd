"""What can go wrong with the devices, on demand. Every name is a device of the bench."""

from __future__ import annotations

from typing import TYPE_CHECKING

from drivers.simulated.errors import ImpossibleAct
from drivers.simulated.twins import ScaleTwin, Twin

if TYPE_CHECKING:
    from drivers.simulated.bench import SimulatedBench

BOOT_S = 2.0


class Faults:
    """Faults of one bench; each lasts until it is taken back, except where a count or a time is given."""

    def __init__(self, bench: SimulatedBench) -> None:
        self._bench = bench
        self._switch_on: list[tuple[float, ScaleTwin]] = []

    def unplug(self, name: str) -> None:
        """Pull the cable: the port and its link are gone."""
        self._bench.plug(name).pull()

    def replug(self, name: str) -> None:
        """Put the cable back: a new port behind the same link."""
        self._bench.plug(name).push()

    def freeze(self, name: str) -> None:
        """The device hangs: the port stays open, nothing comes."""
        self._bench.twin(name).silent = True

    def thaw(self, name: str) -> None:
        """It goes on."""
        self._bench.twin(name).silent = False

    def stuck(self, name: str, on: bool = True) -> None:
        """It keeps printing its last line whatever happens."""
        self._bench.twin(name).stuck = on

    def garbage(self, name: str, n_lines: int) -> None:
        """The next lines are random bytes."""
        self._bench.twin(name).garbage_lines = n_lines

    def babble(self, name: str, on: bool = True) -> None:
        """Random bytes without an end of line, as from a wrong baud rate."""
        self._bench.twin(name).babbling = on

    def spike(self, name: str, amount: float) -> None:
        """The next line is off by ``amount``, in the device's unit."""
        self._bench.twin(name).spike = amount

    def wrong_unit(self, name: str, on: bool = True, unit: str = "") -> None:
        """Somebody pressed the unit key: pieces on a scale, millivolts elsewhere, or "oz", "F" as given."""
        twin = self._bench.twin(name)
        twin.odd_unit = (unit or ("pcs" if isinstance(twin, ScaleTwin) else "mV")) if on else ""

    def drift(self, name: str, g_per_min: float) -> None:
        """The zero of a scale creeps; 0 ends it."""
        self._scale(name).scale.drift_g_min = g_per_min

    def power_cycle(self, name: str, off_s: float) -> None:
        """A scale loses power for ``off_s``, starts in two seconds more and zeroes on what stands on it."""
        twin = self._scale(name)
        twin.scale.power(False)
        self._switch_on.append((self._bench.now_s + off_s + BOOT_S, twin))

    def switch_off(self, name: str) -> None:
        """A scale saves its battery."""
        self._scale(name).scale.power(False)

    def switch_on(self, name: str) -> None:
        """Press its power key: it zeroes on whatever stands on it."""
        scale = self._scale(name).scale
        if not scale.on:
            scale.power(True)

    def open_probe(self, probe: str, on: bool = True) -> None:
        """Break the wire of a temperature probe, named by its channel."""
        self._bench.world.probe(probe).open = on

    def swap(self, one: str, other: str) -> None:
        """Exchange the cables of two devices: each link now carries the other's lines."""
        a, b = self._bench.plug(one), self._bench.plug(other)
        for plug in (a, b):
            plug.pull()
        a.twin, b.twin = b.twin, a.twin
        for plug in (a, b):
            plug.push()

    def step(self, now_s: float) -> None:
        """Switch on what is due."""
        for due_s, twin in self._switch_on:
            if due_s <= now_s + 1e-9:
                twin.scale.power(True)
        self._switch_on = [(due_s, twin) for due_s, twin in self._switch_on if due_s > now_s + 1e-9]

    def _scale(self, name: str) -> ScaleTwin:
        twin: Twin = self._bench.twin(name)
        if not isinstance(twin, ScaleTwin):
            raise ImpossibleAct(f"{name!r} is not a scale")
        return twin
