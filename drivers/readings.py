"""The one form in which any device speaks to the rest of the house: a Reading, or a Fault. Stdlib only."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum


class Quantity(StrEnum):
    """What a channel measures; the unit is part of the name and never changes inside the house."""

    MASS = "mass_g"
    TEMPERATURE = "temp_c"
    PH = "ph"


class FaultKind(StrEnum):
    """Why a device gave no number."""

    OVERLOAD = "overload"  # above the device's range, as the device says itself
    UNDERLOAD = "underload"  # below zero range: usually the pan is missing or was zeroed with a load on
    OPEN_PROBE = "open probe"
    DEVICE_ERROR = "device error"  # an error word or exception reply of the device's own
    WRONG_UNIT = "wrong unit"  # a number, but in a unit this channel cannot be
    UNREADABLE = "unreadable"  # a line that the format does not describe, or a failed checksum
    DISAGREES = "disagrees"  # a number, but not in the unit or the steps that the bench file says
    OUT_OF_RANGE = "out of range"  # a number no such device can mean (NaN, 1e9 g, -300 °C)
    SILENT = "silent"  # nothing came for longer than the device's own period allows
    UNPLUGGED = "unplugged"  # the port went away
    BUSY = "busy"  # somebody else holds the port
    NO_PERMISSION = "no permission"
    NO_PORT = "no port"  # the named port does not exist


#: Faults after which the device must be opened again; the others pass with the next good line.
LINK_FAULTS = frozenset(
    {FaultKind.SILENT, FaultKind.UNPLUGGED, FaultKind.BUSY, FaultKind.NO_PERMISSION, FaultKind.NO_PORT}
)


@dataclass(frozen=True, slots=True)
class Reading:
    """One number from one channel of one device.

    ``value`` is in the unit named by ``quantity`` (grams, degrees Celsius, pH). ``stable`` and ``net`` are
    what the device said of itself, None where it does not say. ``resolution`` is the step of the last digit
    in the same unit as ``value`` (0.1 for a line that read ``12.3 g``). ``at_s`` is monotonic, in seconds.
    ``unit`` is the one the line named, "" where it names none.
    ``simulated``: the device is a stand-in, whose readings no real make may take.
    """

    device: str
    channel: str
    quantity: Quantity
    value: float
    at_s: float
    stable: bool | None = None
    net: bool | None = None
    resolution: float | None = None
    simulated: bool = False
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Fault:
    """A channel that gave no number, and why, in one sentence a maker can act on."""

    device: str
    channel: str | None  # None: the whole device
    kind: FaultKind
    text: str
    at_s: float


DeviceMessage = Reading | Fault
Sink = Callable[[DeviceMessage], None]
Clock = Callable[[], float]
