"""Tells a finger from droplets, sleeves and double touches. Pure: times and places in, a verdict out.

A press counts only once the glass has stayed quiet for a moment after it. The figures are judged against made-up
traces only; not tried on hardware.
"""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass

#: A finger stays at least so long and at most so long on one spot, in seconds.
SHORTEST_S, LONGEST_S = 0.04, 1.2
#: A finger that slides further than this, in mm, did not press.
SLIDE_MM = 8.0
#: Another touch further off than this, begun so shortly before a finger or so shortly after it, makes it a splash.
FAR_MM, BEFORE_S, QUIET_S = 25.0, 0.3, 0.14
#: So many touches within so many seconds, spread wider than FAR_MM, are rain or a wiping cloth.
RAIN_TOUCHES, RAIN_S = 3, 0.6
#: After rain nothing counts until the glass has been quiet for so long.
DRY_S = 0.8
#: Two presses nearer than this in time are one finger reported twice.
TWICE_S = 0.25

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Lifted:
    """A touch that ended like a finger's, and waits for the glass to stay quiet. Seconds and mm."""

    key: object
    down_s: float
    up_s: float
    at_mm: Place


class TouchGuard:
    """Hears touches come down and lift; ``settled`` says which of them were presses."""

    def __init__(self) -> None:
        self._downs: deque[tuple[object, float, Place]] = deque(maxlen=16)
        self._resting: dict[object, tuple[float, Place]] = {}
        self._lifted: Lifted | None = None
        self._wet_until_s = -math.inf
        self._last_press_s = -math.inf

    def down(self, key: object, at_s: float, at_mm: Place) -> None:
        """Something touches the glass."""
        self._resting[key] = (at_s, at_mm)
        self._downs.append((key, at_s, at_mm))
        recent = [p for _, t, p in self._downs if at_s - t <= RAIN_S]
        if (len(recent) >= RAIN_TOUCHES and _spread(recent) > FAR_MM) or at_s < self._wet_until_s:
            self._wet_until_s = at_s + DRY_S  # rain, or still raining

    def up(self, key: object, at_s: float, at_mm: Place) -> bool:
        """It lifts. True where it may have been a finger; whether it was, ``settled`` says a little later."""
        down_s, down_mm = self._resting.pop(key, (-math.inf, at_mm))
        leaning = any(at_s - since > LONGEST_S for since, _ in self._resting.values())
        good = (
            SHORTEST_S <= at_s - down_s <= LONGEST_S
            and math.dist(down_mm, at_mm) <= SLIDE_MM
            and not leaning
            and self._lifted is None
            and at_s - self._last_press_s >= TWICE_S
        )
        if good:
            self._lifted = Lifted(key, down_s, at_s, at_mm)
        return good

    def settled(self, at_s: float) -> list[object]:
        """The touches that have turned out to be presses, once each. Call often: a press waits for it."""
        lifted = self._lifted
        if lifted is None or at_s - lifted.up_s < QUIET_S:
            return []
        self._lifted = None
        if lifted.up_s < self._wet_until_s or self._splashed(lifted):
            return []
        self._last_press_s = lifted.up_s
        return [lifted.key]

    def _splashed(self, lifted: Lifted) -> bool:
        return any(
            lifted.down_s - BEFORE_S <= at_s <= lifted.up_s + QUIET_S
            and math.dist(at_mm, lifted.at_mm) > FAR_MM
            for key, at_s, at_mm in self._downs
            if key != lifted.key
        )


def _spread(points: list[Place]) -> float:
    return max(math.dist(a, b) for a in points for b in points)
