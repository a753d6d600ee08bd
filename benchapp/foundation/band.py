"""A band: two limits of one quantity. The one place that says whether a value lies inside."""

from __future__ import annotations

import math
from dataclasses import dataclass

from benchapp.foundation.language import tr_noop
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

    def shown(self, decimals: int) -> tuple[float, float]:
        """The limits with so many decimals, rounded inwards: what reads between them lies in the band. Lower above
        upper where nothing that is shown so lies in it."""
        ten = 10**decimals
        return math.ceil(exact(self.low * ten)) / ten, math.floor(exact(self.high * ten)) / ten

    def word(self, value: float | None) -> str:
        """How a value stands to the band, as every face says it."""
        if value is None:
            return "waiting"
        return "below" if self.below(value) else "above" if self.above(value) else tr_noop("in band")


def lower_limit(grams: float, margin_g: float, division_g: float) -> float:
    """The lower limit of a weighing of so many grams: that of its margin, and never so low that nothing at all would do."""
    low = exact(grams - margin_g)
    return low if low > 0.0 or grams <= 0.0 else min(division_g, grams)


@dataclass(frozen=True, slots=True)
class Target:
    """What a weighing aims at, and the band in which it counts as hit; grams, all on the grid."""

    grams: float
    band: Band

    def __post_init__(self) -> None:
        object.__setattr__(self, "grams", exact(self.grams))

    @classmethod
    def within(cls, grams: float, margin_g: float, division_g: float) -> Target:
        """A target with the same margin either way, on a scale of that division."""
        return cls(grams, Band(lower_limit(grams, margin_g, division_g), grams + margin_g))

    @property
    def margin_g(self) -> float:
        """The wider of the two sides, in grams."""
        return max(self.band.high - self.grams, self.grams - self.band.low)
