"""When a cooling or warming batch will reach its target: readings in, an interval out, and what was noticed."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, inf, isfinite, log
from typing import Literal

from benchapp.calculations.curves import ROOM_C, cooling_shapes, warming_shapes
from benchapp.calculations.fan import fan_of
from benchapp.calculations.fit import IN_AIR, IN_BATH, Ensemble, Shape, Uneven
from benchapp.calculations.heat_loss import VesselPrior
from benchapp.calculations.points import Point, Points, Screen

CHANGED = "stirred or lid changed"
LIFTED = "probe lifted"
PLATEAU = "plateau: something is melting or setting"
BATH_CHANGED = "stirred, or the bath changed"
WRONG_WAY = "it is going the other way"
STEPPED = "the temperature stepped"
NEVER = "it will not get there"

#: What no reading so far can tell of the way still to come, as a relative standard deviation: on the bench, on a
#: hot plate that switches itself, in a bath somebody tops up and turns (no source; common practice).
DOUBT, DOUBT_PLATE, DOUBT_BATH = 0.01, 0.06, 0.18
#: A rate is compared over the latest seconds with the seconds before them.
LATEST_S, BEFORE_S = 75.0, 300.0
#: This natural logarithm of the ratio of two rates is a change (a factor of 1.28), if it is also significant.
CHANGE = 0.25
#: In a bath stirring alone changes the pace by a third or more, so there it takes a factor of 1.5.
CHANGE_IN_BATH = 0.4
#: Slower than this share of what it was is a plateau; faster than that, it is over.
PLATEAU_SHARE, RESUMED_SHARE = 0.3, 0.5
#: After so long a plateau it counts as the new pace, if it moves at all.
SLOW_IS_NORMAL_S = 600.0
NOTE_S = 120.0
#: Nothing is said before it has moved this far, for this long, nor while the interval is wider than this factor.
MOVED_K, WATCHED_S, WIDEST = {"cool": 0.3, "heat": 1.5}, 30.0, 6.0
#: A batch on a bench that takes longer than this takes for ever (no source).
LONGEST_S = 6.0 * 3600.0
#: Readings outside this are a probe's fault, not a batch.
COLDEST_C, HOTTEST_C = -30.0, 160.0
#: Nor when no reading could be used for so long.
BLIND_S = 180.0


@dataclass(frozen=True, slots=True)
class ArrivalForecast:
    """Seconds from now to the target: the middle, and the interval that holds it four times in five.

    ``late_s`` is ``inf`` where it may well never get there. ``note`` names what was noticed, or is empty.
    """

    middle_s: float
    early_s: float
    late_s: float
    note: str = ""


class Forecaster:
    """Watches one probe in one vessel on its way to ``target_c``.

    ``ambient_c`` is the measured air temperature, None where nobody measured it. Readings in °C come through
    ``push`` in order of time; those not newer than the last are left out.
    """

    def __init__(
        self,
        kind: Literal["cool", "heat"],
        target_c: float,
        prior: VesselPrior,
        ambient_c: float | None = None,
    ) -> None:
        if kind not in ("cool", "heat"):
            raise ValueError(f"A batch is forecast to cool or to heat, not to {kind!r}.")
        self.kind, self.target_c, self.prior, self.ambient_c = kind, target_c, prior, ambient_c
        self._sign = -1.0 if kind == "cool" else 1.0
        self._points = Points()
        self._screen = Screen(ROOM_C if ambient_c is None else ambient_c)
        self._ensemble: Ensemble | None = None
        self._first: Point | None = None  # where the wait began
        self._fresh = 0  # index of the first point since the last restart
        self._stalled_at_s: float | None = None
        self._stall_shape: Shape | None = None
        self._pace = 0.0  # the rate before it stalled, in units of the likeliest shape
        self._slower_at_s: float | None = None  # since when it looks slower, until that is certain
        self._shapes: list[Shape | None] = []  # the likeliest at each point
        self._note, self._note_until_s = "", -inf
        self._latest_c: float | None = None

    # --- readings ------------------------------------------------------------------------------------

    def push(self, at_s: float, temp_c: float) -> None:
        """Take one reading."""
        if not isfinite(at_s) or at_s <= self._screen.at_s or not COLDEST_C < temp_c < HOTTEST_C:
            return
        verdict = self._screen.judge(at_s, temp_c, self._expected(at_s))
        if verdict == "lifted":
            self._say(LIFTED, at_s)
        if verdict in ("stepped", "astray"):
            self._say(BATH_CHANGED if self.prior.in_bath else STEPPED, at_s)
        if verdict == "stepped":
            self._step()
        if verdict != "used":
            self._points.forget_open()
            return
        self._latest_c = temp_c
        point = self._points.add(at_s, temp_c)
        if point is not None:
            self._take(point)

    def _expected(self, at_s: float) -> tuple[float, float] | None:
        """Temperature to expect now and how far a reading may lie from it."""
        if self._ensemble is None or len(self._points.all) - self._fresh < 3:
            return None
        last = self._points.all[-1]
        if self._stalled_at_s is not None:
            return last.temp_c, 1.5 + 0.02 * (at_s - last.at_s)
        moved = self._ensemble.rate_k_s(last.temp_c) * (at_s - last.at_s)
        return last.temp_c + self._sign * moved, max(1.5, 6.0 * last.sd_k) + 0.5 * abs(moved)

    def _step(self) -> None:
        """The readings came to another level and stay there: begin again from it."""
        self._points.forget_open()
        until = len(self._points.all)
        for when, temp in self._screen.take_suspects():
            self._points.add(when, temp)
        self._stalled_at_s = None
        self._begin(min(until, len(self._points.all) - 1))

    # --- points --------------------------------------------------------------------------------------

    def _take(self, point: Point) -> None:
        self._remember(len(self._points.all) - 1)
        self._follow(point)
        self._remember(len(self._points.all))

    def _remember(self, until: int) -> None:
        """Which shape was the likeliest at each point."""
        best = self._ensemble.best if self._ensemble else None
        self._shapes += [best.shape if best else None] * (until - len(self._shapes))

    def _follow(self, point: Point) -> None:
        if self._first is None or self._ensemble is None or self._not_yet(point):
            self._start(point)
            return
        if self._stalled_at_s is not None:
            self._still_stalled(point, self._stalled_at_s)
            return
        self._ensemble.take(point.at_s, point.temp_c, point.sd_k)
        if not self._ensemble.members:
            self._begin(max(0, len(self._points.all) - 6))  # beyond every shape: learn anew
            return
        self._ensemble.measure_wait(point.at_s - self._first.at_s)
        self._notice(point)

    def _start(self, point: Point) -> None:
        self._first = point
        self._points.keep_only_last()
        self._shapes.clear()
        self._fresh, self._slower_at_s = 0, None
        if self.kind == "cool":
            shapes = self._ensemble.shapes if self._ensemble else cooling_shapes(self.prior, self.ambient_c)
        else:
            shapes = warming_shapes(self.prior, point.temp_c, self.target_c)
        self._ensemble = Ensemble(shapes, self.target_c, *self._doubts())
        self._ensemble.begin(point.at_s, point.temp_c, point.sd_k)

    def _doubts(self) -> tuple[Uneven, float]:
        """In air little comes between; a bath is stirred, topped up, switched."""
        if self.prior.in_bath:
            return IN_BATH, DOUBT_BATH
        return IN_AIR, DOUBT if self.kind == "cool" else DOUBT_PLATE

    def _not_yet(self, point: Point) -> bool:
        """At the outset the probe itself still warms or cools: going the wrong way, or slowing abruptly."""
        points = self._points.all
        if len(points) > 6 or self._stalled_at_s is not None:
            return False
        before = points[-2]
        moved = self._sign * (point.temp_c - before.temp_c)
        if moved < -(3.0 * point.sd_k + 0.1):
            return True
        if len(points) < 3:
            return False
        earlier = points[-3]
        was = self._sign * (before.temp_c - earlier.temp_c) / (before.at_s - earlier.at_s)
        now = moved / (point.at_s - before.at_s)
        return was * (point.at_s - before.at_s) > 8.0 * point.sd_k and now < 0.6 * was

    def _begin(self, index: int, pace: float | None = None, shape: Shape | None = None) -> None:
        """Fit anew from one point on; with a pace in units of one shape, or with none known."""
        if self._ensemble is None:
            return
        self._fresh = index
        first, *rest = self._points.all[index:]
        here = shape.progress_s(first.temp_c) if shape else None
        pace_k_s = pace / here[1] if here and pace is not None else None
        self._ensemble.begin(first.at_s, first.temp_c, first.sd_k, pace_k_s)
        for point in rest:
            self._ensemble.take(point.at_s, point.temp_c, point.sd_k)

    # --- what changes --------------------------------------------------------------------------------

    def _notice(self, point: Point) -> None:
        """Compare the pace of the latest points with that before them, as the shape of then would have it."""
        split = self._points.since(point.at_s - LATEST_S, at_least=4)
        if self._ensemble is None or split - self._fresh < 4:
            return
        start = max(self._fresh, self._points.since(self._points.all[split].at_s - BEFORE_S, at_least=4))
        shape = self._shapes[split]
        if shape is None:
            return
        before = self._points.pace(min(start, split - 4), split, shape)
        latest = self._points.pace(split, len(self._points.all), shape)
        if before is None or latest is None or before[0] <= 0.0:
            return
        (was, was_sd), (now, now_sd) = before, latest
        share, noise = now / was, hypot(now_sd, was_sd) / was
        if share <= 0.0 or log(share) < -self._change(noise):
            self._slower(point, share, noise, was, shape)
            return
        self._slower_at_s = None
        if log(share) > self._change(noise):
            self._changed(point, now, shape)

    def _change(self, noise: float) -> float:
        return max(CHANGE_IN_BATH if self.prior.in_bath else CHANGE, 4.0 * noise)

    def _slower(self, point: Point, share: float, noise: float, was: float, shape: Shape) -> None:
        """Slower than before: wait until all the latest points are of that kind, then tell which kind."""
        if self._slower_at_s is None:
            self._slower_at_s = point.at_s
        if point.at_s - self._slower_at_s < LATEST_S:
            return
        self._slower_at_s = None
        if share + 3.0 * noise < PLATEAU_SHARE:
            self._stalled_at_s, self._pace = point.at_s, was
            self._stall_shape = self._shapes[self._points.since(point.at_s - 2.0 * LATEST_S, at_least=4)]
            self._say(self._stall_word(share, noise), point.at_s)
        elif share > 0.0:
            self._changed(point, share * was, shape)

    def _changed(self, point: Point, pace: float, shape: Shape) -> None:
        self._say(BATH_CHANGED if self.prior.in_bath else CHANGED, point.at_s)
        self._begin(len(self._points.all) - 4, pace, shape)

    def _stall_word(self, share: float, noise: float) -> str:
        if share + 3.0 * noise >= 0.0 or share > -0.1:
            return PLATEAU
        return BATH_CHANGED if self.prior.in_bath else WRONG_WAY

    def _still_stalled(self, point: Point, since_s: float) -> None:
        split = self._points.since(point.at_s - LATEST_S, at_least=4)
        latest = (
            self._points.pace(split, len(self._points.all), self._stall_shape) if self._stall_shape else None
        )
        if latest is None:
            return
        now, noise = latest
        slow = point.at_s - since_s > SLOW_IS_NORMAL_S and now > 3.0 * noise and now > 0.05 * self._pace
        if now - noise > RESUMED_SHARE * self._pace or slow:
            self._stalled_at_s = None
            self._begin(max(0, len(self._points.all) - 4), now, self._stall_shape)
            return
        self._say(self._stall_word(now / self._pace, noise / self._pace), point.at_s)

    def _say(self, note: str, at_s: float) -> None:
        self._note, self._note_until_s = note, at_s + NOTE_S

    # --- the answer ----------------------------------------------------------------------------------

    def note(self, now_s: float) -> str:
        """What was noticed lately, also where nothing can be forecast; else empty."""
        return self._note if now_s <= self._note_until_s else ""

    def forecast(self, now_s: float) -> ArrivalForecast | None:
        """Seconds from ``now_s`` to the target; None while nothing honest can be said."""
        if self._latest_c is None:
            return None
        if self._sign * (self._latest_c - self.target_c) >= 0.0:
            return ArrivalForecast(0.0, 0.0, 0.0, self.note(now_s))
        if self._ensemble is None or self._first is None or self._stalled_at_s is not None:
            return None
        last = self._points.all[-1]
        moved = self._sign * (last.temp_c - self._first.temp_c)
        if last.at_s - self._first.at_s < WATCHED_S or moved < max(MOVED_K[self.kind], 4.0 * last.sd_k):
            return None
        if now_s - last.at_s > max(BLIND_S, 3.0 * self._points.apart_s):
            return None
        arrival = self._ensemble.arrival()
        if arrival.never > 0.5:
            if self._slower_at_s is None:
                self._say(NEVER, now_s)
            return None
        gone = now_s - self._ensemble.at_s
        early, middle, late = (max(0.0, arrival.quantile_s(p) - gone) for p in (0.1, 0.5, 0.9))
        if middle > LONGEST_S:
            self._say(NEVER, now_s)
            return None
        if late > WIDEST * max(middle, 30.0) and late != inf:
            return None
        return ArrivalForecast(middle, early, late, self.note(now_s))

    def fan(self, now_s: float, steps: int = 5) -> tuple[tuple[float, float, float], ...]:
        """The forecast to draw: (seconds from now, lowest °C, highest °C), to the target; empty where there is none.

        Costs some ten milliseconds; a drawing wants it no oftener than every few seconds.
        """
        whole = self.forecast(now_s)
        if whole is None or self._ensemble is None or self._latest_c is None or whole.middle_s <= 0.0:
            return ()
        return fan_of(self._ensemble, now_s, self._latest_c, steps)
