"""Events of tests, judgements and filling."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.events.base import Event
from benchapp.foundation.language import tr_noop
from benchapp.foundation.source import Source

#: What is computed in a make, and what from (see NumberTaken): a correction finds it by these.
MEAN_CONTENT, DENSITY = tr_noop("mean content"), "density"
VOLUME_MASS, VOLUME_TEMP = tr_noop("mass of the known volume"), tr_noop("temperature of the known volume")


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
    step_ph: float = 0.0  # of the strip it was read from; 0: from a meter, or not known


@dataclass(frozen=True, slots=True, kw_only=True)
class PhReaderStated(Event):
    """What the pH is read with on a bench without a meter on a port: a strip in steps of ``step_ph``; 0: a meter."""

    step: str
    step_ph: float


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
class DilutionMade(Event):
    """A weaker solution of ``line``, made at the bench: ``solution_g`` grams of it poured into ``water_g`` of the line
    ``water``. ``name`` is what it is called from then on; ``lot`` and ``water_lot`` are what it was made of."""

    step: str
    act: str
    line: str
    name: str
    solution_g: float
    water: str
    water_g: float
    source: Source
    device: str
    lot: str = ""
    water_lot: str = ""


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
    """One container, net grams, and the limits it was held against. ``device``: the scale whose division they follow; "" by
    hand, and in journals from before it was named."""

    step: str
    vessel: str
    number: int
    net_g: float
    low_g: float
    target_g: float
    source: Source
    device: str = ""
