"""A band: two limits of one quantity. The one place that says whether a value lies inside."""

from __future__ import annotations

import math
from dataclasses import dataclass

from benchapp.foundation.numbers import exact


@dataclass(frozen=True, slots=True)
class Band:
    """Two limits of one quantity, both inside; the unit is named by the field that holds the band.

    The limits are rounded to the grid (numbers.exact) when the band is made, a value when it is held against it:
    what reads the same is the same. An open end is infinite; ``of`` takes None for it.
    """

    low: float
    high: float

    def __post_init__(self) -> None:
        object.__setattr__(self, "low", exact(self.low))
        object.__setattr__(self, "high", exact(self.high))

    @classmethod
    def of(cls, low: float | None, high: float | None) -> Band:
        """A band of which either end may be open (None)."""
        return cls(-math.inf if low is None else low, math.inf if high is None else high)

    def holds(self, value: float) -> bool:
        """Whether the value lies in the band, limits included."""
        return self.low <= exact(value) <= self.high

    def below(self, value: float) -> bool:
        """Whether the value lies under the lower limit."""
        return exact(value) < self.low

    def above(self, value: float) -> bool:
        """Whether the value lies over the upper limit."""
        return exact(value) > self.high
