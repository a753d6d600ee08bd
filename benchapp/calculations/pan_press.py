"""Three deliberate pushes on the empty pan of a large scale, told from knocks and from things set down. Pure.

Three, because two were not enough: a knock and a bounce within a second look the same, about once in 10,000 minutes of
a busy bench. A display lags behind the pan, so a push shows as a hump that is lower and longer than the push, and between
two pushes it need not come back to zero: what is asked for is three humps with clear dips, and an empty pan before and
after. The limits are common practice, no source; tried on made-up hands and simulated scales only, not on hardware.
"""

from __future__ import annotations

from itertools import pairwise

#: So many pushes are one word.
PUSHES = 3
#: Never on a finer scale than this: a push could harm it, and it shows a breath as a push. Grams.
COARSE_G = 0.1
#: A display that speaks more seldom than this while it moves cannot tell a push from a knock, in seconds.
SLOWEST_S = 0.15
#: So many divisions about zero are an empty pan; it has to have been empty for so long before, and be so after.
EMPTY_DIVISIONS, BEFORE_S, AFTER_S = 3.0, 0.6, 0.3
#: The lowest hump reaches at least this, and this share of the highest one.
HUMP_G, ALIKE = 120.0, 0.3
#: Between two humps the display falls to the first share of the earlier one, and rises again by the second share of it:
#: less is the pan that rings on its cell.
DIP, AGAIN = 0.85, 0.15
#: The top of a hump follows that of the one before within these, and the pan is empty again within the longer time,
#: in seconds.
APART_S, OVER_S = (0.25, 1.05), 7.0
#: From where a hump begins to its top, in seconds: longer, and it is a hand that leans or a vessel that is set down.
RISE_S = 0.55


class PanPress:
    """One large scale. Feed it every reading; it answers once, when three pushes are over."""

    def __init__(self, division_g: float) -> None:
        self._empty_g = EMPTY_DIVISIONS * division_g
        self._empty_since_s: float | None = None
        self._humps: list[tuple[float, float, float]] = []  # began, top at, top in grams
        self._began_s = 0.0
        self._rising = False
        self._low = (0.0, 0.0)  # the latest dip: when, grams
        self._last_s = 0.0
        self._meant = ""
        self._spoilt = True  # until the pan has been empty for a while

    def push(self, at_s: float, gross_g: float, meant: str) -> str:
        """Take a reading at ``at_s`` seconds: grams above the empty pan's zero. Returns what stood there when the
        first push began, once, when all are over and the pan is empty again; "" otherwise."""
        gap_s, self._last_s = at_s - self._last_s, at_s
        if abs(gross_g) <= self._empty_g:
            return self._empty(at_s, gross_g)
        waited = self._empty_since_s is not None and at_s - self._empty_since_s >= BEFORE_S
        if self._humps and gap_s > SLOWEST_S:
            self._spoilt = True  # too seldom to tell what the pan did between
        if self._empty_since_s is not None:
            self._empty_since_s = None
            if not self._humps:
                self._begin(at_s, meant, waited)
        if not self._spoilt:
            self._follow(at_s, gross_g)
        return ""

    def forget(self) -> None:
        """Start anew: a fault, or something on the pan."""
        self._humps, self._rising, self._spoilt, self._empty_since_s = [], False, True, None

    def _begin(self, at_s: float, meant: str, waited: bool) -> None:
        self._spoilt = not waited
        self._meant, self._began_s, self._rising = meant, at_s, True
        self._humps = [(at_s, at_s, 0.0)]
        self._low = (at_s, 0.0)

    def _follow(self, at_s: float, gross_g: float) -> None:
        began, _, top_g = self._humps[-1]
        if self._rising:
            if gross_g > top_g:
                self._humps[-1] = (began, at_s, gross_g)
            elif gross_g <= DIP * top_g:
                self._rising, self._low = False, (at_s, gross_g)
        elif gross_g < self._low[1]:
            self._low = (at_s, gross_g)
        elif gross_g >= max(ALIKE * top_g, HUMP_G) and gross_g - self._low[1] >= AGAIN * top_g:
            self._humps.append((self._low[0], at_s, gross_g))
            self._rising = True
        if len(self._humps) > PUSHES or at_s - self._began_s > OVER_S:
            self._spoilt = True

    def _empty(self, at_s: float, gross_g: float) -> str:
        if self._empty_since_s is None:
            self._empty_since_s = at_s
        if self._humps and not self._spoilt:
            self._follow(at_s, gross_g)
        another_may_come = 0 < len(self._humps) < PUSHES and at_s - self._humps[-1][1] <= APART_S[1]
        if another_may_come or at_s - self._empty_since_s < AFTER_S:
            return ""
        good = not self._spoilt and self._deliberate()
        self._humps, self._rising, self._spoilt = [], False, False
        return self._meant if good else ""

    def _deliberate(self) -> bool:
        tops_g = [top_g for _, _, top_g in self._humps]
        return (
            len(self._humps) == PUSHES
            and all(top_s - began <= RISE_S for began, top_s, _ in self._humps)
            and min(tops_g) >= max(HUMP_G, ALIKE * max(tops_g))
            and all(APART_S[0] <= b[1] - a[1] <= APART_S[1] for a, b in pairwise(self._humps))
        )
