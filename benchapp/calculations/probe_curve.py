"""A probe against its vessel's own curve: a reading that changes faster than the vessel can is not the vessel's.

A vessel warms and cools only as fast as its heat balance lets it; stirred after a rest it may step by a few kelvin.
A probe that is taken out, laid down, or set to another unit goes faster and further. From then on it is held against
the curve from before, whose uncertainty widens with time, until it has come back. The limits are our own, tried on
benches of another make (``tests/endurance/thermal_trials.py``); nothing published covers them.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

from benchapp.foundation.numbers import exact

#: So far back a reading is compared with those before, in seconds.
LOOK_S = 20.0
#: A vessel that is stirred after a rest steps by no more than this, in kelvin, in the air and while it is heated; more is
#: no vessel's.
STIR_K, STIR_HEATED_K = 3.0, 5.0
#: Moving by more than this beyond its heat balance within so many seconds, a reading has not settled.
RESTLESS_K, RESTLESS_S = 0.6, 4.0
#: The slope before a jump is taken over so many seconds, where at least the second figure is known.
SLOPE_S, LEAST_SLOPE_S = 90.0, 20.0
#: A probe that came back is where it was so many seconds ago: an ordinary lift is shorter.
BEFORE_S = 40.0
#: Half the width of the curve at the jump; a curve wider than the second figure proves nothing any more, in kelvin.
BASE_K, WIDEST_K = 2.0, 12.0
#: Seconds at rest on the curve before it counts again.
BACK_S = 4.0
#: A probe that is put into a vessel may take so long to show its temperature, in seconds.
PUT_IN_S = 45.0
#: A changed unit lands within so many kelvin.
UNIT_K = 1.5
#: The slowest cooling in air taken as possible between two readings, in K/s: a draught, wet walls.
LEAST_PACE_K_S = 0.1
#: How much faster than expected a vessel may cool (ice, a draught), while one watches and over a longer time.
COOLS_FAST, COOLS_LONG = 3.0, 1.5
#: What a pace may be wrong by over a longer time: a share of it, and K/s.
PACE_SHARE, PACE_K_S = 0.3, 0.005
HEATED_K_S = 0.02


@dataclass(frozen=True, slots=True)
class HeatBalance:
    """How fast a vessel can warm and how fast it cools in air, in K/s, both positive. ``heated``: it is meant to warm."""

    warms_k_s: float
    cools_k_s: float
    heated: bool = False


@dataclass(frozen=True, slots=True)
class Jump:
    """Where the vessel stood last, in °C, and how fast it went, in K/s, before its probe left the curve."""

    at_s: float
    from_c: float
    pace_k_s: float
    balance: HeatBalance

    def expected_c(self, at_s: float, digit_k: float = 0.1) -> tuple[float, float]:
        """Between which temperatures the vessel lies by now."""
        gone_s = max(at_s - self.at_s, 0.0)
        slack = PACE_SHARE * abs(self.pace_k_s) + PACE_K_S
        most = max(self.pace_k_s + slack, PACE_K_S)
        if self.balance.heated:
            # A bath that is still rising, a dial that is turned; and where nothing is known, all that a bath can do.
            most += HEATED_K_S if self.pace_k_s else self.balance.warms_k_s / 2
        least = min(self.pace_k_s - slack, -COOLS_LONG * self.balance.cools_k_s - PACE_K_S)
        base = BASE_K + 2 * digit_k
        return self.from_c + least * gone_s - base, self.from_c + most * gone_s + base


def other_unit_c(from_c: float, to_c: float) -> str:
    """ "°F" where a display that showed °C shows °F since, "°C" the other way round, "" where neither explains it."""
    if abs(from_c * 1.8 + 32.0 - to_c) <= UNIT_K:
        return "°F"
    return "°C" if abs((from_c - 32.0) / 1.8 - to_c) <= UNIT_K else ""


class ProbeCurve:
    """Hears one probe. ``jump`` is set while it is off its vessel's curve; ``settled`` tells whether it is at rest."""

    def __init__(self) -> None:
        self.digit_k = 0.1
        self.begin(None)

    def begin(self, jump: Jump | None, lay_at_c: float | None = None) -> None:
        """It was put into a vessel; ``jump`` is what is known of that vessel from before, None where nothing is;
        ``lay_at_c`` is what the probe showed when it was last known to be off its curve."""
        self.jump = jump
        self.settled = True
        self.restless_at_s = -1e9
        self._begun_s: float | None = None
        self._put_in_until_s = -1e9
        self._recent: deque[tuple[float, float]] = deque()
        self._slow: deque[tuple[float, float]] = deque()
        self._furthest: tuple[float, float] | None = None  # (kelvin from the curve, °C) while off it
        if jump is not None and lay_at_c is not None:
            self._furthest = (abs(lay_at_c - jump.from_c), lay_at_c)
        self._known = jump is not None and lay_at_c is None

    @property
    def unproved(self) -> bool:
        """Just put in, and not yet seen at the temperature the vessel is known to have."""
        return self.jump is not None and self._known

    def accept(self) -> None:
        """What it shows is right: the curve goes on from here."""
        last = list(self._recent)[-1:]
        self.begin(None)
        self._recent.extend(last)
        self._slow.extend(last)
        self._begun_s = last[0][0] - LOOK_S if last else None

    def settled_for_s(self, at_s: float) -> float:
        """Since when it is at rest."""
        since = max(self.restless_at_s, self._begun_s if self._begun_s is not None else at_s)
        return at_s - since

    def hear(
        self, at_s: float, temp_c: float, balance: HeatBalance, explained: tuple[float, float] | None = None
    ) -> None:
        """One reading in °C. Between the ``explained`` temperatures a step is a real one: something was poured in."""
        if self._begun_s is None:
            self._begun_s = at_s
            self._put_in_until_s = at_s + PUT_IN_S
        self._recent.append((at_s, temp_c))
        while len(self._recent) > 2 and at_s - self._recent[0][0] > LOOK_S:
            self._recent.popleft()
        self._rest(at_s, temp_c, balance)
        if self.jump is not None:
            self._back(at_s, temp_c)
            return
        left = self._left(at_s, temp_c, balance)
        if left is not None and self._just_put_in(at_s):
            if self.settled:  # what it showed until then was of where it had been before
                self._forget(at_s - RESTLESS_S)
        elif left is not None:
            poured = explained is not None and explained[0] <= temp_c <= explained[1]
            if poured or self._as_before(at_s, temp_c, balance):
                self.accept()
                return
            self.jump = Jump(left[0], left[1], self._pace(left[0]), balance)
            self._furthest = None
            self._back(at_s, temp_c)
            return
        if self.settled and (not self._slow or at_s - self._slow[-1][0] >= 2.0):
            self._slow.append((at_s, temp_c))
            while at_s - self._slow[0][0] > SLOPE_S + LOOK_S:
                self._slow.popleft()

    def _as_before(self, at_s: float, temp_c: float, balance: HeatBalance) -> bool:
        """Whether it only came back to where it was before a small step that was taken for the vessel's own."""
        old = next(((t, c) for t, c in reversed(self._slow) if at_s - t >= BEFORE_S), None)
        if old is None or at_s - old[0] > SLOPE_S:
            return False
        low, high = Jump(old[0], old[1], self._pace(old[0]), balance).expected_c(at_s, self.digit_k)
        return low <= temp_c <= high

    def _just_put_in(self, at_s: float) -> bool:
        return not self._slow or (at_s < self._put_in_until_s and len(self._slow) < 3)

    def _forget(self, until_s: float) -> None:
        self._slow.clear()
        while self._recent[0][0] < until_s:
            self._recent.popleft()

    def _rest(self, at_s: float, temp_c: float, balance: HeatBalance) -> None:
        most = RESTLESS_K + 1.5 * self.digit_k
        moved = max(
            (self._beyond(at_s - t, temp_c - c, balance) for t, c in self._recent if at_s - t <= RESTLESS_S),
            default=0.0,
        )
        self.settled = exact(moved) <= exact(most)
        if not self.settled:
            self.restless_at_s = at_s

    @staticmethod
    def _beyond(gone_s: float, moved_k: float, balance: HeatBalance) -> float:
        """How far it moved beyond what the vessel can, in kelvin."""
        pace = balance.warms_k_s if moved_k > 0 else COOLS_FAST * balance.cools_k_s
        return abs(moved_k) - max(pace, LEAST_PACE_K_S) * gone_s

    def _left(self, at_s: float, temp_c: float, balance: HeatBalance) -> tuple[float, float] | None:
        """The reading from which it left its vessel's curve; None while it is on it."""
        most = (STIR_HEATED_K if balance.heated else STIR_K) + 2 * self.digit_k
        off = [(self._beyond(at_s - t, temp_c - c, balance), t, c) for t, c in self._recent if t < at_s]
        worst = max(off, default=(0.0, 0.0, 0.0))
        return worst[1:] if exact(worst[0]) > exact(most) else None

    def _pace(self, until_s: float) -> float:
        """K/s over the time before, 0 where too little is known."""
        points = [(t, c) for t, c in self._slow if until_s - SLOPE_S <= t <= until_s]
        if len(points) < 3 or points[-1][0] - points[0][0] < LEAST_SLOPE_S:
            return 0.0
        middle_s = sum(t for t, _ in points) / len(points)
        spread = sum((t - middle_s) ** 2 for t, _ in points)
        return sum((t - middle_s) * c for t, c in points) / spread

    def _back(self, at_s: float, temp_c: float) -> None:
        """On the curve again? It has to come to the curve: one that lies still while the curve comes to it has not."""
        jump = self.jump
        assert jump is not None
        low, high = jump.expected_c(at_s, self.digit_k)
        off = abs(temp_c - (low + high) / 2)
        if self._furthest is None or off > self._furthest[0]:
            self._furthest = (off, temp_c)
        # Nobody watched it for so long that much may be true: then what may be true is no reason to doubt it.
        inside = low <= temp_c <= high and (self.unproved or (high - low) / 2 <= WIDEST_K)
        came = self.unproved or abs(temp_c - self._furthest[1]) >= self._furthest[0] / 2
        if inside and came and self.settled and self.settled_for_s(at_s) >= BACK_S:
            self.accept()
