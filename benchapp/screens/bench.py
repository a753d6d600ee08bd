"""What the app needs from outside the glass: what can be made, what was made, and how a make is begun."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from benchapp.bench_check import Check
from benchapp.make.plan import Plan
from benchapp.record.batch_record import Record
from benchapp.record.journal import BatchLine
from benchapp.screens.loop import Pulse
from drivers.settings import DeviceSettings


@dataclass(frozen=True, slots=True)
class Recipe:
    """A procedure on the shelf: its key, name, usual, smallest and largest batch in grams, what it is."""

    key: str
    name: str
    usual_g: float
    smallest_g: float
    largest_g: float
    about: str


class Workshop(Protocol):
    """Wired by the command; the screens only ask."""

    maker: str
    where: str  # "a simulated bench", or the bench file

    def devices(self) -> tuple[DeviceSettings, ...]: ...
    def checked(self) -> Mapping[str, str]: ...
    def keep_check(self, check: Check) -> None: ...
    def recipes(self) -> tuple[Recipe, ...]: ...
    def plan(self, key: str, batch_g: float) -> tuple[Plan, tuple[str, ...]]: ...
    def batches(self) -> tuple[BatchLine, ...]: ...
    def record(self, batch: str) -> Record: ...
    def begin(self, key: str, batch_g: float) -> Pulse: ...
    def resume(self, batch: str) -> Pulse: ...
    def end(self) -> None: ...
