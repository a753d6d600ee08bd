"""The cables of a simulated bench: what each device speaks on while it is plugged in, and which device that is."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from drivers.simulated.device_models import DeviceModel
from drivers.simulated.errors import named
from drivers.simulated.wires import PtyWire, TcpWire, Wire


class Cable:
    """A device's cable: the wire it speaks on while plugged in. Its address outlives unplugging."""

    def __init__(self, model: DeviceModel, folder: Path | None) -> None:
        self.model = model
        self._folder = folder
        self._name = re.sub(r"[^a-z0-9]+", "-", model.settings.name.lower()).strip("-")
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
            spoken += b"".join(self.model.answer(request) for request in requests if request)
        if spoken:
            self.wire.write(spoken)


class Cables:
    """Every cable by the name of the device that was delivered with it."""

    def __init__(self) -> None:
        self._cables: dict[str, Cable] = {}
        self._models: dict[str, DeviceModel] = {}

    def add(self, cable: Cable) -> None:
        """One more."""
        name = cable.model.settings.name
        self._cables[name], self._models[name] = cable, cable.model

    def items(self) -> Iterable[tuple[str, Cable]]:
        """All of them."""
        return self._cables.items()

    def cable(self, name: str) -> Cable:
        """The cable of a device; UnknownName if there is none."""
        return named("device", name, self._cables)

    def model(self, name: str) -> DeviceModel:
        """The device itself, wherever its cable is; UnknownName if there is none."""
        return named("device", name, self._models)
