"""A hot-water bath: what a maker may tell of it, and how far it is ahead of a vessel that warms in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Literal

from benchapp.foundation.language import tr

#: Water in an open pan gets no hotter.
BOILS_C = 100.0
#: A bath nearer to the vessel than this no longer warms it, in K.
LEAST_AHEAD_K = 0.3
#: In front of a vessel that stays behind a rising bath by one kelvin in the end, it is ahead by at least this at once.
LEAST_SHARE = 0.08
#: How far a bath is from the number on its dial, with what a vessel loses through its surface, in K, and how likely; and
#: how often it is hot before the vessel goes in (common practice, no source).
OFF_DIAL_K = ((-4.0, 0.2), (-2.0, 0.35), (0.0, 0.3), (1.5, 0.15))
HOT_BEFORE = 0.6
#: How far a vessel stays behind a bath that goes on rising, and how far that is ahead of it at first, in K, and how
#: likely: litres on a kilowatt, some put on cold and some warm (common practice, no source).
LAGS_K = ((6.0, 0.15), (15.0, 0.3), (35.0, 0.35), (90.0, 0.2))
LEADS_K = ((3.0, 0.35), (15.0, 0.35), (32.0, 0.3))

#: What a maker may say of the bath of a bench.
BathKept = Literal["not known", "gets hotter", "thermostat"]
BATHS: tuple[BathKept, ...] = ("not known", "gets hotter", "thermostat")


@dataclass(frozen=True, slots=True)
class HotBath:
    """Kept at ``set_c`` by a thermostat, switching or not; None: it goes on heating, as a pan of water on a hob does."""

    set_c: float | None = None

    def __post_init__(self) -> None:
        """Raises ValueError where no bath of water can be kept."""
        if self.set_c is not None and not 0.0 < self.set_c <= BOILS_C:
            raise ValueError(
                tr("A water bath is kept between 0 and 100 °C, not at {set_c:g} °C.", set_c=self.set_c)
            )

    @classmethod
    def told(cls, kept: BathKept, dial_c: float) -> HotBath | None:
        """As it was said, with the number on its dial; None where it is not known. Raises ValueError."""
        return None if kept == "not known" else cls(dial_c if kept == "thermostat" else None)

    def ahead_k(self, at_c: Sequence[float], start_c: float) -> list[tuple[list[float], float]]:
        """How far it may be ahead of a vessel at each temperature, in K, and how likely each such list is."""
        if self.set_c is None:
            return _rising(at_c, start_c, BOILS_C)
        found: list[tuple[list[float], float]] = []
        for off_k, so in OFF_DIAL_K:
            end_c = self.set_c + off_k
            found.append(([below(t, end_c) for t in at_c], so * HOT_BEFORE))
            cold = _rising(at_c, start_c, end_c)
            found += [(ahead, likely * so * (1.0 - HOT_BEFORE)) for ahead, likely in cold]
        return found


def _rising(at_c: Sequence[float], start_c: float, end_c: float) -> list[tuple[list[float], float]]:
    return [
        (ahead_of(at_c, start_c, end_c, lead_k, lag_k), so * likely)
        for lag_k, so in LAGS_K
        for lead_k, likely in LEADS_K
    ]


def ahead_of(at_c: Sequence[float], start_c: float, end_c: float, lead_k: float, lag_k: float) -> list[float]:
    """How far a bath that rises steadily to ``end_c`` is ahead of a vessel at each temperature, in K.

    The vessel follows by dT/dt = D/tau and the bath rises by r, so dD/dT = lag/D - 1 with lag = r tau, from ``lead_k`` on.
    """
    ahead, found, before = lead_k, [], start_c
    for t in at_c:
        step = max(0.0, t - before)
        middle = 0.5 * (ahead + _grown(ahead, lag_k - ahead, step))
        ahead, before = _grown(ahead, lag_k - middle, step), max(t, before)
        found.append(min(max(ahead, LEAST_SHARE * lag_k), below(t, end_c)))
    return found


def _grown(ahead_k: float, more_k: float, step_k: float) -> float:
    return sqrt(max(ahead_k * ahead_k + 2.0 * more_k * step_k, 0.0))


def below(temp_c: float, end_c: float) -> float:
    """How far a vessel is below what a bath or a plate would bring it to; 0 where that is next to nothing."""
    return end_c - temp_c if end_c - temp_c > LEAST_AHEAD_K else 0.0
