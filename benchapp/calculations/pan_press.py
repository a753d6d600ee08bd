"""Two deliberate pushes on the empty pan of a large scale, told from knocks and from things set down. Pure.

A display lags behind the pan, so a push shows as a hump that is lower and longer than the push, and between two pushes
it need not come back to zero: what is asked for is two humps with a clear dip, and an empty pan before and after. The
limits are common practice, no source; tried on made-up hands and simulated scales only, not on hardware.
"""

from __future__ import annotations

#: Never on a finer scale than this: a push could harm it, and it shows a breath as a push. Grams.
COARSE_G = 0.1
#: A display that speaks more seldom than this while it moves cannot tell a push from a knock, in seconds.
SLOWEST_S = 0.15
#: So many divisions about zero are an empty pan; it has to have been empty for so long before, and be so after.
EMPTY_DIVISIONS, BEFORE_S, AFTER_S = 3.0, 0.6, 0.3
#: The lower of two humps reaches at least this, and this share of the higher one.
HUMP_G, ALIKE = 120.0, 0.35
#: Between two humps the display falls to the first share of the first hump, and rises again by the second share of it:
#: less is the pan that rings on its cell.
DIP, AGAIN = 0.8, 0.25
#: The top of the second hump follows that of the first within these, and the pan is empty again within the longer time,
#: in seconds.
APART_S, OVER_S = (0.25, 1.05), 6.0
#: From where a hump begins to its top, in seconds: longer, and it is a hand that leans or a vessel that is set down.
RISE_S = 0.55
#: What falls on the pan bounces: tops within the time, the first one quick, and between them the display does not fall below
#: this share of the second. A hand lets go for longer.
NEAR_S, QUICK_S, SHARE = 0.56, 0.25, 0.52


class PanPress:
    """One large scale. Feed it every reading; it answers once, when a double push is over."""

    def __init__(self, division_g: float) -> None:
        self._empty_g = EMPTY_DIVISIONS * division_g
        self._empty_since_s: float | None = None
        self._humps: list[tuple[float, float, float]] = []  # began, top at, top in grams
        self._began_s = 0.0
        self._rising = False
        self._low = (0.0, 0.0)  # the latest dip: when, grams
        self._dip_g = 0.0  # between the two humps
        self._last_s = 0.0
        self._meant = ""
        self._spoilt = True  # until the pan has been empty for a while

    def push(self, at_s: float, gross_g: float, meant: str) -> str:
        """Take a reading at ``at_s`` seconds: grams above the empty pan's zero. Returns what stood there when the
        first push began, once, when both are over and the pan is empty again; "" otherwise."""
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
            self._dip_g = self._low[1]
            self._rising = True
        if len(self._humps) > 2 or at_s - self._began_s > OVER_S:
            self._spoilt = True

    def _empty(self, at_s: float, gross_g: float) -> str:
        if self._empty_since_s is None:
            self._empty_since_s = at_s
        if self._humps and not self._spoilt:
            self._follow(at_s, gross_g)
        second_may_come = len(self._humps) == 1 and at_s - self._humps[0][1] <= APART_S[1]
        if second_may_come or at_s - self._empty_since_s < AFTER_S:
            return ""
        good = not self._spoilt and self._deliberate()
        self._humps, self._rising, self._spoilt = [], False, False
        return self._meant if good else ""

    def _deliberate(self) -> bool:
        if len(self._humps) != 2:
            return False
        (_, first_s, first_g), (_, second_s, second_g) = self._humps
        least, most = sorted((first_g, second_g))
        quick = all(top_s - began <= RISE_S for began, top_s, _ in self._humps)
        return (
            quick
            and not self._bounced()
            and least >= max(HUMP_G, ALIKE * most)
            and APART_S[0] <= second_s - first_s <= APART_S[1]
        )

    def _bounced(self) -> bool:
        (began_s, first_s, _), (_, second_s, second_g) = self._humps
        near, quick = second_s - first_s <= NEAR_S, first_s - began_s < QUICK_S
        return near and quick and self._dip_g > SHARE * second_g
