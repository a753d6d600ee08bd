"""Across batches: an individuals and moving-range chart, and the rules that flag a drift."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

#: Mean range of two normal values, in standard deviations (NIST/SEMATECH e-Handbook 6.3.2.2).
D2 = 1.128
#: Upper limit of the moving range as a multiple of its mean (D4 for two values, NIST/SEMATECH 6.3.2).
D4 = 3.267
#: With fewer batches the limits are provisional (common practice, no source).
FIRM_FROM = 20


@dataclass(frozen=True)
class Chart:
    """Centre line and limits in the unit of the values; ``provisional`` while there are few of them."""

    centre: float
    mean_range: float
    lower: float
    upper: float
    range_upper: float
    provisional: bool

    @property
    def sigma(self) -> float:
        """Short-term standard deviation, from the moving range."""
        return self.mean_range / D2


@dataclass(frozen=True)
class Signal:
    """A rule that fired: ``index`` of the last value it needed, and what it means in a sentence."""

    index: int
    rule: str
    meaning: str


def individuals_chart(values: Sequence[float]) -> Chart:
    """Limits at three times mean moving range / 1.128 (NIST/SEMATECH e-Handbook 6.3.2.2).

    Raises ValueError for fewer than three values.
    """
    if len(values) < 3:
        raise ValueError(f"a chart needs at least 3 batches; there are {len(values)}")
    centre = sum(values) / len(values)
    ranges = [abs(b - a) for a, b in pairwise(values)]
    mean_range = sum(ranges) / len(ranges)
    reach = 3 * mean_range / D2
    return Chart(centre, mean_range, centre - reach, centre + reach, D4 * mean_range, len(values) < FIRM_FROM)


def signals(values: Sequence[float], chart: Chart) -> tuple[Signal, ...]:
    """Rules of the Western Electric handbook as given in NIST/SEMATECH 6.3.2, and a run of six for a trend.

    Against a ``chart`` made beforehand, or of the same values. Each rule fires once for each value that completes it.
    """
    found: list[Signal] = []
    side = [v - chart.centre for v in values]
    for i, off in enumerate(side):
        found += [Signal(i, rule, meaning) for rule, meaning in _at(i, off, side, values, chart)]
    return tuple(found)


def _at(
    i: int, off: float, side: Sequence[float], values: Sequence[float], chart: Chart
) -> list[tuple[str, str]]:
    sigma, found = chart.sigma, []
    way = 1 if off > 0 else -1
    reach = [way * x for x in side[max(i - 7, 0) : i + 1]]  # no rule looks further back
    if abs(off) > 3 * sigma:
        found.append(("beyond limits", "this batch stands out; look for what was different"))
    if way * off > 2 * sigma and sum(x > 2 * sigma for x in reach[-3:]) >= 2 and len(reach) >= 3:
        found.append(("two of three beyond 2 sigma", "the last batches lie far to one side"))
    if way * off > sigma and sum(x > sigma for x in reach[-5:]) >= 4 and len(reach) >= 5:
        found.append(("four of five beyond 1 sigma", "the level is shifting"))
    if len(reach) >= 8 and all(x > 0 for x in reach[-8:]):
        found.append(("eight on one side", "the level has moved"))
    last = values[max(i - 5, 0) : i + 1]
    if len(last) == 6 and (all(b > a for a, b in pairwise(last)) or all(b < a for a, b in pairwise(last))):
        found.append(("six in a row rising or falling", "it drifts; find out before it leaves the limits"))
    if i and abs(values[i] - values[i - 1]) > chart.range_upper:
        found.append(("jump between batches", "two batches in a row differ more than usual"))
    return found
