"""A display in steps of half a kelvin or one: all that it tells is when it steps; and a step that is overdue tells of a change."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot, sqrt
from statistics import median_low

from benchapp.calculations.arrival import Course
from benchapp.calculations.points import LEAST_SD_K, Point

#: A display in steps of this or more is coarse, in K.
COARSE_K = 0.3
#: Steps nearer than this in time are one jump; numbers nearer than this in temperature are one; and a display that is so much of a step off what is expected says so before it steps.
AT_ONCE_S, SAME_K, OVERDUE = 1e-3, 1e-6, 0.75
#: The display shows what it showed for most of the latest seconds; after so long without the old number it has stepped.
LATEST_S, RESTS_S = 8.0, 8.0
#: It is asked no oftener, in seconds, and has to be off its course so often in a row.
ASKED_S, TIMES = 5.0, 2
#: The course is drawn through so many steps, at least and at most, leaving out the latest ones so that what changed is not in
#: it, and asked from so many seconds after the last on.
LEAST, MOST, LEFT_OUT, FROM_S = 3, 5, (0, 1, 2), 20.0
#: How much a pace slows as it nears the room: by so many times the share of the way to it that has gone, give or take
#: (one standard deviation): 1 is Newton's law, drying makes it more; and where something sets.
SLOWS, SLOWS_SD, SLOWS_SD_SETTING, NEAREST_K = 1.8, 0.5, 1.0, 5.0
#: The first seconds are no course: probe and wall still warm up.
SETTLES_S = 60.0
#: A step is at its temperature give or take this, in K; and no pace lasts better than this (relative standard deviation).
WIGGLE_K, PACE_SD = 0.03, 0.03
#: So many standard deviations, and so large a share of the display's step, is off its course.
FAR_SD, FAR_SD_SETTING, FAR_SHARE = 2.5, 3.0, 0.15

Square = tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class DisplayStep:
    """When the display stepped, in s, the temperature in the middle, and the standard deviation of the time."""

    at_s: float
    temp_c: float
    sd_s: float


@dataclass(frozen=True, slots=True)
class ShownLevel:
    """A number shown, from when, and until when."""

    shown_c: float
    from_s: float
    until_s: float


@dataclass(frozen=True, slots=True)
class Parabola:
    """Through steps: °C as a parabola of the seconds since the last of them, and the covariance of its coefficients."""

    at_s: float
    terms: tuple[float, float, float]
    covariance: Square

    def expected(self, at_s: float) -> tuple[float, float]:
        """Temperature and its standard deviation."""
        u = at_s - self.at_s
        powers = (1.0, u, u * u)
        across = [sum(q * v for q, v in zip(powers, row, strict=True)) for row in self.covariance]
        variance = sum(p * v for p, v in zip(powers, across, strict=True))
        sd = hypot(sqrt(max(variance, 0.0)), WIGGLE_K, PACE_SD * self.terms[1] * u)
        return sum(p * x for p, x in zip(powers, self.terms, strict=True)), sd


class DisplaySteps:
    """Takes readings as they come, in °C; ``way`` is -1 where it cools."""

    def __init__(self, way: float, room_c: float, sets: bool) -> None:
        self.way, self.room_c = way, room_c
        self._slows_sd, self._far_sd = (SLOWS_SD_SETTING, FAR_SD_SETTING) if sets else (SLOWS_SD, FAR_SD)
        self.forget()

    def forget(self) -> None:
        """A new course begins."""
        self._steps: list[DisplayStep] = []
        self._fresh: list[DisplayStep] = []  # that nobody was told yet
        self._latest: deque[tuple[float, float]] = deque()
        self._levels: list[ShownLevel] = []  # that may yet come back, in the order of the way
        self._courses: list[Parabola] = []
        self._asked_at_s, self._off, self._asked_after = float("-inf"), 0, True

    def hear(self, at_s: float, temp_c: float) -> None:
        """One reading."""
        self._latest.append((at_s, temp_c))
        while at_s - self._latest[0][0] > LATEST_S:
            self._latest.popleft()
        self._show(at_s, temp_c)
        while len(self._levels) > 1 and at_s - self._levels[0].until_s > RESTS_S:
            old, *others = self._levels
            first_s = min(level.from_s for level in others)
            sd_s = (abs(old.until_s - first_s) + 1.0) / 4.0
            step = DisplayStep(0.5 * (first_s + old.until_s), 0.5 * (old.shown_c + others[0].shown_c), sd_s)
            self._levels, self._asked_after = others, False
            self._steps.append(step)
            self._fresh.append(step)
        del self._steps[: -MOST - len(LEFT_OUT)]

    @property
    def known(self) -> bool:
        """Whether there is a course that may be left."""
        return bool(self._courses)

    def _show(self, at_s: float, temp_c: float) -> None:
        """Put one number in its place on the way."""
        for i, level in enumerate(self._levels):
            ahead = self.way * (temp_c - level.shown_c)
            back = i == 0 and ahead < 0.0  # further back than all: the first number has not been left yet
            if abs(ahead) < SAME_K or back:
                self._levels[i] = replace(level, until_s=at_s)
                return
            if ahead < 0.0:
                self._levels.insert(i, ShownLevel(temp_c, at_s, at_s))
                return
        self._levels.append(ShownLevel(temp_c, at_s, at_s))

    def told(self, point: Point, last: Point, pace_k_s: float, step_k: float) -> list[Point]:
        """What says something of the curve: the point; on a coarse display the steps since the ``last`` that did, and the
        point where a step is overdue at this pace, in K/s."""
        fresh, self._fresh = self._fresh, []
        if not step_k > COARSE_K or not self._steps:
            return [point]
        found = [
            Point(s.at_s, s.temp_c, hypot(LEAST_SD_K, pace_k_s * s.sd_s)) for s in fresh if s.at_s > last.at_s
        ]
        expected_c = last.temp_c + pace_k_s * (point.at_s - last.at_s)
        overdue = abs(expected_c - point.temp_c) > OVERDUE * step_k
        return found or ([point] if overdue else [])

    def left(self, at_s: float, step_k: float, begun_s: float) -> Course | None:
        """The course that was left, once that is certain; ``begun_s`` is when it began."""
        if not self._asked_after:
            steady = [step for step in self._steps if step.at_s > begun_s + SETTLES_S]
            courses = [self._through(steady[: len(steady) - n][-MOST:]) for n in LEFT_OUT]
            self._courses, self._asked_after = [c for c in courses if c is not None], True
        if not self._courses or at_s - self._asked_at_s < ASKED_S:
            return None
        self._asked_at_s = at_s
        shown_c = median_low(c for _, c in self._latest)
        off = [(self._far(course, at_s, shown_c, step_k), course) for course in self._courses]
        far, course = max(off, key=lambda pair: pair[0])
        self._off = self._off + 1 if far > self._far_sd else 0
        if self._off < TIMES:
            return None
        return Course(course.at_s, course.terms[0], course.terms[1], (0.0, 0.0, 0.0, 0.0))

    @staticmethod
    def _far(course: Parabola, at_s: float, shown_c: float, step_k: float) -> float:
        """How many standard deviations off what is shown; 0 where it is near."""
        if at_s - course.at_s < FROM_S:
            return 0.0
        expected_c, sd = course.expected(at_s)
        off_k = abs(expected_c - shown_c) - 0.5 * step_k
        return off_k / sd if off_k > FAR_SHARE * step_k else 0.0

    def _through(self, steps: Sequence[DisplayStep]) -> Parabola | None:
        """The likeliest parabola, its bend being what is usual of a curve that nears the room."""
        if len(steps) < LEAST or any(b.at_s - a.at_s < AT_ONCE_S for a, b in pairwise(steps)):
            return None
        last_s, pace = steps[-1].at_s, (steps[-1].temp_c - steps[0].temp_c) / (steps[-1].at_s - steps[0].at_s)
        over_k = max(0.5 * (steps[-1].temp_c + steps[0].temp_c) - self.room_c, NEAREST_K)
        bend, bend_sd = (0.5 * pace * pace * slows / over_k for slows in (SLOWS, self._slows_sd))
        known = []  # (how much each term counts in it, its value, its weight)
        for step in steps:
            u = step.at_s - last_s
            known.append(((1.0, u, u * u), step.temp_c, 1.0 / (WIGGLE_K**2 + (pace * step.sd_s) ** 2)))
        known.append(((0.0, 0.0, 1.0), bend, 1.0 / bend_sd**2))
        information = [[sum(w * u[i] * u[j] for u, _, w in known) for j in range(3)] for i in range(3)]
        covariance = _inverse(information)
        pull = [sum(w * u[i] * c for u, c, w in known) for i in range(3)]
        a, b, c = (sum(v * p for v, p in zip(row, pull, strict=True)) for row in covariance)
        missed = sum(w * (t - a * u[0] - b * u[1] - c * u[2]) ** 2 for u, t, w in known[:-1])
        more = max(1.0, missed / (len(steps) - 2))
        return Parabola(last_s, (a, b, c), tuple((x * more, y * more, z * more) for x, y, z in covariance))


def _inverse(matrix: Sequence[Sequence[float]]) -> Square:
    """Of a symmetric one of three by three, by cofactors, its sizes evened out first."""
    size = [sqrt(matrix[i][i]) for i in range(3)]
    m = [[matrix[i][j] / size[i] / size[j] for j in range(3)] for i in range(3)]
    turns = ((1, 2), (2, 0), (0, 1))
    co = [[m[i][k] * m[j][n] - m[i][n] * m[j][k] for k, n in turns] for i, j in turns]
    whole = sum(m[0][j] * co[0][j] for j in range(3))
    a, b, c = ((co[0][i], co[1][i], co[2][i]) for i in range(3))
    rows = [[v / whole / size[i] / size[j] for j, v in enumerate(row)] for i, row in enumerate((a, b, c))]
    return tuple((row[0], row[1], row[2]) for row in rows)
