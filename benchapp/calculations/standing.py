"""Digits that stand still: longer than the probe's own noise and its vessel's curve allow, it may be frozen.

What a probe shows in steps, how noisy it is and how long its digits stood before is learned from its readings. A coarse
probe in a steady bath stands still honestly, and nothing tells that from a frozen one; so it is not asked about. The
rule is our own (``tests/endurance/thermal_trials.py``); nothing published covers it.
"""

from __future__ import annotations

from collections import deque
from math import erfc, log, sqrt

#: Never asked about before so many seconds.
LEAST_S = 120.0
#: A probe as fine as this, in kelvin, moves in a warm pot at least once in so long, in seconds.
FINE_K, FINE_S = 0.2, 300.0
#: Its noise alone would have moved it: so improbable is a reading that stands, of readings so many seconds apart.
IMPROBABLE, APART_S, NOISE_S = 1e-4, 2.0, 180.0
#: A vessel on the move: the last three digits, and a kelvin at least, took it so long; it stands after so many times
#: that, at most so long.
DIGITS, PASSED_K, TIMES, MOVING_S = 3.0, 1.0, 8.0, 300.0
#: What passes so many digits faster than this, in seconds, is a step (a pot that is stirred) and no pace.
STEP_S = 10.0
#: A digit that stood honestly may stand so many times as long again.
LONGER = 3.0
#: Steps seen before anything is said of how it steps, and for its noise windows of so many seconds over so many digits.
STEPS, WINDOW_S, WINDOW_DIGITS, WINDOWS = 5, 20.0, 5.0, 5
#: How long it is remembered, in seconds.
MEMORY_S = 900.0


class Standing:
    """Hears one probe's readings in °C; ``too_long_s`` says for how long its digits stand, where that is too long."""

    def __init__(self) -> None:
        self.digit_k = 0.1
        self.steps = 0
        self.value_c: float | None = None
        self.since_s = 0.0
        self._excused = False  # a person has vouched for the digits as they stand
        self._turns: deque[tuple[float, float]] = deque()  # (when it began to show, °C)
        self._window: list[tuple[float, float]] = []
        self._spreads: deque[float] = deque(maxlen=31)
        self._longest: deque[tuple[float, float]] = (
            deque()
        )  # (until, seconds) of digits that moved on; first the longest, then the longest since

    def begin(self) -> None:
        """It was put into another vessel: how long it stood before says nothing; how it steps is known."""
        self.value_c = None
        self._turns.clear()
        self._window.clear()
        self._longest.clear()

    def interrupt(self) -> None:
        """What it shows just now is not its vessel's: how fast it went says nothing of how the vessel goes."""
        self._turns.clear()
        self._window.clear()

    def excuse(self) -> None:
        """The digits as they stand are right: nothing is said of them until they have moved."""
        self._excused = True

    def hear(self, at_s: float, temp_c: float) -> None:
        """One reading."""
        self._noise(at_s, temp_c)
        if self.value_c is None:
            self.value_c, self.since_s = temp_c, at_s
            return
        step = round(abs(temp_c - self.value_c), 3)
        if step == 0.0:
            return
        self.steps, self._excused = self.steps + 1, False
        self.digit_k = step if self.steps == 1 else min(self.digit_k, step)
        if step <= 2.5 * self.digit_k:
            while self._longest and self._longest[-1][1] <= at_s - self.since_s:
                self._longest.pop()
            self._longest.append((at_s, at_s - self.since_s))
        self._turns.append((self.since_s, self.value_c))
        self.value_c, self.since_s = temp_c, at_s
        while self._turns and at_s - self._turns[0][0] > MEMORY_S:
            self._turns.popleft()
        while self._longest and at_s - self._longest[0][0] > MEMORY_S:
            self._longest.popleft()

    def too_long_s(self, at_s: float, cools_k_s: float, in_air: bool) -> float:
        """Seconds for which its digits have stood too long, 0 while they have not. ``cools_k_s``: how fast the vessel
        would cool in air; ``in_air``: it is meant to be there."""
        if self.value_c is None or self.steps < STEPS or self._excused or cools_k_s < 0.003:
            return 0.0
        stood = at_s - self.since_s
        return stood if stood > self._limit_s(cools_k_s, in_air) else 0.0

    def _limit_s(self, cools_k_s: float, in_air: bool) -> float:
        limits = [self._noise_limit_s(), FINE_S if self.digit_k <= FINE_K else 1e9]
        honest = LONGER * (self._longest[0][1] if self._longest else 0.0)
        limit = max(min(limits), honest)
        moving = self._moving_limit_s()
        if moving is not None:
            limit = min(limit, max(moving, 3.0 * self.digit_k / cools_k_s))
        if in_air:
            # Even a covered pot in a bath that is off loses an eighth of what one in air does.
            limit = min(limit, max(16.0 * self.digit_k / cools_k_s, honest))
        return max(limit, LEAST_S)

    def _noise_limit_s(self) -> float:
        """How long a reading of this noise may stand in the middle of a digit."""
        if len(self._spreads) < WINDOWS:
            return 1e9
        middle = sorted(self._spreads)[len(self._spreads) // 2]
        noise = sqrt(max(middle - self.digit_k**2 / 12.0, 1e-12))
        moves = erfc(self.digit_k / (2.0 * noise * sqrt(2.0)))
        if moves < 1e-6:
            return 1e9
        return max(NOISE_S, APART_S * log(IMPROBABLE) / log(1.0 - min(moves, 0.9)))

    def _moving_limit_s(self) -> float | None:
        """A vessel that passed its last digits in no time does not stop at once; None where it was slow."""
        assert self.value_c is not None
        for began_s, value in reversed(self._turns):
            if abs(value - self.value_c) >= max((DIGITS - 0.1) * self.digit_k, PASSED_K):
                limit = TIMES * (self.since_s - began_s)
                return limit if TIMES * STEP_S <= limit < MOVING_S else None
        return None

    def _noise(self, at_s: float, temp_c: float) -> None:
        """The spread about a straight line, over windows in which it passed several digits."""
        if self._window and at_s - self._window[-1][0] > WINDOW_S / 4:
            self._window.clear()
        self._window.append((at_s, temp_c))
        if at_s - self._window[0][0] < WINDOW_S:
            return
        values = [c for _, c in self._window]
        if len(values) >= 8 and WINDOW_DIGITS * self.digit_k <= max(values) - min(values) <= 8.0:
            self._spreads.append(_about_a_line(self._window))
        self._window.clear()


def _about_a_line(points: list[tuple[float, float]]) -> float:
    """The variance about the straight line that fits best."""
    n = len(points)
    middle_s, middle_c = sum(t for t, _ in points) / n, sum(c for _, c in points) / n
    spread = sum((t - middle_s) ** 2 for t, _ in points)
    slope = sum((t - middle_s) * (c - middle_c) for t, c in points) / spread
    return sum((c - middle_c - slope * (t - middle_s)) ** 2 for t, c in points) / (n - 2)
