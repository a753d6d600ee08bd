"""Is the scale still, and where will it stand? A filter over raw grams, beside the fold."""

from __future__ import annotations

from collections import deque

#: Readings older than this say nothing about now.
WINDOW_S = 2.5
#: How long the display has to agree with itself when the scale says nothing about being stable.
QUIET_S = 0.5


class Stillness:
    """Judges one scale's stream. ``division_g`` is the step of its display in grams.

    Still means: over the last half second, and over at least three readings (two where the scale itself says
    "stable"), the display stayed within one division.
    """

    def __init__(self, division_g: float) -> None:
        self.division_g = division_g
        self._window: deque[tuple[float, float]] = deque()
        self.latest_g: float | None = None
        self.latest_at_s: float = 0.0
        self.still = False
        self.rest_g = 0.0
        self.still_since_s = 0.0

    def push(self, at_s: float, value_g: float, stable: bool | None) -> None:
        """Take one reading in grams; ``stable`` is the scale's own word, None where it has none."""
        window = self._window
        window.append((at_s, value_g))
        while window[0][0] < at_s - WINDOW_S:
            window.popleft()
        self.latest_g, self.latest_at_s = value_g, at_s
        was_still = self.still
        self.still = stable is not False and self._quiet(at_s, 2 if stable else 3)
        if self.still:
            self.rest_g = value_g
            if not was_still:
                self.still_since_s = at_s

    def _quiet(self, at_s: float, enough: int) -> bool:
        low = high = self._window[-1][1]
        for count, (when, value) in enumerate(reversed(self._window), 1):
            low, high = min(low, value), max(high, value)
            if high - low > self.division_g * 1.01:
                return False
            if at_s - when >= QUIET_S - 1e-9 and count >= enough:
                return True
        return False

    @property
    def flow_g_s(self) -> float:
        """Grams a second over the last half second; 0 where there is too little to tell."""
        if len(self._window) < 2:
            return 0.0
        last_at, last = self._window[-1]
        for when, value in reversed(self._window):
            if last_at - when >= QUIET_S - 1e-9:
                return (last - value) / (last_at - when)
        return 0.0

    def forget(self) -> None:
        """Start anew: nothing read before counts (a fault, a restart, another vessel)."""
        self._window.clear()
        self.still = False
        self.latest_g = None
