"""A line format once it has been read: what shape a device speaks in, as data. Nothing in it can execute."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from drivers.formats.grammar import NumberStyle, Template
from drivers.framing import Frame
from drivers.settings import DeviceKind


class Meaning(StrEnum):
    """What a word in a line says."""

    STABLE = "stable"
    MOVING = "moving"
    NET = "net"
    GROSS = "gross"
    TICKET_GROSS = "ticket gross"  # of a printed ticket: no reading, the net line is held against it
    TICKET_TARE = "ticket tare"
    OVERLOAD = "overload"
    UNDERLOAD = "underload"
    OPEN_PROBE = "open probe"
    ERROR = "error"
    IGNORE = "ignore"  # a line that is no reading and no fault, such as a date
    NOTHING = "nothing"  # a word that must stand there and says nothing


@dataclass(frozen=True, slots=True)
class Sentinel:
    """A number that is not a reading, such as SCPI's 9.91E37."""

    value: float
    means: Meaning


@dataclass(frozen=True, slots=True)
class LineFormat:
    """One shape of lines. ``key`` is the name a bench file uses."""

    key: str
    title: str
    kinds: tuple[DeviceKind, ...]
    style: NumberStyle
    lines: tuple[Template, ...]
    between: str = ""  # what separates the channels of one line; empty: one channel
    frame: Frame | None = None  # where messages do not end with a line
    terminator: bytes = b"\r\n"  # what ends a request
    units: dict[str, str] = field(default_factory=dict)  # as written by the device → of the whitelist
    fixed_unit: dict[DeviceKind, str] = field(default_factory=dict)  # where the line itself has none
    absent_unit_moving: bool = False
    words: dict[str, dict[str, Meaning]] = field(default_factory=dict)
    sentinels: tuple[Sentinel, ...] = ()
    request: str = ""  # what is sent to a device that answers only when asked
    modbus: dict[str, str] | None = None  # options of a register device; such a format has no lines
    examples: tuple[tuple[str, str, DeviceKind], ...] = ()  # line, what it reads, spoken by which kind

    @property
    def is_modbus(self) -> bool:
        """Whether registers are read instead of lines."""
        return self.modbus is not None
