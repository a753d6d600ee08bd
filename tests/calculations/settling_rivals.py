"""Three simpler ways to call a display still, for comparison."""

from __future__ import annotations

from collections import deque


class OwnFlag:
    """Whatever the scale says of itself."""

    def __init__(self, division_g: float) -> None:
        self.still, self.rest_g = False, 0.0

    def push(self, at_s: float, value_g: float, stable: bool | None) -> None:
        self.still, self.rest_g = bool(stable), value_g


class FiveEqual:
    """Five equal readings in a row."""

    def __init__(self, division_g: float) -> None:
        self.still, self.rest_g = False, 0.0
        self._division, self._last = division_g, deque[float](maxlen=5)

    def push(self, at_s: float, value_g: float, stable: bool | None) -> None:
        self._last.append(value_g)
        equal = max(self._last) - min(self._last) < 0.5 * self._division
        self.still, self.rest_g = len(self._last) == 5 and equal, value_g


class TwoDivisionsOneSecond:
    """Largest minus smallest reading of the last second at most two divisions."""

    def __init__(self, division_g: float) -> None:
        self.still, self.rest_g = False, 0.0
        self._division, self._last = division_g, deque[tuple[float, float]]()

    def push(self, at_s: float, value_g: float, stable: bool | None) -> None:
        self._last.append((at_s, value_g))
        while len(self._last) > 1 and self._last[1][0] <= at_s - 1.0 + 0.05:
            self._last.popleft()
        values = [v for _, v in self._last]
        full = at_s - self._last[0][0] >= 0.95
        self.still = full and max(values) - min(values) <= 2.01 * self._division
        self.rest_g = value_g
