"""Readings of one probe made into points of a curve: wild readings and a lifted probe kept out, noise measured."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from statistics import median
from typing import Literal

#: Readings are averaged over so many seconds, and over more once a wait is long under way.
BIN_S, LONG_BIN_S = 15.0, 30.0
#: A point is never better known than this, in K: water that is not at one temperature (no source).
LEAST_SD_K = 0.03
#: Before noise has been measured.
FIRST_SD_K = 0.1
#: Of the step of the display: what a mean of equal readings may be off, and of unequal ones (one sd).
EQUAL_SHARE, UNEQUAL_SHARE = 0.29, 0.1
#: Strange readings in a row over this time are a lifted probe or a change.
LIFTED_S = 8.0
#: A probe in air goes towards it by at least this share of the difference in a second; a batch, iced even, by less.
#: After so long in air it has done most of that way; once back it rests this long before it is believed (no source).
FALL_SHARE_S, FALLEN_S, REST_S = 0.012, 60.0, 30.0
#: Nearer to the air than this, nothing tells a probe in air from one in the batch, in K.
NEAR_AIR_K = 6.0

Verdict = Literal["used", "strange", "lifted", "left"]


@dataclass(frozen=True, slots=True)
class Point:
    """Mean time and temperature of a few readings, and its standard deviation."""

    at_s: float
    temp_c: float
    sd_k: float


class Points:
    """The curve so far, and the point that is being gathered."""

    def __init__(self) -> None:
        self.all: list[Point] = []
        self.bin_s = BIN_S
        self._open: list[tuple[float, float]] = []
        self._closed_at_s = float("-inf")
        self._bends: list[float] = []  # how far each point lay off the line through its neighbours, as one sd
        self._step_k = 0.0  # of the display, as far as it was seen
        self._last_c: float | None = None

    def add(self, at_s: float, temp_c: float) -> Point | None:
        """One good reading; returns a point when one is complete."""
        if self._last_c is not None and (step := abs(temp_c - self._last_c)) > 1e-3:
            self._step_k = min(self._step_k or step, step)
        self._last_c = temp_c
        self._open.append((at_s, temp_c))
        if at_s - self._closed_at_s < self.bin_s:
            return None
        self._closed_at_s = at_s
        n = len(self._open)
        when = sum(t for t, _ in self._open) / n
        temp = sum(c for _, c in self._open) / n
        equal = max(c for _, c in self._open) - min(c for _, c in self._open) < 0.5 * self._step_k
        self._open.clear()
        self._bend(when, temp)
        point = Point(when, temp, self._sd_k(EQUAL_SHARE if equal else UNEQUAL_SHARE))
        self.all.append(point)
        return point

    def _bend(self, at_s: float, temp_c: float) -> None:
        if len(self.all) < 2:
            return
        a, b = self.all[-2], self.all[-1]
        share = (b.at_s - a.at_s) / (at_s - a.at_s)
        off = b.temp_c - a.temp_c - share * (temp_c - a.temp_c)
        self._bends.append(abs(off) / (1.0 + share**2 + (1.0 - share) ** 2) ** 0.5)
        del self._bends[:-40]

    def _sd_k(self, share: float) -> float:
        """From the median bend (0.6745 sd), which sees noise and hardly the curve, and from the display's step."""
        noise = median(self._bends) / 0.6745 if len(self._bends) >= 4 else FIRST_SD_K
        return hypot(LEAST_SD_K, noise, share * self._step_k)

    @property
    def step_k(self) -> float:
        """The step of the display, as far as it was seen."""
        return self._step_k

    def forget_open(self) -> None:
        """Drop the point being gathered."""
        self._open.clear()

    def keep_only_last(self) -> None:
        """Drop all points but the last."""
        del self.all[:-1]
        self._bends.clear()

    @property
    def apart_s(self) -> float:
        """Seconds between the last two points; 0 before there are two."""
        return self.all[-1].at_s - self.all[-2].at_s if len(self.all) > 1 else 0.0

    def since(self, at_s: float, at_least: int) -> list[Point]:
        """The points at or after a time, more where that leaves too few."""
        n = sum(p.at_s >= at_s for p in self.all[-40:])
        return self.all[-max(n, at_least) :]


def slope_of(points: list[Point]) -> tuple[float, float] | None:
    """K/s by least squares, and its standard deviation; None of fewer than three points."""
    if len(points) < 3:
        return None
    n = len(points)
    t0, c0 = sum(p.at_s for p in points) / n, sum(p.temp_c for p in points) / n
    spread = sum((p.at_s - t0) ** 2 for p in points)
    slope = sum((p.at_s - t0) * (p.temp_c - c0) for p in points) / spread
    return slope, max(p.sd_k for p in points) / spread**0.5


class Screen:
    """Judges each reading against what is expected: wild ones, a lifted probe, and readings that left for good."""

    def __init__(self, ambient_c: float) -> None:
        self.ambient_c = ambient_c
        self.at_s = float("-inf")
        self._suspects: list[tuple[float, float]] = []
        self._lifted_at_s: float | None = None
        self._back_at_s: float | None = None

    def forget(self) -> None:
        """What was strange is not so any more."""
        self._suspects.clear()
        self._lifted_at_s = self._back_at_s = None

    def judge(self, at_s: float, temp_c: float, expected: tuple[float, float] | None) -> Verdict:
        """``expected`` is a temperature and how far off is still believed; None while nothing is known."""
        self.at_s = at_s
        if expected is None:
            return "used"
        centre, margin = expected
        off = abs(temp_c - centre)
        if off <= margin:
            if self._lifted_at_s is not None:
                return self._back(at_s)
            self._suspects.clear()
            return "used"
        self._back_at_s = None
        self._suspects.append((at_s, temp_c))
        del self._suspects[:-30]
        if self._lifted_at_s is not None:
            return self._stays_out(at_s, temp_c, self._lifted_at_s)
        first_s, _ = self._suspects[0]
        if at_s - first_s < LIFTED_S or len(self._suspects) < 3:
            return "strange"
        if self._falls(centre):
            self._lifted_at_s = first_s
            return "lifted"
        return "left"

    def _falls(self, centre_c: float) -> bool:
        """Whether it goes towards the air as fast as a probe in air does."""
        (t0, c0), (t1, c1) = self._suspects[0], self._suspects[-1]
        way = c0 - self.ambient_c
        gone = (c0 - c1) / way if abs(way) > 1.0 else 0.0
        nearer = abs(c1 - self.ambient_c) < abs(centre_c - self.ambient_c)
        return nearer and (gone > FALL_SHARE_S * (t1 - t0) or abs(c1 - self.ambient_c) < NEAR_AIR_K)

    def _stays_out(self, at_s: float, temp_c: float, since_s: float) -> Verdict:
        """By and by a probe in air is as warm as the air; what stays warm and moves slowly is the batch."""
        (t0, c0), far = self._suspects[0], abs(temp_c - self.ambient_c)
        if at_s - since_s > FALLEN_S and far > NEAR_AIR_K and len(self._suspects) >= 3:
            moved = abs(temp_c - c0) / far / max(at_s - t0, 1.0)
            if moved < 0.5 * FALL_SHARE_S:
                return "left"
        return "lifted"

    def _back(self, at_s: float) -> Verdict:
        """The probe is back; it is believed again when it has had time to come to rest."""
        if self._back_at_s is None:
            self._back_at_s = at_s
        if at_s - self._back_at_s < REST_S:
            return "strange"
        self.forget()
        return "used"
