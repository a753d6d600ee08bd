"""Has a batch left the course that was foretold for it? Readings held against what was expected of them a while ago."""

from __future__ import annotations

from collections import deque
from math import hypot, sqrt

from benchapp.calculations.arrival import Course

#: The readings of the latest seconds are taken together, the extremes left out.
LATEST_S = 8.0
#: It is asked no oftener, in seconds.
ASKED_S = 0.9
#: Courses of this age are asked, in seconds, and none that is older.
YOUNGEST_S, OLDEST_S = 20.0, 150.0
#: So many standard deviations off the course (more where a bend is looked for as well, which finds what is less plain),
#: and so many of a single reading's noise, is off it.
FAR_SD, FAR_SD_BESIDE, FAR_NOISES = 4.0, 6.0, 2.0
#: Going back by so much more than noise, in K, is off every course.
BACK_K = 0.3
#: And it has to be off it for so long, in seconds and in readings.
FOR_S, FOR_READINGS = 5.0, 3


class Departure:
    """Takes courses as they are foretold and readings as they come."""

    def __init__(self, far_sd: float = FAR_SD) -> None:
        self._far_sd = far_sd
        self._courses: deque[Course] = deque()
        self._latest: deque[tuple[float, float]] = deque()
        self._off: list[float] = []  # when it was off, in a row
        self._noise_k, self._asked_at_s = 0.0, float("-inf")

    def foretell(self, course: Course, point_sd_k: float) -> None:
        """A course from now on, and how well a point is known."""
        self._courses.append(course)
        self._noise_k = point_sd_k
        while course.at_s - self._courses[0].at_s > OLDEST_S:
            self._courses.popleft()

    @property
    def fastest(self) -> Course | None:
        """The quickest course of the last minutes."""
        return max(self._courses, key=lambda c: abs(c.rate_k_s), default=None)

    def forget(self) -> None:
        """All of it: a new course begins."""
        self._courses.clear()
        self._latest.clear()
        self._off.clear()

    def hear(self, at_s: float, temp_c: float, only_back: bool = False) -> Course | None:
        """One reading; the course it left, once that is certain. ``only_back``: any pace will do, so long as it is forward."""
        self._latest.append((at_s, temp_c))
        if at_s - self._asked_at_s < ASKED_S:
            return None
        self._asked_at_s = at_s
        while len(self._latest) > 3 and at_s - self._latest[0][0] > LATEST_S:
            self._latest.popleft()
        found = self._off_course(only_back)
        if found is None:
            self._off.clear()
            return None
        self._off.append(at_s)
        if len(self._off) < FOR_READINGS or at_s - self._off[0] < FOR_S:
            return None
        return found

    def _off_course(self, only_back: bool) -> Course | None:
        n = len(self._latest)
        if n < 3 or not self._courses:
            return None
        when = sum(t for t, _ in self._latest) / n
        inner = sorted(c for _, c in self._latest)[1:-1]
        temp = sum(inner) / len(inner)
        noise = self._noise_k * sqrt(max(1.0, 8.0 / n))
        for course in reversed(self._courses):
            if when - course.at_s < YOUNGEST_S:
                continue
            expected, sd = course.expected(when)
            way = 1.0 if course.rate_k_s > 0.0 else -1.0
            back = way * (course.temp_c - temp) > self._far_sd * hypot(course.sd_k, noise) + BACK_K
            gap = abs(temp - expected)
            off = gap > self._far_sd * hypot(sd, noise) and gap > FAR_NOISES * self._noise_k + 0.1
            if back or (off and not only_back):
                return course
        return None
