"""Where a device is and what it can do: the frozen form of one section of the bench file."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from benchapp.foundation.language import tr_noop

USUAL_BAUD = 9600
DeviceKind = Literal["scale", "thermometer", "ph meter"]


@dataclass(frozen=True, slots=True)
class UsbIdentity:
    """What an adapter says of itself on the bus, by which it is found again under another name."""

    vid: int
    pid: int
    serial_number: str | None = None


@dataclass(frozen=True, slots=True)
class DeviceSettings:
    """One device of the bench. Masses in grams, times in seconds."""

    name: str
    kind: DeviceKind
    port: str  # an address that drivers.addresses permits
    format: str  # the key of a line format
    channels: tuple[str, ...]  # ("mass",) for a scale; probe names in line order for a thermometer; ("ph",)
    baud: int = USUAL_BAUD
    bits: int = 8
    parity: Literal["N", "E", "O"] = "N"
    stop_bits: int = 1
    period_s: float = 0.2  # how often the device speaks when it is well
    capacity_g: float | None = None
    readability_g: float | None = None
    readability_unit: str = "g"  # the unit of mass in which the bench file states it
    usb: UsbIdentity | None = None
    simulated: bool = False  # a stand-in with a physics of its own; no bench file can say so
    options: dict[str, str] = field(default_factory=dict)  # what the format wants: register, scaling, request


@dataclass(frozen=True, slots=True)
class Bench:
    """All devices of one bench, in file order."""

    devices: tuple[DeviceSettings, ...]
    source: str = tr_noop("<built in>")
    formats_folder: str | None = None  # the maker's own line formats, as TOML files

    def of_kind(self, kind: DeviceKind) -> tuple[DeviceSettings, ...]:
        """The devices of one kind, in file order."""
        return tuple(d for d in self.devices if d.kind == kind)
