"""Readings of one probe made into points of a curve: outliers and a lifted probe kept out, noise measured."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from math import hypot
from statistics import median
from typing import Literal

from benchapp.calculations.fit import Shape

#: Readings are averaged over so many seconds.
BIN_S = 15.0
#: A point is never better known than this, in K: resolution, and water that is not at one temperature (no source).
LEAST_SD_K = 0.03
#: Before noise has been measured.
FIRST_SD_K = 0.1
#: Strange readings in a row over this time are a lifted probe, over this worth a word, over this a new level.
LIFTED_S, ASTRAY_S, LEVEL_S, FAR_LEVEL_S = 8.0, 30.0, 90.0, 300.0
#: A probe in air changes at least this fast; once back it rests this long before it is believed (no source).
FALL_K_S, REST_S = 0.15, 30.0
#: A fall or rise this far towards the air needs the longer time to be believed.
FAR_K = 8.0

Verdict = Literal["used", "strange", "astray", "lifted", "stepped"]


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
        self._open: list[tuple[float, float]] = []
        self._closed_at_s = float("-inf")
        self._bends: list[float] = []  # how far each point lay off the line through its neighbours, as one sd

    def add(self, at_s: float, temp_c: float) -> Point | None:
        """One good reading; returns a point when one is complete."""
        self._open.append((at_s, temp_c))
        if at_s - self._closed_at_s < BIN_S:
            return None
        self._closed_at_s = at_s
        n = len(self._open)
        when = sum(t for t, _ in self._open) / n
        temp = sum(c for _, c in self._open) / n
        self._open.clear()
        self._bend(when, temp)
        point = Point(when, temp, self._sd_k())
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

    def _sd_k(self) -> float:
        """From the median bend (0.6745 sd); second differences see noise and hardly the curve."""
        if len(self._bends) < 4:
            return FIRST_SD_K
        return hypot(LEAST_SD_K, median(self._bends) / 0.6745)

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

    def since(self, at_s: float, at_least: int) -> int:
        """Index of the first point at or after a time, further back where that leaves too few."""
        return max(0, min(bisect_left(self.all, at_s, key=lambda p: p.at_s), len(self.all) - at_least))

    def pace(self, start: int, end: int, shape: Shape) -> tuple[float, float] | None:
        """Slope of progress over time by least squares, and its standard deviation; None off the table."""
        seen = [
            (p.at_s, h[0], h[1] * p.sd_k) for p in self.all[start:end] if (h := shape.progress_s(p.temp_c))
        ]
        if len(seen) < 3:
            return None
        n = len(seen)
        t0, y0 = sum(t for t, _, _ in seen) / n, sum(y for _, y, _ in seen) / n
        spread = sum((t - t0) ** 2 for t, _, _ in seen)
        slope = sum((t - t0) * (y - y0) for t, y, _ in seen) / spread
        return slope, max(sd for _, _, sd in seen) / spread**0.5


class Screen:
    """Judges each reading against what is expected; remembers the strange ones until it knows what they are."""

    def __init__(self, ambient_c: float) -> None:
        self.ambient_c = ambient_c
        self.at_s = float("-inf")
        self._suspects: list[tuple[float, float]] = []
        self._lifted = False
        self._back_at_s: float | None = None

    def judge(self, at_s: float, temp_c: float, expected: tuple[float, float] | None) -> Verdict:
        """``expected`` is a temperature and how far off is still believed; None while nothing is known."""
        self.at_s = at_s
        if expected is None:
            return "used"
        centre, margin = expected
        off = abs(temp_c - centre)
        if off <= margin and not self._lifted:
            self._suspects.clear()
            return "used"
        if self._lifted and off <= margin:
            return self._back(at_s)
        self._back_at_s = None
        self._suspects.append((at_s, temp_c))
        span = at_s - self._suspects[0][0]
        nearer = abs(temp_c - self.ambient_c) < abs(centre - self.ambient_c)
        if self._settled(span, nearer and off > FAR_K, temp_c):
            return "stepped"
        if span >= LIFTED_S and nearer and off > margin + FALL_K_S * span:
            self._lifted = True
        if self._lifted:
            return "lifted"
        return "astray" if span >= ASTRAY_S else "strange"

    def _back(self, at_s: float) -> Verdict:
        """The probe is back; it is believed again when it has had time to come to rest."""
        if self._back_at_s is None:
            self._back_at_s = at_s
        if at_s - self._back_at_s < REST_S:
            return "strange"
        self._back_at_s = None
        self._suspects.clear()
        self._lifted = False
        return "used"

    def _settled(self, span_s: float, far: bool, temp_c: float) -> bool:
        """A new level: steady for long enough, and not that of the air."""
        needed = FAR_LEVEL_S if far else LEVEL_S
        recent = [c for t, c in self._suspects if t >= self.at_s - needed / 2.0]
        if span_s < needed or len(recent) < 3 or abs(temp_c - self.ambient_c) < 3.0:
            return False
        return max(recent) - min(recent) < 4.0

    def take_suspects(self) -> list[tuple[float, float]]:
        """The recent strange readings, now believed."""
        recent = [(t, c) for t, c in self._suspects if t >= self.at_s - LEVEL_S / 2.0]
        self._suspects.clear()
        self._lifted = False
        return recent
