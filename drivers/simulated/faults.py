"""What can go wrong with the devices, on demand. Every name is a device of the bench."""

from __future__ import annotations

from benchapp.foundation.numbers import exact
from drivers.simulated.bench_top import BenchTop
from drivers.simulated.cables import Cables
from drivers.simulated.device_models import DeviceModel, ScaleModel
from drivers.simulated.errors import ImpossibleAct

BOOT_S = 2.0


class Faults:
    """Faults of one bench; each lasts until it is taken back, except where a count or a time is given."""

    def __init__(self, bench_top: BenchTop, cables: Cables) -> None:
        self._bench_top, self._cables = bench_top, cables
        self._switch_on: list[tuple[float, ScaleModel]] = []

    def unplug(self, name: str) -> None:
        """Pull the cable: the port and its link are gone."""
        self._cables.cable(name).pull()

    def replug(self, name: str) -> None:
        """Put the cable back: a new port behind the same link."""
        self._cables.cable(name).push()

    def freeze(self, name: str) -> None:
        """The device hangs: the port stays open, nothing comes."""
        self._cables.model(name).silent = True

    def thaw(self, name: str) -> None:
        """It goes on."""
        self._cables.model(name).silent = False

    def stuck(self, name: str, on: bool = True) -> None:
        """It keeps printing its last line whatever happens."""
        self._cables.model(name).stuck = on

    def garbage(self, name: str, n_lines: int) -> None:
        """The next lines are random bytes."""
        self._cables.model(name).garbage_lines = n_lines

    def babble(self, name: str, on: bool = True) -> None:
        """Random bytes without an end of line, as from a wrong baud rate."""
        self._cables.model(name).babbling = on

    def spike(self, name: str, amount: float) -> None:
        """The next line is off by ``amount``, in the device's unit."""
        self._cables.model(name).spike = amount

    def wrong_unit(self, name: str, on: bool = True, unit: str = "") -> None:
        """Somebody pressed the unit key: pieces on a scale, millivolts elsewhere, or "oz", "F" as given."""
        model = self._cables.model(name)
        model.odd_unit = (unit or ("pcs" if isinstance(model, ScaleModel) else "mV")) if on else ""

    def drift(self, name: str, g_per_min: float) -> None:
        """The zero of a scale creeps; 0 ends it."""
        self._scale(name).scale.drift_g_min = g_per_min

    def power_cycle(self, name: str, off_s: float) -> None:
        """A scale loses power for ``off_s``, starts in two seconds more and zeroes on what stands on it."""
        model = self._scale(name)
        model.scale.power(False)
        self._switch_on.append((exact(self._bench_top.now_s + off_s + BOOT_S), model))

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
        self._bench_top.probe(probe).open = on

    def swap(self, one: str, other: str) -> None:
        """Exchange the cables of two devices: each link now carries the other's lines."""
        a, b = self._cables.cable(one), self._cables.cable(other)
        for plug in (a, b):
            plug.pull()
        a.model, b.model = b.model, a.model
        for plug in (a, b):
            plug.push()

    def step(self, now_s: float) -> None:
        """Switch on what is due."""
        for due_s, model in self._switch_on:
            if due_s <= now_s:
                model.scale.power(True)
        self._switch_on = [(due_s, model) for due_s, model in self._switch_on if due_s > now_s]

    def _scale(self, name: str) -> ScaleModel:
        model: DeviceModel = self._cables.model(name)
        if not isinstance(model, ScaleModel):
            raise ImpossibleAct(f"{name!r} is not a scale")
        return model
