"""Events of heating, holding, blending and cooling."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.events.base import Event
from benchapp.foundation.source import Source


@dataclass(frozen=True, slots=True, kw_only=True)
class ProbeMoved(Event):
    """A probe stands in another vessel now."""

    probe: str
    vessel: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperaturesLogged(Event):
    """(vessel, °C) pairs, at intervals and at gates."""

    step: str
    temps_c: tuple[tuple[str, float], ...]
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class BandEntered(Event):
    """A vessel came above the band's lower limit."""

    step: str
    vessel: str
    temp_c: float
    source: Source = Source.MEASURED  # journals of before did not say


@dataclass(frozen=True, slots=True, kw_only=True)
class BandLeft(Event):
    """A vessel fell out of the band again."""

    step: str
    vessel: str
    temp_c: float
    source: Source = Source.MEASURED  # journals of before did not say


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldProgressed(Event):
    """Time in band so far; the coldest phase decides."""

    step: str
    held_s: float
    coldest_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BurstDone(Event):
    """One burst of the blender, in seconds."""

    step: str
    number: int
    seconds: float
    source: Source = Source.MEASURED  # stated where nobody watched it


@dataclass(frozen=True, slots=True, kw_only=True)
class ProbeDoubted(Event):
    """A probe does not follow its vessel: nothing it shows counts until ``ProbeTrusted``. ``kind``: "jump", "unit" or
    "stands"; from ``since_s`` on, where the vessel stood at ``from_c`` and went by ``pace_k_s``."""

    probe: str
    vessel: str
    kind: str
    since_s: float
    from_c: float
    to_c: float
    pace_k_s: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ProbeAnswered(Event):
    """What the maker said of a doubted probe that showed ``shows_c``: "in the pot", "stands still", "unknown"."""

    probe: str
    vessel: str
    answer: str
    shows_c: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ProbeTrusted(Event):
    """What the probe shows counts again, and why. ``held``: the time since it was doubted counts as watched."""

    probe: str
    vessel: str
    temp_c: float
    why: str
    held: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ExcursionBegan(Event):
    """A vessel went beyond a limit; ``side`` is "above" or "below"."""

    step: str
    vessel: str
    side: str
    limit_c: float
    temp_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ExcursionEnded(Event):
    """It is back, or the step is over: how far it went and how long it lasted."""

    step: str
    vessel: str
    side: str
    limit_c: float
    peak_c: float
    lasted_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BurstUnknown(Event):
    """A burst during which nobody watched: how long was blended is not known."""

    step: str
    number: int
    why: str
