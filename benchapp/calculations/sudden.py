"""What came onto a scale all at once: a spoon laid beside the vessel looks like that, a pour does not.

The rule is our own, tried on simulated bustle (``tests/benchmarks/bench_bustle.py``); nothing published covers it. A scale that
speaks less than four times a second while it moves is too slow to tell.
"""

from __future__ import annotations

from itertools import pairwise

from benchapp.foundation.numbers import exact

#: So much of the way within so many seconds, on a display that lags like a usual one (two things may have been laid down).
SHARE, RISE_S = 0.4, 0.7
#: Less than this, in grams and in divisions, is a drop, a pinch or a draught.
LEAST_G, LEAST_DIVISIONS = 2.0, 20.0
#: Rests nearer than so many divisions are one and the same.
SAME_DIVISIONS = 3.0
#: Readings further apart than this while it moves, in seconds, tell nothing of how it moved.
TELLING_S = 0.25
#: So many readings of a movement are kept: what has been poured for longer did not come all at once at its end.
KEPT = 200
#: More readings than this do not come within ``RISE_S``.
WITHIN = 24


class Sudden:
    """Hears one scale's readings; ``by_g`` is how much lies there that came all at once (or, below 0, how much went)."""

    def __init__(self, division_g: float) -> None:
        self.by_g = 0.0
        self.gone_g = 0.0  # what had come all at once and is off again, by the last change of the rest
        self._division_g = division_g
        self._rest_g: float | None = None
        self._befores_g: list[
            float
        ] = []  # where it rested before each thing that came all at once and lies there
        self._moving: list[tuple[float, float]] = []

    def hear(self, at_s: float, value_g: float, rest_g: float | None) -> None:
        """One reading, and where the scale rests with it, None while it moves."""
        if rest_g is None:
            self._moving.append((at_s, value_g))
            del self._moving[:-KEPT]
            return
        if self._moving and self._rest_g is not None and not self._same(rest_g, self._rest_g):
            self._moved(self._rest_g, rest_g)
        self._moving.clear()
        self._rest_g = rest_g

    def calm(self) -> None:
        """What lies there now belongs there."""
        self.by_g, self.gone_g = 0.0, 0.0
        self._befores_g.clear()

    def answered(self) -> None:
        """What went off again was heard of; it is no news where the scale rests now."""
        self.gone_g = 0.0

    def forget(self) -> None:
        """Nothing that came before counts any more."""
        self.calm()
        self._rest_g = None
        self._moving.clear()

    @property
    def _least_g(self) -> float:
        return max(LEAST_G, LEAST_DIVISIONS * self._division_g)

    def _moved(self, old_g: float, new_g: float) -> None:
        step_g = new_g - old_g
        if (
            self._befores_g
            and abs(step_g) < self._least_g
            and not any(self._same(new_g, before) for before in self._befores_g)
        ):
            return  # a drop, a pinch or a draught: what lies there lies there still
        gone_again = step_g < 0 and any(self._same(new_g, before) for before in self._befores_g)
        at_once = self._at_once(old_g, step_g)
        self.gone_g = -step_g if gone_again else 0.0
        if step_g > 0 and at_once:
            self._befores_g.append(old_g)
        elif gone_again or at_once:
            # What was laid down last is off again; what lay there before it lies there still.
            while self._befores_g and new_g < self._befores_g[-1] + SAME_DIVISIONS * self._division_g:
                self._befores_g.pop()
        else:
            self._befores_g.clear()
        went_g = step_g if at_once and not gone_again and step_g < 0 else 0.0
        self.by_g = new_g - self._befores_g[-1] if self._befores_g else went_g

    def _at_once(self, old_g: float, step_g: float) -> bool:
        if abs(step_g) < self._least_g:
            return False
        gaps = sorted(b[0] - a[0] for a, b in pairwise(self._moving))
        if not gaps or gaps[len(gaps) // 2] > TELLING_S:
            return False
        begun = [(self._moving[0][0] - TELLING_S, old_g)] if len(self._moving) < KEPT else []
        path = [*begun, *self._moving]
        most = max(
            (later_g - value_g) / step_g
            for n, (at_s, value_g) in enumerate(path)
            for later_s, later_g in path[n + 1 : n + 1 + WITHIN]
            if exact(later_s - at_s) <= RISE_S
        )
        return most >= SHARE and most * abs(step_g) >= self._least_g

    def _same(self, one_g: float, other_g: float) -> bool:
        return exact(abs(one_g - other_g)) <= exact(SAME_DIVISIONS * self._division_g)
