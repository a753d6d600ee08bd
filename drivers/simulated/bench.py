"""The simulated bench: a world, its devices and the real ports they speak on, moved at any pace."""

from __future__ import annotations

import re
import shutil
import tempfile
from dataclasses import replace
from pathlib import Path
from random import Random
from types import TracebackType
from typing import Literal

from drivers.settings import Bench, DeviceSettings
from drivers.simulated.errors import SimulationError, UnknownName
from drivers.simulated.faults import Faults
from drivers.simulated.twins import PhTwin, ScaleTwin, ThermometerTwin, Twin
from drivers.simulated.water import Air
from drivers.simulated.wires import HAVE_PTYS, PtyWire, TcpWire, Wire
from drivers.simulated.world import World

BUSY_STEP_S, REST_STEP_S = 0.1, 1.0

BENCH_SCALE = DeviceSettings(
    "bench scale", "scale", "", "status-headed", ("mass",), period_s=1.0, capacity_g=3000.0, readability_g=0.1
)
FINE_SCALE = DeviceSettings(
    "fine scale", "scale", "", "status-headed", ("mass",), period_s=1.0, capacity_g=200.0, readability_g=0.01
)
THERMOMETER = DeviceSettings(
    "thermometer", "thermometer", "", "multi-channel", ("probe 1", "probe 2"), period_s=1.0
)
PH_METER = DeviceSettings("ph meter", "ph meter", "", "ph-line", ("ph",), period_s=1.0)

DEFAULT_DEVICES = (BENCH_SCALE, FINE_SCALE, THERMOMETER)


class Plug:
    """A device's cable: the wire it speaks on while plugged in. Its address outlives unplugging."""

    def __init__(self, twin: Twin, folder: Path | None) -> None:
        self.twin = twin
        self._folder = folder
        self._name = re.sub(r"[^a-z0-9]+", "-", twin.settings.name.lower()).strip("-")
        self._tcp_port = 0
        self.wire: Wire | None = None
        self._asked = b""
        self.push()

    def push(self) -> None:
        """Plug in, if it is not."""
        if self.wire is None and self._folder is not None:
            self.wire = PtyWire(self._folder / self._name)
        elif self.wire is None:
            tcp = TcpWire(self._tcp_port)
            self._tcp_port, self.wire = tcp.port, tcp

    def pull(self) -> None:
        """Unplug, if it is plugged in."""
        if self.wire is not None:
            self.wire.close()
        self.wire, self._asked = None, b""

    def serve(self, now_s: float, spoken: bytes) -> None:
        """Answer requests and send, in one write."""
        if self.wire is None:
            return
        said = self.wire.read(now_s)
        if said:
            *requests, self._asked = re.split(rb"[\r\n]+", (self._asked + said)[-256:])
            spoken += b"".join(self.twin.answer(request) for request in requests if request)
        if spoken:
            self.wire.write(spoken)


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
        scales = [d for d in devices if d.kind == "scale"]
        self.world = World(
            seed,
            Air(ambient_c, humidity, altitude_m),
            [(d.name, d.capacity_g or 3000.0, d.readability_g or 0.1) for d in scales],
            _unique([c for d in devices if d.kind == "thermometer" for c in d.channels]),
            _unique([d.name for d in devices if d.kind == "ph meter"]),
        )
        self.faults = Faults(self)
        use_ptys = HAVE_PTYS if transport is None else transport == "pty"
        self._folder = Path(tempfile.mkdtemp(prefix="bench-")) if use_ptys else None
        self._plugs: dict[str, Plug] = {}
        try:
            for device in devices:
                twin = self._make_twin(device, Random(f"{seed}/twin/{device.name}"))
                self._plugs[device.name] = Plug(twin, self._folder)
        except (OSError, SimulationError):
            self.close()
            raise
        self._twins = {name: plug.twin for name, plug in self._plugs.items()}
        self.bench = Bench(
            tuple(replace(d, port=self._address(d.name)) for d in devices), source="<simulated bench>"
        )

    def _make_twin(self, device: DeviceSettings, rng: Random) -> Twin:
        world = self.world
        if device.kind == "scale":
            return ScaleTwin(device, rng, world.scale(device.name))
        if device.kind == "thermometer":
            return ThermometerTwin(device, rng, [world.probe(c) for c in device.channels])
        return PhTwin(device, rng, world.ph_probes[device.name])

    def _address(self, name: str) -> str:
        wire = self.plug(name).wire
        assert wire is not None
        return wire.address

    def plug(self, name: str) -> Plug:
        """The cable of a device; UnknownName if there is none."""
        if name not in self._plugs:
            raise UnknownName("device", name, self._plugs)
        return self._plugs[name]

    def twin(self, name: str) -> Twin:
        """The device itself, wherever its cable is; UnknownName if there is none."""
        self.plug(name)
        return self._twins[name]

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
        wire = self.plug(name).wire
        return wire is not None and wire.opened

    def sent_bytes(self, name: str) -> int:
        """Bytes put on that wire since its present reader opened it; 0 while nobody has."""
        wire = self.plug(name).wire
        return wire.sent if wire is not None else 0

    def advance(self, dt_s: float) -> None:
        """Move the world on and send what the devices have to say meanwhile, in one write for each port."""
        end_s = round(self.now_s + dt_s, 9)
        spoken = dict.fromkeys(self._plugs, b"")
        while self.now_s < end_s - 1e-9:
            longest = BUSY_STEP_S if self.world.busy else REST_STEP_S
            self.world.step(min(longest, end_s - self.now_s))
            self.faults.step(self.now_s)
            for name, plug in self._plugs.items():
                spoken[name] += plug.twin.due(self.now_s)
        for name, plug in self._plugs.items():
            plug.serve(self.now_s, spoken[name])

    def close(self) -> None:
        """Unplug everything and remove the links."""
        for plug in self._plugs.values():
            plug.pull()
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
