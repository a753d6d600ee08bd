"""A line of the batch record, and a correction beside it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from benchapp.foundation.band import Band


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

    ``value`` is what was written at the time and never changes; ``now`` is what it stands at after corrections.
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
    vessel: str = ""
    field: str = ""  # the event's field that holds the value
    note: str = ""
    corrections: tuple[Correction, ...] = ()

    @property
    def now(self) -> float | None:
        """The value after the last correction of its field that is a number."""
        value = self.value
        for c in self.corrections:
            if c.field == self.field and _number(c.new) is not None:
                value = _number(c.new)
        return value

    @property
    def lot_now(self) -> str:
        """The lot after the last correction of it."""
        return next((c.new for c in reversed(self.corrections) if c.field == "lot"), self.lot)

    @property
    def outside(self) -> bool:
        """Whether the value, as it stands, lies outside its limits."""
        now = self.now
        if now is None:
            return False
        return not Band.of(self.low, self.high).holds(now)


def _number(text: str) -> float | None:
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None
