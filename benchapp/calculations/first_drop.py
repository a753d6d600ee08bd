"""Where a scale stood just before something surely came onto it: what it crept until then is no ingredient.

A display drifts slowly; a pour moves it more within two seconds, and the slowest sprinkling more within twenty. What is
slower still looks like drift, and nothing in the readings tells them apart. The rule and its figures are our own, tried on the
independent bench of the tests; nothing published covers it.
"""

from __future__ import annotations

from collections import deque
from statistics import fmean

from benchapp.foundation.numbers import to_division

#: So many divisions between what was read lately and what was read a moment before are no drift.
STEP_DIVISIONS = 3.0
#: Lately, and the moment before, in seconds before now.
LATELY_S, BEFORE_S = 0.5, (1.0, 2.5)
#: So much within so long is no drift either: divisions, and grams, whichever is more.
SLOW_DIVISIONS, SLOW_G, SLOW_S = 2.5, 0.08, 20.0
#: A scale has to rest so long before it counts as resting anywhere, in seconds.
REST_S = 2.0
#: Less than so many divisions is what a draught does to where a scale rests.
LEAST_DIVISIONS = 2.5
#: So near to where it stood before, whatever had come is gone again.
AGAIN_DIVISIONS = 2.0


class FirstDrop:
    """Hears one scale; ``crept_g`` is how far it crept since ``calm``, known once the first drop has fallen."""

    def __init__(self, division_g: float) -> None:
        self._division_g = division_g
        self._window: deque[tuple[float, float]] = deque()
        self._levels: deque[tuple[float, float]] = deque()  # one a second, for ``SLOW_S``
        self._from_g: float | None = None
        self._before_g: float | None = None
        self._rest_g: float | None = None
        self._resting_s: float | None = None  # since when it rests

    @property
    def fallen(self) -> bool:
        """Whether something surely came onto the scale since ``calm``, or left it."""
        return self._before_g is not None

    @property
    def crept_g(self) -> float:
        """How far it had crept when the first drop fell, in grams, whole divisions; 0 while nothing has fallen."""
        if self._from_g is None or self._before_g is None:
            return 0.0
        crept_g = self._before_g - self._from_g
        least_g = LEAST_DIVISIONS * self._division_g
        return to_division(crept_g, self._division_g) if abs(crept_g) >= least_g else 0.0

    def hear(self, at_s: float, value_g: float, rest_g: float | None) -> None:
        """One reading in grams, and where the scale rests with it, None while it moves."""
        self._window.append((at_s, value_g))
        while self._window[0][0] < at_s - BEFORE_S[1]:
            self._window.popleft()
        self._resting_s = None if rest_g is None else at_s if self._resting_s is None else self._resting_s
        if self._resting_s is None or at_s - self._resting_s < REST_S:
            rest_g = None  # a draught rests a moment wherever it turns
        if rest_g is not None and self._from_g is None:
            self._from_g = self._rest_g = rest_g
        if self._from_g is None:
            return
        if self._before_g is None:
            self._before_g = self._moved(at_s, rest_g)
        elif rest_g is not None and abs(rest_g - self._before_g) <= AGAIN_DIVISIONS * self._division_g:
            self._before_g = None
        if rest_g is not None:
            self._rest_g = rest_g

    def _moved(self, at_s: float, rest_g: float | None) -> float | None:
        """Where it rested before it surely moved; None where it did not."""
        lately = [g for t, g in self._window if t > at_s - LATELY_S]
        before = [g for t, g in self._window if t <= at_s - BEFORE_S[0]]
        quick = STEP_DIVISIONS * self._division_g
        if len(before) > 1 and len(lately) > 1 and abs(fmean(lately) - fmean(before)) >= quick:
            return self._rest_g
        if rest_g is None:
            return None
        if not self._levels or at_s - self._levels[-1][0] >= 1.0:
            self._levels.append((at_s, rest_g))
        while self._levels[0][0] < at_s - SLOW_S:
            self._levels.popleft()
        slow = max(SLOW_DIVISIONS * self._division_g, SLOW_G)
        return self._levels[0][1] if abs(rest_g - self._levels[0][1]) >= slow else None

    def calm(self) -> None:
        """From where it stands now on, creeping is counted anew."""
        self._from_g = self._before_g = self._rest_g = self._resting_s = None
        self._window.clear()
        self._levels.clear()

    def booked(self) -> None:
        """What had crept is taken into account."""
        self._from_g = self._before_g
