"""A line of the batch record, and a correction beside it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Correction:
    """A later event that names this one: what was written, what it should have been, why, by whom, when."""

    field: str
    old: str
    new: str
    reason: str
    by: str
    wall: str


@dataclass(frozen=True, slots=True)
class RecordLine:
    """One thing in the record: when, what, its number and unit, and where the value comes from.

    ``value`` and ``lot`` are what was written at the time and never change; ``now`` and ``lot_now`` are what they
    stand at after corrections, and so is everything else in the line.
    """

    wall: str
    at_s: float
    step: str
    what: str
    value: float | None
    unit: str
    source: str
    low: float | None = None
    high: float | None = None
    device: str = ""
    checked: bool = False
    n: int = 0  # the event's number within the batch
    key: str = ""
    line: str = ""  # the key of the formula's line it is about
    target: float | None = None
    lot: str = ""
    now: float | None = None
    lot_now: str = ""
    how: str = ""  # how the lot was read back: scanned, picked, remembered
    vessel: str = ""
    note: str = ""
    portions: int = 1  # in how many its line was weighed
    portion: int = 0  # which of them; out of several lots it may be more than one weighing
    of_lines: tuple[
        tuple[str, float], ...
    ] = ()  # of which formula lines something is gone, and grams of each where known, as written
    corrections: tuple[Correction, ...] = ()
    outside: bool = False  # whether the value, as it stands, lies outside its limits


@dataclass(frozen=True, slots=True)
class SummaryLine:
    """One matter and how it stands; ``alarm`` where it speaks against the batch."""

    what: str
    text: str
    alarm: bool = False


def by_number(*parts: Iterable[RecordLine]) -> list[RecordLine]:
    """The lines of several parts of a record in the order in which they were written."""
    return sorted((x for part in parts for x in part), key=lambda x: x.n)
