"""What every event shares: how grave a deviation is, a device as it stood, and the root."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Grade(StrEnum):
    """How much a deviation matters. Open minor and major ones keep a batch from being released."""

    NOTE = "note"
    MINOR = "minor"
    MAJOR = "major"


class Remedy(StrEnum):
    """What the maker does about too much in the vessel."""

    ACCEPT = "accept"
    REMOVE = "remove"
    KEEP_FORMULA = "keep formula"


@dataclass(frozen=True, slots=True)
class DeviceFacts:
    """A device as it stood when the make was started. ``checked`` is the ISO time of its last passed check."""

    name: str
    kind: str
    channels: tuple[str, ...]
    readability_g: float | None = None
    capacity_g: float | None = None
    checked: str = ""
    period_s: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """The root of all events."""

    at_s: float
