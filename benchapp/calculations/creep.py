"""How far a scale at rest has wandered since something surely moved it: a display creeps, a pour steps.

The rule is our own, tried on simulated bustle (``tests/benchmarks/bench_bustle.py``); nothing published covers it.
"""

from __future__ import annotations

#: Up to so many divisions within so many seconds may be the display's own doing.
MOST_DIVISIONS, WITHIN_S = 2.5, 30.0
#: So many seconds after a step, or after a drop that followed it so, the display's tail and the hand's next drop belong to it.
TAIL_S = 4.0
#: What came and went longer ago than so many steps is not looked for.
MOST_BEFORES = 50


class Creep:
    """Hears where one scale rests; ``since_g`` is where it came to rest after something surely moved it, in grams."""

    def __init__(self, division_g: float) -> None:
        self.since_g: float | None = None
        self._division_g = division_g
        self._stepped_s = self._tail_until_s = 0.0
        self._befores_g: list[
            tuple[float, float]
        ] = []  # before each step: ``since_g``, and where it rested then
        self._rests: list[tuple[float, float]] = []  # within the time: when it last rested there, and where

    def hear(self, at_s: float, rest_g: float | None) -> None:
        """Where the scale rests with a reading, None while it moves."""
        if rest_g is None:
            return
        while len(self._rests) > 1 and self._rests[0][0] < at_s - WITHIN_S:
            del self._rests[0]
        if self.since_g is None or any(not self._near(rest_g, before_g) for _, before_g in self._rests):
            self._stepped(at_s, rest_g)
        elif at_s <= self._tail_until_s:
            self._follow(at_s, rest_g, self.since_g)
        if self._rests and abs(rest_g - self._rests[-1][1]) < 0.5 * self._division_g:
            self._rests[-1] = (at_s, self._rests[-1][1])
        else:
            self._rests.append((at_s, rest_g))

    def calm(self) -> None:
        """Where it rests now, it belongs."""
        self._befores_g.clear()
        self._tail_until_s = 0.0
        if self._rests:
            del self._rests[:-1]
            self.since_g = self._rests[-1][1]

    def forget(self) -> None:
        """Nothing that was read before counts any more."""
        self.since_g = None
        self._rests.clear()
        self._befores_g.clear()

    def _stepped(self, at_s: float, rest_g: float) -> None:
        # What was laid down is off again, or a draught is over: it stands where it stood, and may have crept meanwhile.
        again_g = next(
            (before[0] for before in reversed(self._befores_g) if any(self._near(rest_g, g) for g in before)),
            None,
        )
        if self.since_g is not None and self._rests:
            self._befores_g.append((self.since_g, self._rests[-1][1]))
            del self._befores_g[:-MOST_BEFORES]
        self.since_g = rest_g if again_g is None else again_g
        self._stepped_s, self._tail_until_s = at_s, at_s + TAIL_S if again_g is None else 0.0
        self._rests.clear()

    def _follow(self, at_s: float, rest_g: float, since_g: float) -> None:
        """Drop by drop, for as long as a step may take."""
        if abs(rest_g - since_g) >= 0.5 * self._division_g and at_s <= self._stepped_s + WITHIN_S:
            self._tail_until_s = at_s + TAIL_S
        self.since_g = rest_g

    def _near(self, one_g: float, other_g: float) -> bool:
        return abs(one_g - other_g) <= MOST_DIVISIONS * self._division_g
