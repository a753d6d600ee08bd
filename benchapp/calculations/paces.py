"""The paces at which a vessel in air went on its way: what changed may change again, and back.

Draughts and stirring come and go, a lid stays. The rule and its figures are our own, chosen on the kitchen of the tests' other
bench; nothing published covers it.
"""

from __future__ import annotations

from math import exp, expm1, hypot, inf, log, sqrt

#: A pace lasts for so long on average, at least and at most, in seconds.
SHORTEST_S, LONGEST_S = 60.0, 600.0
#: Paces differ by at least so much where any did (relative standard deviation), and a change counts by this factor at most.
DIFFER, MOST = 0.25, 5.0
#: So many changes after the first are as likely as not a room in which they come and go.
COMES_AND_GOES = 2.0
#: An end of the interval that holds four times in five, in standard deviations.
END_SD = 1.28


class Paces:
    """Each pace as a share of the first, and for how many seconds it held; the last is the one of now."""

    def __init__(self) -> None:
        self._went: list[tuple[float, float]] = [(1.0, 0.0)]
        self._at_s: float | None = None

    def pass_to(self, at_s: float) -> None:
        """So far it went on."""
        share, held_s = self._went[-1]
        self._went[-1] = (share, held_s + at_s - (at_s if self._at_s is None else self._at_s))
        self._at_s = at_s

    def change(self, share: float) -> None:
        """From now on it goes at this share of the pace before."""
        self._went.append((self._went[-1][0] * min(max(share, 1.0 / MOST), MOST), 0.0))

    def spread(self, span_s: tuple[float, float, float]) -> tuple[float, float, float]:
        """(Early, middle, late) seconds as they are by the pace of now, with what other paces may make of them: the farther
        off the end, the more of the way goes at the mean of all paces."""
        early_s, middle_s, late_s = span_s
        returns = len(self._went) - 2  # one change alone may stay, as a lid does
        if returns <= 0 or middle_s <= 0.0:
            return span_s
        whole_s = sum(held_s for _, held_s in self._went)
        mean = sum(share * held_s for share, held_s in self._went) / whole_s
        variance = sum((share / mean - 1.0) ** 2 * held_s for share, held_s in self._went) / whole_s
        likely = returns / (returns + COMES_AND_GOES)
        lasts = min(max(whole_s / len(self._went), SHORTEST_S), LONGEST_S) / middle_s
        other = max(1.0 + lasts * expm1(-1.0 / lasts), 0.0)  # the share of the way at another pace than now
        differ = max(sqrt(variance), DIFFER) * sqrt(likely)
        sd = hypot(differ * sqrt(2.0 * lasts * other), differ * likely * other / sqrt(len(self._went)))
        middle = middle_s / (1.0 + likely * other * (mean / self._went[-1][0] - 1.0))
        sooner = hypot(log(middle_s / max(early_s, 1e-3)), END_SD * sd)
        later = hypot(log(max(late_s / middle_s, 1.0)), END_SD * sd) if late_s < inf else inf
        return middle * exp(-sooner), middle, middle * exp(later) if later < inf else inf
