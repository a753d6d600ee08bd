"""An independent bench: scales and thermometers of its own on real ptys, in lock-step with a session of the product.

Nothing here comes from the product's simulated bench, its hands or its sums: what it tells the product is bytes on a wire,
what it is told back is a view. The truth stays in ``vessels``.
"""

from __future__ import annotations

import os
import tty
from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from drivers.devices import open_bench
from drivers.settings import Bench, DeviceSettings
from otherbench.scale import Pouring, Scale, Vessel

#: One step of the world, in seconds.
STEP_S = 0.1
CHECKED = "2026-03-01T08:00:00+01:00"


class Instrument(Protocol):
    """What sends lines: the bytes that are due at a moment."""

    name: str
    period_s: float

    def due(self, now_s: float) -> bytes: ...


class Wire:
    """The far end of a serial line."""

    def __init__(self) -> None:
        self._master, self._slave = os.openpty()
        tty.setraw(self._slave)
        self.name = os.ttyname(self._slave)
        self.sent = 0

    def write(self, data: bytes) -> None:
        self.sent += os.write(self._master, data)

    def close(self) -> None:
        os.close(self._master)
        os.close(self._slave)


@dataclass(frozen=True)
class Plug:
    """An instrument and how the bench file names it."""

    instrument: Instrument
    kind: str
    format: str
    channels: tuple[str, ...]
    readability_g: float | None = None
    capacity_g: float | None = None


def scale_plug(scale: Scale, readability_g: float | None = None) -> Plug:
    return Plug(scale, "scale", "labelled", ("mass",), readability_g or scale.division_g, 6000.0)


class OtherBench:
    """Vessels, instruments and wires, moved together with one make."""

    def __init__(self, journal, procedure, plugs: list[Plug], batch_g: float, checked: str = CHECKED) -> None:
        self.now_s = 0.0
        self.vessels: dict[str, Vessel] = {}
        self.pourings: list[Pouring] = []
        self.procedure = procedure
        self._plugs = {p.instrument.name: p for p in plugs}
        self._wires = {name: Wire() for name in self._plugs}
        self._movers: list[Callable[[float], None]] = []
        #: Grams of each line that truly left its bottle.
        self.went_in_g: dict[str, float] = {}
        self.settings = Bench(tuple(
            DeviceSettings(
                name, p.kind, self._wires[name].name, p.format, p.channels,
                period_s=max(p.instrument.period_s, 0.5), capacity_g=p.capacity_g, readability_g=p.readability_g,
            )
            for name, p in self._plugs.items()
        ))  # fmt: skip
        facts = [facts_of(d, checked) for d in self.settings.devices]
        order = BatchOrder(procedure, batch_g, facts, "Mara Lind", "other")
        self.session = begin(journal, order, lambda: self.now_s)
        self.devices = open_bench(self.settings, lambda: self.now_s, self.session.post)
        self.session.attach(self.devices)
        for device in self.devices:
            assert device.port.wait_open(5.0)
        self.view = self.session.view()

    def scale(self, name: str) -> Scale:
        found = self._plugs[name].instrument
        assert isinstance(found, Scale)
        return found

    def scales(self) -> list[Scale]:
        return [p.instrument for p in self._plugs.values() if isinstance(p.instrument, Scale)]

    def moves_with(self, mover: Callable[[float], None]) -> None:
        """Something else that time changes: it is told the moment, in seconds."""
        self._movers.append(mover)

    def vessel(self, key: str) -> Vessel:
        """A vessel, taken from the shelf when it is first asked for."""
        if key not in self.vessels:
            planned = self.procedure.vessels.get(key)
            rough = planned.empty_g if planned is not None and planned.empty_g else 20.0
            self.vessels[key] = Vessel(key, rough * 1.013)
        return self.vessels[key]

    def step(self, dt_s: float = STEP_S):
        """One step of the world; what it sent is heard before the make is asked."""
        self.now_s = round(self.now_s + dt_s, 6)
        for mover in self._movers:
            mover(self.now_s)
        for pouring in list(self.pourings):
            self._pour(pouring, dt_s)
        for name, plug in self._plugs.items():
            data = plug.instrument.due(self.now_s)
            if data:
                self._wires[name].write(data)
        for device in self.devices:
            assert device.wait_received(self._wires[device.name].sent, 5.0)
        self.view = self.session.poll()
        return self.view

    def _pour(self, pouring: Pouring, dt_s: float) -> None:
        now_g = min(pouring.g_per_s * dt_s, pouring.left_g)
        if pouring.origin is None:
            came = {pouring.line: now_g}
            self.went_in_g[pouring.line] = self.went_in_g.get(pouring.line, 0.0) + now_g
        else:
            came = pouring.origin.take_out(now_g)
        for line, grams in came.items():
            pouring.vessel.contents_g[line] = pouring.vessel.contents_g.get(line, 0.0) + grams
        pouring.left_g -= now_g
        if pouring.left_g <= 1e-9:
            self.pourings.remove(pouring)

    def close(self) -> None:
        self.session.close()
        for wire in self._wires.values():
            wire.close()
