"""Tells a finger from droplets, sleeves and double touches. Pure: times and places in, a verdict out.

The figures are judged at the bench of a simulation only; not tried on hardware.
"""

from __future__ import annotations

import math
from collections import deque

#: A finger stays at least so long and at most so long on one spot, in seconds.
SHORTEST_S, LONGEST_S = 0.04, 1.2
#: A finger that slides further than this, in mm, did not press.
SLIDE_MM = 8.0
#: So many touches within so many seconds, spread wider than so many mm, are rain or a wiping cloth.
RAIN_TOUCHES, RAIN_S, RAIN_MM = 3, 0.6, 25.0
#: After rain nothing counts until the glass has been quiet for so long.
DRY_S = 0.8
#: Two presses nearer than this in time are one finger reported twice.
TWICE_S = 0.25


class TouchGuard:
    """Judges touches in the order in which they end."""

    def __init__(self) -> None:
        self._downs: deque[tuple[float, tuple[float, float]]] = deque(maxlen=12)
        self._resting: dict[object, tuple[float, tuple[float, float]]] = {}
        self._wet_until_s = -math.inf
        self._last_press_s = -math.inf

    def down(self, key: object, at_s: float, at_mm: tuple[float, float]) -> None:
        """Something touches the glass."""
        self._resting[key] = (at_s, at_mm)
        self._downs.append((at_s, at_mm))
        recent = [p for t, p in self._downs if at_s - t <= RAIN_S]
        if len(recent) >= RAIN_TOUCHES and _spread(recent) > RAIN_MM:
            self._wet_until_s = at_s + DRY_S
        elif at_s < self._wet_until_s:
            self._wet_until_s = at_s + DRY_S  # still raining

    def is_press(self, key: object, at_s: float, at_mm: tuple[float, float]) -> bool:
        """Whether the touch that ends now was a finger pressing one spot."""
        down_s, down_mm = self._resting.pop(key, (-math.inf, at_mm))
        leaning = any(at_s - since > LONGEST_S for since, _ in self._resting.values())
        good = (
            SHORTEST_S <= at_s - down_s <= LONGEST_S
            and math.dist(down_mm, at_mm) <= SLIDE_MM
            and not leaning
            and at_s >= self._wet_until_s
            and at_s - self._last_press_s >= TWICE_S
        )
        if good:
            self._last_press_s = at_s
        return good


def _spread(points: list[tuple[float, float]]) -> float:
    return max(math.dist(a, b) for a in points for b in points)
