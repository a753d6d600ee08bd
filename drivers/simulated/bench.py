"""The simulated bench: a world, its devices and the real ports they speak on, moved at any pace."""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import replace
from pathlib import Path
from random import Random
from types import TracebackType
from typing import Literal

from benchapp.foundation.numbers import exact
from drivers.settings import Bench, DeviceSettings
from drivers.simulated.cables import Cable, Cables
from drivers.simulated.default_devices import DEFAULT_DEVICES, weighing_facts
from drivers.simulated.device_models import DeviceModel, PhMeterModel, ScaleModel, ThermometerModel
from drivers.simulated.errors import SimulationError
from drivers.simulated.faults import Faults
from drivers.simulated.water import Air
from drivers.simulated.wires import HAVE_PTYS
from drivers.simulated.world import World

BUSY_STEP_S, REST_STEP_S = 0.1, 1.0


class SimulatedBench:
    """A workshop bench whose devices are opened by their port like any others. Use it in a ``with``.

    ``bench`` holds the device settings with the ports filled in. The same ``seed`` and the same acts at
    the same times give the same bytes. Raises SimulationError for devices that cannot be simulated.
    """

    def __init__(
        self,
        seed: int = 1,
        ambient_c: float = 21.0,
        humidity: float = 0.5,
        altitude_m: float = 0.0,
        devices: tuple[DeviceSettings, ...] = DEFAULT_DEVICES,
        transport: Literal["pty", "tcp"] | None = None,
    ) -> None:
        self.world = World(
            seed,
            Air(ambient_c, humidity, altitude_m),
            [(d.name, *weighing_facts(d)) for d in devices if d.kind == "scale"],
            _unique([c for d in devices if d.kind == "thermometer" for c in d.channels]),
            _unique([d.name for d in devices if d.kind == "ph meter"]),
        )
        use_ptys = HAVE_PTYS if transport is None else transport == "pty"
        self._folder = Path(tempfile.mkdtemp(prefix="bench-")) if use_ptys else None
        self._cables = Cables()
        self.faults = Faults(self.world, self._cables)
        try:
            for device in devices:
                model = self._model_of(device, Random(f"{seed}/twin/{device.name}"))
                self._cables.add(Cable(model, self._folder))
        except (OSError, SimulationError):
            self.close()
            raise
        self.bench = Bench(
            tuple(replace(d, port=self._address(d.name), simulated=True) for d in devices),
            source="<simulated bench>",
        )

    def _model_of(self, device: DeviceSettings, rng: Random) -> DeviceModel:
        world = self.world
        if device.kind == "scale":
            return ScaleModel(device, rng, world.scale(device.name))
        if device.kind == "thermometer":
            return ThermometerModel(device, rng, [world.probe(c) for c in device.channels])
        return PhMeterModel(device, rng, world.ph_probes[device.name])

    def _address(self, name: str) -> str:
        wire = self.cable(name).wire
        assert wire is not None
        return wire.address

    def cable(self, name: str) -> Cable:
        """The cable of a device; UnknownName if there is none."""
        return self._cables.cable(name)

    def model(self, name: str) -> DeviceModel:
        """The device itself, wherever its cable is; UnknownName if there is none."""
        return self._cables.model(name)

    @property
    def now_s(self) -> float:
        """Simulated seconds since the start."""
        return self.world.now_s

    @property
    def busy(self) -> bool:
        """Whether something moves fast, so that the next step should be 0.1 s."""
        return self.world.busy

    def opened(self, name: str) -> bool:
        """Whether a reader was there, ready, at the last ``advance``."""
        wire = self.cable(name).wire
        return wire is not None and wire.opened

    def sent_bytes(self, name: str) -> int:
        """Bytes put on that wire since its present reader opened it; 0 while nobody has."""
        wire = self.cable(name).wire
        return wire.sent if wire is not None else 0

    def advance(self, dt_s: float) -> None:
        """Move the world on and send what the devices have to say meanwhile, in one write for each port."""
        end_s = exact(self.now_s + dt_s)
        spoken = {name: b"" for name, _ in self._cables.items()}
        while self.now_s < end_s:
            longest = BUSY_STEP_S if self.world.busy else REST_STEP_S
            self.world.step(min(longest, end_s - self.now_s))
            self.faults.step(self.now_s)
            for name, cable in self._cables.items():
                spoken[name] += cable.model.due(self.now_s)
        for name, cable in self._cables.items():
            cable.serve(self.now_s, spoken[name])

    def close(self) -> None:
        """Unplug everything and remove the links."""
        for _, cable in self._cables.items():
            cable.pull()
        if self._folder is not None:
            shutil.rmtree(self._folder, ignore_errors=True)

    def __enter__(self) -> SimulatedBench:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def _unique(names: list[str]) -> list[str]:
    twice = sorted({n for n in names if names.count(n) > 1})
    if twice:
        raise SimulationError(
            f"two devices of a simulated bench share the name {twice[0]!r}; give each its own"
        )
    return names
