"""Events of tests, judgements and filling."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.events.base import Event, Source


@dataclass(frozen=True, slots=True, kw_only=True)
class PhTaken(Event):
    """A pH reading; ``temp_c`` is the sample's temperature where known."""

    step: str
    ph: float
    temp_c: float | None
    diluted: bool
    source: Source
    device: str
    in_band: bool
    of: str = ""  # "trial": of the trial sample, not of the batch


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialDosed(Event):
    """Grams of a pH solution that went into the trial sample, which is destroyed."""

    step: str
    act: str
    line: str
    mass_g: float
    source: Source
    device: str
    lot: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LookJudged(Event):
    """Something judged by eye, nose or hand against its description."""

    step: str
    name: str
    expect: str
    as_expected: bool
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberTaken(Event):
    """Any other value asked for: what, value, unit."""

    step: str
    act: str
    what: str
    value: float
    unit: str
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class BottleFilled(Event):
    """One container, net grams, and the limits it was held against."""

    step: str
    vessel: str
    number: int
    net_g: float
    low_g: float
    target_g: float
    source: Source
