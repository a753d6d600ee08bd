"""What every event shares: where a value comes from, how grave a deviation is, and the root."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Source(StrEnum):
    """Where a value comes from."""

    MEASURED = "measured"
    STATED = "stated"
    COMPUTED = "computed"


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
