"""Events of heating, holding, blending and cooling."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.events.base import Event, Source


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
