"""Across batches: an individuals and moving-range chart, and the rules that flag a drift."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from benchapp.foundation.language import tr
from benchapp.foundation.numbers import decimals_of

#: Mean range of two normal values, in standard deviations (NIST/SEMATECH e-Handbook 6.3.2.2).
D2 = 1.128
#: Upper limit of the moving range as a multiple of its mean (D4 for two values, NIST/SEMATECH 6.3.2).
D4 = 3.267
#: Spread that rounding alone makes, in steps: two rounded weights, each uniform over one step (sqrt(2 / 12)).
ROUNDING_SD = 0.41
#: With fewer batches the limits are provisional (common practice, no source).
FIRM_FROM = 20


@dataclass(frozen=True)
class ControlChart:
    """Centre line and limits in the unit of the values; ``provisional`` while there are few of them.

    ``step`` is the smallest difference that was measured at all; 0 where nobody knows it.
    """

    centre: float
    mean_range: float
    lower: float
    upper: float
    range_upper: float
    provisional: bool
    step: float = 0.0

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


def finest_step(values: Sequence[float]) -> float:
    """The last digit that any of these numbers shows: what a scale that nobody noted must have shown at least."""
    return float(10.0 ** -max((decimals_of(v) for v in values), default=0))


def individuals_chart(values: Sequence[float], step: float = 0.0) -> ControlChart:
    """Limits at three times mean moving range / 1.128 (NIST/SEMATECH e-Handbook 6.3.2.2).

    No chart is narrower than what rounding to ``step`` makes by itself: equal values say that the scale shows no
    difference, not that there is none. Raises ValueError for fewer than three values.
    """
    if len(values) < 3:
        raise ValueError(tr("a chart needs at least 3 batches; there are {count}", count=len(values)))
    centre = sum(values) / len(values)
    ranges = [abs(b - a) for a, b in pairwise(values)]
    mean_range = max(sum(ranges) / len(ranges), D2 * ROUNDING_SD * step)
    reach = 3 * mean_range / D2
    provisional = len(values) < FIRM_FROM
    return ControlChart(
        centre, mean_range, centre - reach, centre + reach, D4 * mean_range, provisional, step
    )


def signals(values: Sequence[float], chart: ControlChart) -> tuple[Signal, ...]:
    """Rules of the Western Electric handbook as given in NIST/SEMATECH 6.3.2, and a run of six for a trend.

    Against a ``chart`` made beforehand, or of the same values. Each rule fires once for each value that completes it.
    All six together stop at a quiet batch about once in 50 batches (docs/sums_ph.md): a signal asks to look, it proves nothing.
    """
    found: list[Signal] = []
    # What lies within half a step of the centre line lies on neither side of it.
    side = [off if abs(off := v - chart.centre) > chart.step / 2 else 0.0 for v in values]
    for i, off in enumerate(side):
        found += [Signal(i, rule, meaning) for rule, meaning in _at(i, off, side, values, chart)]
    return tuple(found)


def _at(
    i: int, off: float, side: Sequence[float], values: Sequence[float], chart: ControlChart
) -> list[tuple[str, str]]:
    sigma, found = chart.sigma, []
    way = 1 if off > 0 else -1
    reach = [way * x for x in side[max(i - 7, 0) : i + 1]]  # no rule looks further back
    if abs(off) > 3 * sigma:
        found.append((tr("beyond limits"), tr("this batch stands out; look for what was different")))
    if way * off > 2 * sigma and sum(x > 2 * sigma for x in reach[-3:]) >= 2 and len(reach) >= 3:
        found.append((tr("two of three beyond 2 sigma"), tr("the last batches lie far to one side")))
    if way * off > sigma and sum(x > sigma for x in reach[-5:]) >= 4 and len(reach) >= 5:
        found.append((tr("four of five beyond 1 sigma"), tr("the level is shifting")))
    if len(reach) >= 8 and all(x > 0 for x in reach[-8:]):
        found.append((tr("eight on one side"), tr("the level has moved")))
    last = values[max(i - 5, 0) : i + 1]
    if len(last) == 6 and (all(b > a for a, b in pairwise(last)) or all(b < a for a, b in pairwise(last))):
        found.append(
            (tr("six in a row rising or falling"), tr("it drifts; find out before it leaves the limits"))
        )
    if i and abs(values[i] - values[i - 1]) > chart.range_upper:
        found.append((tr("jump between batches"), tr("two batches in a row differ more than usual")))
    return found
