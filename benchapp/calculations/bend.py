"""Has a curve of cooling bent, as under a lid that was put on? Its last minutes held against a smooth curve without a bend."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from functools import lru_cache
from math import inf, sqrt
from operator import mul

from benchapp.calculations.arrival import Course

#: Readings are averaged over so many seconds; so many means are looked at.
BIN_S, STRETCH = 5.0, 108
#: How many means ago it may have bent; before that a smooth curve has to be seen for so many.
AGES, SMOOTH = (6, 9, 12, 18, 24), 24
#: What stays over so many means is no noise: a curve that is not quite a parabola, stirring now and then.
BLOCK = 6
#: So many standard deviations, so far off by now in K, and so large a share of the pace is a bend, twice in a row; each
#: one has to be plainer than the one before, since what bends again and again is stirred now and then. A lid keeps in about
#: so large a share of what a vessel loses, or more; setting bends a curve by less, and what seems to turn one round is no lid.
FAR_SD, FAR_K, FAR_SHARE, TURNS_SHARE = 4.0, 0.1, 0.3, 1.0
#: A mean is never better known than this, in K, nor than this share of the display's step.
LEAST_SD_K, STEP_SHARE = 0.02, 0.1
#: Means further apart than this are not of one curve, in seconds.
GAP_S = 30.0

Curve = tuple[float, ...]


class Bend:
    """Takes readings as they come, in °C."""

    def __init__(self) -> None:
        self._means: deque[tuple[float, float]] = deque(maxlen=STRETCH)
        self._open: list[tuple[float, float]] = []
        self._closed_at_s = float("-inf")
        self._bent_before, self._times = False, 0

    def forget(self) -> None:
        """A new course begins."""
        self._means.clear()
        self._open.clear()
        self._bent_before = False

    def hear(self, at_s: float, temp_c: float, step_k: float) -> Course | None:
        """One reading, and the step of the display; the course that was left, once that is certain."""
        self._open.append((at_s, temp_c))
        if at_s - self._closed_at_s < BIN_S:
            return None
        self._closed_at_s, n = at_s, len(self._open)
        when, temp = sum(t for t, _ in self._open) / n, sum(c for _, c in self._open) / n
        self._open.clear()
        if self._means and when - self._means[-1][0] > GAP_S:
            self.forget()
        self._means.append((when, temp))
        left = self._left(step_k) if len(self._means) >= SMOOTH + AGES[0] else None
        certain, self._bent_before = left is not None and self._bent_before, left is not None
        self._times += certain
        return left if certain else None

    def _left(self, step_k: float) -> Course | None:
        n = len(self._means)
        apart_s = (self._means[-1][0] - self._means[0][0]) / (n - 1)
        rest = _without(_smooth(n), tuple(c for _, c in self._means))
        enough = FAR_SD * (1 + self._times)
        for far, age, bend_k in sorted(self._bends(rest, step_k), reverse=True):
            left = self._before(n - age)
            was_k = left.rate_k_s * apart_s
            slows = bend_k * was_k < 0.0
            large = FAR_SHARE < abs(bend_k) / max(abs(was_k), 1e-9) < (TURNS_SHARE if slows else inf)
            if far >= enough and large and abs(bend_k) * age >= FAR_K:
                return left
        return None

    def _bends(self, rest: Curve, step_k: float) -> list[tuple[float, int, float]]:
        """(standard deviations, means ago, K for each mean since) of every bend there may have been."""
        found: list[tuple[float, int, float]] = []
        for age in AGES:
            if len(rest) < age + SMOOTH:
                break
            ramp, size = _ramp(len(rest), age)
            bend_k = _dot(ramp, rest) / size
            still = [v - bend_k * r for r, v in zip(ramp, rest, strict=True)]
            found.append((abs(bend_k) * sqrt(size) / _scatter_k(still, step_k), age, bend_k))
        return found

    def _before(self, bent: int) -> Course:
        """The course of the minutes before it bent."""
        points = list(self._means)[bent - SMOOTH : bent]
        n, (bent_s, _) = len(points), points[-1]
        t0, c0 = sum(t for t, _ in points) / n, sum(c for _, c in points) / n
        rate = sum((t - t0) * (c - c0) for t, c in points) / sum((t - t0) ** 2 for t, _ in points)
        return Course(bent_s, c0 + rate * (bent_s - t0), rate, (0.0, 0.0, 0.0, 0.0))


@lru_cache(maxsize=STRETCH)
def _smooth(n: int) -> tuple[Curve, ...]:
    """Parabolas over so many means, as three curves of length 1 at right angles to each other."""
    basis: tuple[Curve, ...] = ()
    for power in range(3):
        left = _without(basis, tuple((i / n) ** power for i in range(n)))
        size = sqrt(_dot(left, left))
        basis += (tuple(v / size for v in left),)
    return basis


@lru_cache(maxsize=STRETCH * len(AGES))
def _ramp(n: int, age: int) -> tuple[Curve, float]:
    """What no parabola explains of a bend so many means ago, and its length squared."""
    ramp = _without(_smooth(n), tuple(float(max(0, i - (n - 1 - age))) for i in range(n)))
    return ramp, _dot(ramp, ramp)


def _without(basis: Sequence[Curve], values: Curve) -> Curve:
    for curve in basis:
        share = _dot(curve, values)
        values = tuple([v - share * c for v, c in zip(values, curve, strict=True)])
    return values


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    whole: float = sum(map(mul, a, b))
    return whole


def _scatter_k(rest: Sequence[float], step_k: float) -> float:
    """Standard deviation of a mean as it counts for a bend: of single ones or, times their number, of blocks of them."""
    alone = _dot(rest, rest) / max(1, len(rest) - 4)
    blocks = [sum(rest[i : i + BLOCK]) / BLOCK for i in range(len(rest) % BLOCK, len(rest), BLOCK)]
    together = _dot(blocks, blocks) / (len(blocks) - 4) * BLOCK if len(blocks) > 6 else 0.0
    return sqrt(max(alone, together) + LEAST_SD_K**2 + (STEP_SHARE * step_k) ** 2)
