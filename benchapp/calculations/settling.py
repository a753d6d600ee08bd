"""Is the scale still, and where does it stand? A filter over raw grams, beside the fold.

The rule is our own, tried on simulated pours (``tests/benchmarks/bench_settling.py``); nothing published covers it.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from math import inf
from statistics import fmean

from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact

#: The shortest and the longest stretch over which a flow is taken, and the rise that makes it short.
FLOW_S, FLOW_DIVISIONS = (0.2, 0.5), 10.0
#: Readings older than this say nothing about now.
WINDOW_S = 2.5
#: A hand that takes hold of a vessel presses on it for no longer than that, in seconds (common practice, no source).
GRASP_S = 1.0
#: How long the display has to agree with itself within one division after it came to rest quickly.
QUIET_S = 0.5
#: How long where it crept into its rest, or where the scale itself says that it moves.
CREPT_S = 0.75
#: How long where its digits are restless and agree within two divisions only.
RESTLESS_S = 1.0
#: Divisions by which the newest three readings may differ from the others: more is a trend, not a rest.
TREND_DIVISIONS = 0.6
#: Restless digits that trend faster than this, in divisions a second, are still being fed.
TREND_DIVISIONS_S = 0.6
#: A reading so many divisions off the level is a new movement.
JUMP_DIVISIONS = 1.6
#: A level this far from where it stood a few seconds ago is being fed; drift is slower.
CREEP_DIVISIONS, CREEP_S = 1.1, 10.0
#: How quickly the level follows the digits, in seconds.
LEVEL_S = 0.07
LEAST_GAP_S = 0.02
#: Not at rest for so long though it stays within so many divisions and goes nowhere: air moves on the pan.
#: What rested for longer than that had come to rest before.
RESTS_S = 3.0
SWAYS_S, SWAYS_DIVISIONS, TO_AND_FRO_DIVISIONS = 4.0, 12.0, 1.6


#: While it has rested for less than that, its latest readings may lie so many divisions below or above those before, by
#: their means: what falls was never poured, and a thread may rise. After a fall it may rise by no more than it may fall.
LATEST_S, FALLS_DIVISIONS, RISES_DIVISIONS = 0.5, 0.5, 0.75
#: So many readings at least make a mean; a slower scale is not asked.
FEWEST = 5
#: What has fallen by more divisions than this since it came near its rest was moved by air. For so long after it rose as
#: far as well, a rest may be a lull, and counts from so many seconds later on.
BLOWN_DIVISIONS, GUST_DIVISIONS, AIR_S, LULL_S = 1.3, 2.5, 10.0, 1.0
#: A mean of what sways is taken over so long; its later half lies off the earlier by no more than this share of its way.
SWING_S, SWING_SHARE = 6.0, 0.25


@dataclass(frozen=True, slots=True)
class Swing:
    """Where a scale that sways stands on average, how far it went from end to end (grams), and for how many seconds
    that may have been said. The mean is off by more than that way once in a hundred times (simulated, docs/sums_weighing.md)."""

    mean_g: float
    way_g: float
    told_s: float


@dataclass
class _About:
    """Since when readings stay near each other, between which two, and how far they rose and fell."""

    since_s: float
    low_g: float
    high_g: float
    rose_g: float = 0.0
    fell_g: float = 0.0
    lately: deque[tuple[float, float]] = field(default_factory=deque)

    def take(self, at_s: float, value_g: float) -> None:
        self.lately.append((at_s, value_g))
        while self.lately[0][0] < at_s - SWING_S:
            self.lately.popleft()
        self.low_g, self.high_g = min(self.low_g, value_g), max(self.high_g, value_g)
        self.rose_g = max(self.rose_g, value_g - self.low_g)
        self.fell_g = max(self.fell_g, self.high_g - value_g)


#: A trend inside the quiet is carried on for so long, by so many divisions at most, to where it will rest.
AHEAD_S, AHEAD_DIVISIONS = 0.1, 0.25


class Stillness:
    """Judges one scale's stream. ``division_g`` is the step of its display in grams.

    Still means: the display has stayed within one division, without a trend, for ``QUIET_S`` (``CREPT_S``
    where it crept there), or within two for ``RESTLESS_S``. Once still, it stays so until a reading jumps or
    the level wanders faster than drift. Raises ValueError for a division that is not above zero.
    """

    def __init__(self, division_g: float) -> None:
        if not division_g > 0:
            raise ValueError(
                tr(
                    "the scale's division is {division_g} g; it has to be more than 0 g",
                    division_g=division_g,
                )
            )
        self.division_g = division_g
        self._window: deque[tuple[float, float]] = deque()
        self.latest_g: float | None = None
        self.latest_at_s: float = 0.0
        self.still = False
        self.still_since_s = 0.0
        #: Where the display stands, in grams: the level its digits dance about.
        self.rest_g = 0.0
        self._anchor_g = 0.0
        self._about: _About | None = None
        self._blown_s = -inf  # when air was last seen to move it

    def push(self, at_s: float, value_g: float, stable: bool | None) -> None:
        """Take one reading in grams; ``stable`` is the scale's own word, None where it has none."""
        # Readings delivered together carry one time; each still counts for something.
        before_g, gap_s = self.latest_g, max(at_s - self.latest_at_s, LEAST_GAP_S)
        self.latest_g, self.latest_at_s = value_g, at_s
        self._stay(at_s, value_g)
        window = self._window
        window.append((at_s, value_g))
        while window[0][0] < at_s - WINDOW_S:
            window.popleft()
        moved = len(window) < 2 or before_g is None or abs(value_g - before_g) > 2.01 * self.division_g
        if moved:
            self.still, self.rest_g = False, value_g
            return
        level = self.rest_g = self.rest_g + (value_g - self.rest_g) * gap_s / (gap_s + LEVEL_S)
        if self.still:
            self._anchor_g += (level - self._anchor_g) * gap_s / (gap_s + CREEP_S)
            self.still = (
                abs(value_g - level) <= JUMP_DIVISIONS * self.division_g
                and abs(level - self._anchor_g) <= CREEP_DIVISIONS * self.division_g
                and not self._wanders(at_s)
            )
        else:
            self._settle(at_s, stable)

    @property
    def flow_g_s(self) -> float:
        """Grams a second just now; 0 where there is too little to tell.

        Over the shortest stretch of ``FLOW_S`` in which the display rose by ``FLOW_DIVISIONS``: a quick stream is
        seen at once, a slow one not through the roundings of two readings.
        """
        last_at, last = self._window[-1] if self._window else (0.0, 0.0)
        least_s, most_s = FLOW_S
        for when, value in reversed(self._window):
            gone_s = exact(last_at - when)
            told = gone_s >= least_s and abs(last - value) >= FLOW_DIVISIONS * self.division_g
            if told or gone_s >= most_s:
                return (last - value) / gone_s
        return 0.0

    @property
    def sways(self) -> bool:
        """Whether it does not come to rest though nothing is poured: it goes to and fro within a few divisions."""
        about = self._about
        if self.still or about is None or self.latest_at_s - about.since_s < SWAYS_S:
            return False
        return min(about.rose_g, about.fell_g) > TO_AND_FRO_DIVISIONS * self.division_g

    @property
    def rested_s(self) -> float:
        """For how long it has rested, in seconds; where air moved it lately, for how long that was no mere lull. 0 while it
        moves."""
        if not self.still:
            return 0.0
        lull_s = LULL_S if self.still_since_s - self._blown_s < AIR_S else 0.0
        return max(exact(self.latest_at_s - self.still_since_s - lull_s), 0.0)

    @property
    def swing(self) -> Swing | None:
        """Where it stands on average while it sways; None where it does not, or not for long enough, or goes somewhere."""
        if self._about is None or not self.sways:
            return None
        told_s = self.latest_at_s - self._about.since_s - SWING_S
        values = [value for _, value in self._about.lately]
        half = len(values) // 2
        if told_s < 0 or half < FEWEST:
            return None
        way_g = max(values) - min(values)
        if abs(fmean(values[half:]) - fmean(values[:half])) > SWING_SHARE * way_g:
            return None
        return Swing(fmean(values), exact(way_g), exact(told_s))

    def _stay(self, at_s: float, value_g: float) -> None:
        about = self._about
        rests = self.still and at_s - self.still_since_s > RESTS_S
        if about is not None and not rests:
            about.take(at_s, value_g)
            if min(about.rose_g, about.fell_g) > GUST_DIVISIONS * self.division_g:
                self._blown_s = at_s
            if about.high_g - about.low_g <= SWAYS_DIVISIONS * self.division_g:
                return
        self._about = _About(at_s, value_g, value_g)

    def highest_g(self) -> tuple[float, float]:
        """The most the display showed within ``WINDOW_S``, after what had surely been brought onto it by then: what stood
        there ``GRASP_S`` earlier, and a flow as it was going on. In grams; 0 where nothing was read."""
        if not self._window:
            return 0.0, 0.0
        when, most = max(self._window, key=lambda reading: (reading[1], reading[0]))
        before = [reading for reading in self._window if reading[0] <= when - GRASP_S]
        if not before:
            return min(value for at_s, value in self._window if at_s <= when), most
        (first_s, first), (last_s, last) = before[0], before[-1]
        flow_g_s = max((last - first) / (last_s - first_s), 0.0) if last_s > first_s else 0.0
        return min(last + flow_g_s * (when - last_s), most), most

    def forget(self) -> None:
        """Start anew: nothing read before counts (a fault, a restart, another vessel)."""
        self._window.clear()
        self.still = False
        self.latest_g = self._about = None
        self._blown_s = -inf

    def _settle(self, at_s: float, stable: bool | None) -> None:
        """Become still if the newest readings are quiet for long enough."""
        fewest = 2 if stable else 3
        run, narrow = self._quiet(fewest)
        if narrow < fewest:
            return
        narrow_s, run_s = at_s - run[narrow - 1][0], at_s - run[-1][0]
        crept = len(run) > narrow and not stable
        enough_s = CREPT_S if crept or stable is False else QUIET_S
        settled = exact(narrow_s) >= enough_s and not self._trends(run[:narrow])
        if not settled and exact(run_s) >= RESTLESS_S:
            slow = abs(_slope(run)) <= TREND_DIVISIONS_S * self.division_g
            settled = slow and not self._trends(run)
        if settled:
            most = AHEAD_DIVISIONS * self.division_g
            self.rest_g += min(max(AHEAD_S * _slope(run), -most), most)
            self.still, self.still_since_s, self._anchor_g = True, at_s, self.rest_g

    def _wanders(self, at_s: float) -> bool:
        """Whether what has just come to rest goes on moving, slowly: air presses on the pan, or a thread runs."""
        if at_s - self.still_since_s > RESTS_S:
            return False
        rest = [value for when, value in self._window if when >= self.still_since_s]
        latest = sum(exact(at_s - when) < LATEST_S for when, _ in self._window)
        before, after = rest[: -max(latest, FEWEST)], rest[-max(latest, FEWEST) :]
        if len(before) < FEWEST:
            return False
        rose = (fmean(after) - fmean(before)) / self.division_g
        blown = self._about is not None and self._about.fell_g > BLOWN_DIVISIONS * self.division_g
        return rose < -FALLS_DIVISIONS or rose > (FALLS_DIVISIONS if blown else RISES_DIVISIONS)

    def _quiet(self, fewest: int) -> tuple[list[tuple[float, float]], int]:
        """The newest readings within two divisions, newest first, and how many of them are within one."""
        run: list[tuple[float, float]] = []
        narrow = 0
        newest_s, low = self._window[-1]
        high = low
        for when, value in reversed(self._window):
            low, high = min(low, value), max(high, value)
            if high - low > 2.01 * self.division_g:
                break
            run.append((when, value))
            if high - low <= 1.01 * self.division_g:
                narrow = len(run)
            if len(run) >= fewest and exact(newest_s - when) >= RESTLESS_S:
                break
        return run, narrow

    def _trends(self, run: Sequence[tuple[float, float]]) -> bool:
        older = run[3:] or run
        gone = fmean(value for _, value in run[:3]) - fmean(value for _, value in older)
        return abs(gone) > TREND_DIVISIONS * self.division_g


def _slope(run: Sequence[tuple[float, float]]) -> float:
    """Least-squares slope of (s, g) pairs in g/s; 0 where the times do not differ."""
    mid_s, mid_g = fmean(t for t, _ in run), fmean(g for _, g in run)
    spread = sum((t - mid_s) ** 2 for t, _ in run)
    return sum((t - mid_s) * (g - mid_g) for t, g in run) / spread if spread > 0 else 0.0
