"""A clock that stands still, a sink that can be waited for, and the far end of a real serial line."""

from __future__ import annotations

import os
import select
import threading
import tty
from collections.abc import Callable, Iterator

import pytest

from drivers.devices import open_device
from drivers.port_device import PortDevice
from drivers.ports import Reopening
from drivers.readings import DeviceMessage, Fault, FaultKind, Reading
from drivers.settings import DeviceSettings

WAIT_S = 5.0  # the longest a test waits for real bytes; nothing is measured by it


class StillClock:
    """Time that passes only when a test says so."""

    def __init__(self) -> None:
        self.now_s = 100.0

    def __call__(self) -> float:
        return self.now_s

    def pass_s(self, seconds: float) -> float:
        self.now_s += seconds
        return self.now_s


class Ear:
    """A sink: everything spoken, and a way to wait for the next thing."""

    def __init__(self) -> None:
        self.spoken: list[DeviceMessage] = []
        self._taken = 0
        self._changed = threading.Condition()

    def __call__(self, spoken: DeviceMessage) -> None:
        with self._changed:
            self.spoken.append(spoken)
            self._changed.notify_all()

    def next(self) -> DeviceMessage:
        with self._changed:
            assert self._changed.wait_for(lambda: len(self.spoken) > self._taken, WAIT_S), (
                "nothing was spoken"
            )
            self._taken += 1
            return self.spoken[self._taken - 1]

    def reading(self) -> Reading:
        spoken = self.next()
        assert isinstance(spoken, Reading), spoken
        return spoken

    def fault(self, kind: FaultKind) -> Fault:
        spoken = self.next()
        assert isinstance(spoken, Fault), spoken
        assert spoken.kind is kind, spoken
        return spoken

    def nothing_more(self) -> None:
        assert self.spoken[self._taken :] == []


class FarEnd:
    """The device's end of a pty; ``name`` is what a computer opens."""

    def __init__(self) -> None:
        self._master, self._slave = os.openpty()
        tty.setraw(self._slave)
        self.name = os.ttyname(self._slave)
        self._open = True

    @property
    def fd(self) -> int:
        return self._master

    def send(self, data: bytes) -> None:
        os.write(self._master, data)

    def expect(self, data: bytes) -> None:
        """The computer must have sent exactly this."""
        got = b""
        while len(got) < len(data):
            ready, _, _ = select.select([self._master], [], [], WAIT_S)
            assert ready, f"only {got!r} was sent, {data!r} expected"
            got += os.read(self._master, len(data) - len(got))
        assert got == data

    def nothing_left(self) -> None:
        """The computer must not have sent anything beyond what was expected."""
        ready, _, _ = select.select([self._master], [], [], 0)
        assert not ready, os.read(self._master, 1000)

    def unplug(self) -> None:
        if self._open:
            self._open = False
            os.close(self._master)
            os.close(self._slave)


@pytest.fixture
def clock() -> StillClock:
    return StillClock()


@pytest.fixture
def ear() -> Ear:
    return Ear()


@pytest.fixture
def plug_in() -> Iterator[Callable[[], FarEnd]]:
    """Makes far ends, and unplugs them all at the end."""
    made: list[FarEnd] = []

    def make() -> FarEnd:
        made.append(FarEnd())
        return made[-1]

    yield make
    for end in made:
        end.unplug()


@pytest.fixture
def far_end(plug_in: Callable[[], FarEnd]) -> FarEnd:
    return plug_in()


@pytest.fixture
def start(clock: StillClock, ear: Ear) -> Iterator[Callable[..., PortDevice]]:
    """Opens a device, waits until its port is open, and stops it at the end; a thread left over fails."""
    devices: list[PortDevice] = []

    def run(settings: DeviceSettings, *, wait: bool = True, **more: object) -> PortDevice:
        more.setdefault("reopening", Reopening(waits_s=(0.0, 0.02)))
        device = open_device(settings, clock, ear, **more)
        devices.append(device)
        device.start()
        if wait:
            assert device.port.wait_open(WAIT_S)
        return device

    yield run
    for device in devices:
        device.stop()
    left = [thread.name for thread in threading.enumerate() if thread.name.startswith("port ")]
    assert left == []
