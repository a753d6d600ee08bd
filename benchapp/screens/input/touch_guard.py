"""Tells a finger from droplets, sleeves, cloths and double touches. Pure: times and places in, a verdict out.

A press counts only once the glass has stayed quiet for a moment after it. The figures are judged against made-up
traces only (tests/screens/input/wet_glass.py); not tried on hardware. A single drop that stays for as long as a finger does
cannot be told from one: so what the make is told takes two presses in two places (see hold_to_confirm), the second held.
"""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass, field

#: A finger stays at least so long and at most so long on one spot, in seconds.
SHORTEST_S, LONGEST_S = 0.05, 1.2
#: A finger that wanders further than this from where it came down, in mm, did not press.
SLIDE_MM = 8.0
#: Contacts nearer than this, in mm, may be one finger: begun so soon after one another, or broken off for so long.
NEAR_MM, TWIN_S, BREAK_S = 12.0, 0.08, 0.06
#: A contact elsewhere, begun so shortly before a finger or before so much has passed after it, makes it a splash.
BEFORE_S, QUIET_S = 0.6, 0.14
#: So many contacts within so many seconds, spread wider than this in mm, are rain or a wiping cloth.
RAIN_TOUCHES, RAIN_S, RAIN_MM = 3, 1.0, 25.0
#: After rain nothing counts until the glass has been quiet for so long.
DRY_S = 0.8
#: Two presses nearer than this in time are one finger reported twice.
TWICE_S = 0.1
#: What is told to the make is held for so long, and within so long after it was picked, in seconds.
FILL_S, WITHIN_S = 0.25, 4.0

Place = tuple[float, float]


@dataclass(slots=True)
class FingerTouch:
    """One finger's stay on the glass, or what may be one: its contacts, where it came down, how far it strayed."""

    keys: list[object]
    down_s: float
    at_mm: Place
    resting: set[object] = field(default_factory=set)
    up_s: float = math.inf
    strayed_mm: float = 0.0
    spoilt: bool = False

    @property
    def lasted_s(self) -> float:
        """From the first contact to the last; infinite while it rests."""
        return self.up_s - self.down_s

    def strays(self, at_mm: Place) -> None:
        """It has been here, too."""
        self.strayed_mm = max(self.strayed_mm, math.dist(self.at_mm, at_mm))

    def takes_in(self, at_s: float, at_mm: Place) -> bool:
        """Whether a new contact is the same finger: beside it and at almost the same time, or broken off just now."""
        soon = at_s - self.down_s <= TWIN_S if self.resting else at_s - self.up_s <= BREAK_S
        return soon and math.dist(self.at_mm, at_mm) <= NEAR_MM


class TouchGuard:
    """Hears contacts come down, move and lift; ``settled`` says which of them were presses."""

    def __init__(self) -> None:
        self._strays: deque[tuple[object, float, Place]] = deque(
            maxlen=16
        )  # contacts that were no press (yet)
        self._resting: dict[object, Place] = {}
        self._touch: FingerTouch | None = None
        self._wet_until_s = -math.inf
        self._last_press_s = -math.inf

    def down(self, key: object, at_s: float, at_mm: Place) -> None:
        """Something touches the glass."""
        self._strays.append((key, at_s, at_mm))
        self._rain(at_s)
        touch = self._touch
        if touch is not None and not touch.spoilt and touch.takes_in(at_s, at_mm):
            touch.keys.append(key)
            touch.up_s = math.inf
        else:
            touch = self._touch = FingerTouch([key], at_s, at_mm, spoilt=bool(self._resting))
        touch.resting.add(key)
        touch.strays(at_mm)
        self._resting[key] = at_mm

    def move(self, key: object, at_mm: Place) -> None:
        """A contact is somewhere else now."""
        if self._touch is not None and key in self._touch.resting:
            self._touch.strays(at_mm)

    def up(self, key: object, at_s: float, at_mm: Place) -> bool:
        """It lifts. True where it may have been a finger; whether it was, ``settled`` says a little later."""
        self._resting.pop(key, None)
        touch = self._touch
        if touch is None or key not in touch.resting:
            return False
        touch.strays(at_mm)
        touch.resting.discard(key)
        if touch.resting:
            return self._like_a_finger(touch)
        touch.up_s = at_s
        return self._like_a_finger(touch) and SHORTEST_S <= touch.lasted_s <= LONGEST_S

    def settled(self, at_s: float) -> list[FingerTouch]:
        """What has turned out to be a press, once. Call often: a press waits for it."""
        touch = self._touch
        if touch is None or touch.resting or at_s - touch.up_s < QUIET_S:
            return []
        self._touch = None
        good = SHORTEST_S <= touch.lasted_s <= LONGEST_S and self._like_a_finger(touch)
        if not good or touch.up_s < self._wet_until_s or self._splashed(touch):
            return []
        self._last_press_s = touch.up_s
        self._strays = deque((s for s in self._strays if s[0] not in touch.keys), maxlen=16)
        return [touch]

    def steady(self, at_s: float) -> FingerTouch | None:
        """What rests on the glass like a finger, and nothing else with it; for what shows how long it is pressed."""
        touch = self._touch
        fits = touch is not None and touch.resting and at_s - touch.down_s <= LONGEST_S
        if not fits or at_s < self._wet_until_s or touch is None or self._splashed(touch):
            return None
        return touch if self._like_a_finger(touch) else None

    def _like_a_finger(self, touch: FingerTouch) -> bool:
        alone = self._resting.keys() <= set(touch.keys)
        again = touch.down_s - self._last_press_s < TWICE_S
        return not touch.spoilt and alone and not again and touch.strayed_mm <= SLIDE_MM

    def _splashed(self, touch: FingerTouch) -> bool:
        return any(
            touch.down_s - BEFORE_S <= at_s <= touch.up_s + QUIET_S
            and math.dist(at_mm, touch.at_mm) > NEAR_MM
            for key, at_s, at_mm in self._strays
            if key not in touch.keys
        )

    def _rain(self, at_s: float) -> None:
        recent = [p for _, t, p in self._strays if at_s - t <= RAIN_S]
        if (len(recent) >= RAIN_TOUCHES and _spread(recent) > RAIN_MM) or at_s < self._wet_until_s:
            self._wet_until_s = at_s + DRY_S  # rain, or still raining


def _spread(points: list[Place]) -> float:
    return max(math.dist(a, b) for a in points for b in points)
