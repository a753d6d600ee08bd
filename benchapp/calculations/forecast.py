"""When a cooling or warming batch will reach its target: readings in, an interval out, and what was noticed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf, isfinite
from typing import Literal

from benchapp.calculations.arrival import Course
from benchapp.calculations.bend import Bend
from benchapp.calculations.curves import ROOM_C, Past, cooling_shapes, ice_shapes, past_shapes, warming_shapes
from benchapp.calculations.departure import FAR_SD, FAR_SD_BESIDE, Departure, Left
from benchapp.calculations.display_steps import COARSE_K, DisplaySteps
from benchapp.calculations.fan import fan_of
from benchapp.calculations.fit import SETTLING_IN, Ensemble, Zone
from benchapp.calculations.heat_loss import VesselPrior
from benchapp.calculations.melting import melting_between
from benchapp.calculations.points import BIN_S, LONG_BIN_S, Point, Points, Screen, slope_of
from benchapp.calculations.shape import Shape
from benchapp.calculations.unevenness import Unevenness, unevenness_of
from benchapp.foundation.language import tr, tr_noop

CHANGED = tr_noop("stirred or lid changed")
COLDER = tr_noop("much faster than before: in something cold, or in a draught")
LIFTED = tr_noop("probe lifted")
PLATEAU = tr_noop("plateau: something is melting or setting")
BATH_CHANGED = tr_noop("stirred, or the bath changed")
WRONG_WAY = tr_noop("it is going the other way")
STEPPED = tr_noop("the temperature stepped")
NEVER = tr_noop("it will not get there")

#: What heats comes up to its pace at the outset: the rate may move by so much more (relative standard deviation).
COMES_UP, COMES_UP_BATH = 0.45, 0.25
#: How much a point counts among shapes none of which is quite right, and where something melts or sets.
TRUST = {"cool": 1.0, "bath": 0.5, "plate": 0.7}
TRUST_MELTING = {"cool": 0.5, "bath": 0.25, "plate": 0.15}
#: While something melts or sets, the variance of the progress in s² for each second.
ROUGH_S = {"cool": 1.0, "heat": 6.0}
#: From so long after a beginning on, points are wider apart.
LONG_S = 600.0
#: That it goes as one of the earlier makes did, against all that physics alone would allow.
PAST_ODDS = 2.0
#: A course is believed from so many seconds after a beginning on.
BELIEVED_S = 100.0
#: After a change the new pace is watched for so long, at least and at most, until it is known within this share.
WATCH_S, WATCH_LONGEST_S, KNOWN = 45.0, 150.0, 0.12
#: The rate may move by this much more while a change is new (relative standard deviation; see fit.SETTLING_IN).
AFTER_CHANGE = 0.35
#: Slower than this share of what it was is a plateau; faster than that, it is over; so much faster is something cold.
PLATEAU_SHARE, RESUMED_SHARE, COLDER_SHARE = 0.3, 0.5, 1.7
#: While something melts, slower than this share of the quickest of the last minutes is a standstill; where it is told how
#: much heat that takes, what is foretold is worth more, and a standstill has to be plainer.
STANDS_SHARE, STANDS_SHARE_TOLD = 0.28, 0.2
#: A pace within this share of the old one is the same pace; on another level, in K, it has stepped.
SAME_SHARE, STEP_K = 0.25, 1.5
#: After so long a plateau it counts as the new pace, if it moves at all.
SLOW_IS_NORMAL_S = 600.0
STALL_S = 75.0
NOTE_S = 120.0
#: Nothing is said before it has moved this far, for this long, nor while the interval is wider than this factor.
MOVED_K, WATCHED_S, WIDEST = {"cool": 0.3, "heat": 1.5}, 30.0, 6.0
#: A batch on a bench that takes longer than this takes for ever (no source).
LONGEST_S = 6.0 * 3600.0
#: Readings outside this are a probe's fault, not a batch.
COLDEST_C, HOTTEST_C = -30.0, 160.0
#: Nor when no reading could be used for so long.
BLIND_S = 120.0


@dataclass(frozen=True, slots=True)
class ArrivalForecast:
    """Seconds from now to the target: the middle, and the interval that holds it four times in five.

    ``late_s`` is ``inf`` where it may well never get there. ``note`` names what was noticed, or is empty.
    """

    middle_s: float
    early_s: float
    late_s: float
    note: str = ""


@dataclass(frozen=True, slots=True)
class Change:
    """Something changed: when that was noticed, the course before, and its pace (K/s towards the target)."""

    since_s: float
    course: Course
    pace_k_s: float
    stalled: bool = False


class Forecaster:
    """Watches one probe in one vessel on its way to ``target_c``.

    ``ambient_c`` is the measured air temperature, None where nobody measured it. ``past`` are earlier makes of the same
    procedure and size, each as (seconds, °C) of the same wait. Readings in °C come through ``push`` in order of time;
    those not newer than the last are left out.
    """

    def __init__(
        self,
        kind: Literal["cool", "heat"],
        target_c: float,
        prior: VesselPrior,
        ambient_c: float | None = None,
        past: Sequence[Past] = (),
    ) -> None:
        if kind not in ("cool", "heat"):
            raise ValueError(tr("A batch is forecast to cool or to heat, not to {kind!r}.", kind=kind))
        self.kind, self.target_c, self.prior, self.ambient_c = kind, target_c, prior, ambient_c
        self.past = past
        self._sign = -1.0 if kind == "cool" else 1.0
        self._points = Points()
        self._screen = Screen(ROOM_C if ambient_c is None else ambient_c)
        self._bend = Bend() if kind == "cool" and not prior.in_bath else None
        self._steps = DisplaySteps(self._sign, self._screen.ambient_c, bool(prior.melts))
        self._last: Point | None = None  # that the ensemble was told
        self._departure = Departure(FAR_SD_BESIDE if self._bend else FAR_SD)
        self._ensemble: Ensemble | None = None
        self._first: Point | None = None  # where the wait began
        between = melting_between(prior, kind == "heat")
        self._zone = Zone(*between, ROUGH_S[kind]) if between else None
        where = kind if kind == "cool" else "bath" if prior.in_bath else "plate"
        self._trust = (TRUST_MELTING if between else TRUST)[where]
        self._changes, self._iced = 0, False
        self._change: Change | None = None  # until its new pace is known
        self._note, self._note_until_s = "", -inf
        self._latest_c: float | None = None
        self._latest_s = -inf

    # --- readings ------------------------------------------------------------------------------------

    def push(self, at_s: float, temp_c: float) -> None:
        """Take one reading."""
        if not isfinite(at_s) or at_s <= self._screen.at_s or not COLDEST_C < temp_c < HOTTEST_C:
            return
        verdict = self._screen.judge(at_s, temp_c, self._expected(at_s))
        if verdict == "lifted":
            self._say(LIFTED, at_s)
        if verdict in ("strange", "lifted"):
            self._points.forget_open()
            return
        left = None if self._change else self._gone_astray(at_s, temp_c)
        if left is None and verdict == "left":
            left = self._left_at_once(at_s)
        self._latest_c, self._latest_s = temp_c, at_s
        if left is not None:
            self._begin_watching(left, at_s, temp_c)
        point = self._points.add(at_s, temp_c)
        if point is not None:
            self._take(point)

    def _expected(self, at_s: float) -> tuple[float, float] | None:
        """Temperature to expect now and how far a reading may lie from it."""
        if self._ensemble is None or len(self._points.all) < 3:
            return None
        last = self._points.all[-1]
        if self._change is not None:
            return self._latest_c or last.temp_c, 6.0 + 0.5 * (at_s - self._latest_s)
        moved = self._ensemble.rate_k_s(last.temp_c) * (at_s - last.at_s)
        return last.temp_c + self._sign * moved, max(1.5, 6.0 * last.sd_k) + 0.5 * abs(moved)

    def _gone_astray(self, at_s: float, temp_c: float) -> Left | None:
        """It left what was foretold; or the curve itself has bent."""
        melting = self.kind == "heat" and self._zone is not None and self._zone.holds(temp_c)
        self._steps.hear(at_s, temp_c)
        by_steps = self._bend is not None and self._coarse and self._steps.known
        left = self._departure.hear(at_s, temp_c, only_back=melting or by_steps)
        if left is not None or self._bend is None or self._ensemble is None:
            return left
        if self._coarse:
            course = self._steps.left(at_s, self._points.step_k, self._ensemble.begun_s)
        elif at_s - self._ensemble.begun_s < BELIEVED_S:
            return None
        else:
            course = self._bend.hear(at_s, temp_c, self._points.step_k)
        return None if course is None else Left(course.at_s, course)

    @property
    def _coarse(self) -> bool:
        return self._points.step_k > COARSE_K

    # --- what changes --------------------------------------------------------------------------------

    def _left_at_once(self, at_s: float) -> Left | None:
        last = self._points.all[-1]
        course = self._ensemble.course(last.temp_c, self._sign) if self._ensemble else None
        return None if course is None else Left(last.at_s, course)

    def _begin_watching(self, left: Left, at_s: float, temp_c: float) -> None:
        """It left its course: say so, and say nothing of the future before the new pace is known."""
        course = left.course
        self._change = Change(at_s, course, max(self._sign * course.rate_k_s, 1e-6))
        self._screen.forget()
        self._departure.forget()
        if self._bend is not None:
            self._bend.forget()
        self._steps.forget()
        self._points.forget_open()
        faster = self._sign * (temp_c - course.expected(at_s)[0]) > 0.0
        self._say(self._change_word(faster), at_s)

    def _change_word(self, faster: bool) -> str:
        return BATH_CHANGED if self.prior.in_bath else CHANGED

    def _watch(self, point: Point, change: Change) -> None:
        """The pace since the change: a new one, none, or still unknown."""
        lately_s = max(point.at_s - STALL_S, change.since_s)
        points = [p for p in self._points.all[-12:] if p.at_s > lately_s]
        found = slope_of(points)
        watched_s = point.at_s - change.since_s
        if found is None or watched_s < WATCH_S:
            return
        pace, sd = self._sign * found[0], found[1]
        share, noise = pace / change.pace_k_s, sd / change.pace_k_s
        if change.stalled:
            self._still_stalled(point, change, pace, sd)
            return
        if share + 2.0 * noise < PLATEAU_SHARE:
            if watched_s >= STALL_S:
                self._change = replace(change, stalled=True)
                self._say(self._stall_word(share, noise), point.at_s)
            return
        if sd < KNOWN * pace or (watched_s > WATCH_LONGEST_S and pace > 0.0):
            self._go_on(points, change, pace, share)

    def _still_stalled(self, point: Point, change: Change, pace: float, sd: float) -> None:
        slow = (
            point.at_s - change.since_s > SLOW_IS_NORMAL_S
            and pace > 3.0 * sd
            and pace > 0.05 * change.pace_k_s
        )
        if pace - sd > RESUMED_SHARE * change.pace_k_s or slow:
            self._go_on(self._points.since(point.at_s - STALL_S / 2.0, at_least=3), change, pace, 1.0)
            return
        self._say(self._stall_word(pace / change.pace_k_s, sd / change.pace_k_s), point.at_s)

    def _stall_word(self, share: float, noise: float) -> str:
        if share + 3.0 * noise >= 0.0 or share > -0.1:
            return PLATEAU
        return BATH_CHANGED if self.prior.in_bath and share > -0.3 else WRONG_WAY

    def _go_on(self, points: list[Point], change: Change, pace: float, share: float) -> None:
        """The new pace is known: fit anew from its first point."""
        self._change = None
        self._changes += 1
        first = points[0]
        stepped_k = abs(first.temp_c - change.course.expected(first.at_s)[0])
        if abs(share - 1.0) < SAME_SHARE and stepped_k > STEP_K:
            self._say(STEPPED, points[-1].at_s)
        if self.kind == "cool" and share > COLDER_SHARE:
            self._say(COLDER, points[-1].at_s)
        if self.kind == "cool" and share > COLDER_SHARE and not self.prior.in_bath:
            self._iced = True
            self._fit(ice_shapes(self.prior, first.temp_c, self.target_c), points, pace)
        else:
            self._fit(None, points, pace)

    # --- points --------------------------------------------------------------------------------------

    def _take(self, point: Point) -> None:
        begun_s = self._ensemble.begun_s if self._ensemble else point.at_s
        long = self._change is None and point.at_s - begun_s > LONG_S
        self._points.bin_s = LONG_BIN_S if long else BIN_S
        if self._first is None or self._ensemble is None or self._not_yet(point):
            self._first, self._change = point, None
            self._points.keep_only_last()
            self._departure.forget()
            self._fit(self._shapes_from(point), [point])
            return
        if self._change is not None:
            self._watch(point, self._change)
            return
        seen = self._seen(point, self._ensemble)
        if not self._ensemble.members:
            # beyond every shape: learn anew
            points = self._points.all[-6:]
            self._fit(self._shapes_from(points[0]), points)
            return
        self._ensemble.measure_wait(point.at_s - self._first.at_s)
        if self._stands():
            return
        course = self._ensemble.course(seen[-1].temp_c, self._sign) if seen else None
        if course is not None and point.at_s - self._ensemble.begun_s > BELIEVED_S:
            self._departure.foretell(course, point.sd_k)

    def _seen(self, point: Point, ensemble: Ensemble) -> list[Point]:
        """What a point says of the curve, or the steps of a coarse display since the last."""
        pace = self._sign * ensemble.rate_k_s(point.temp_c)
        # In a bath where something melts no shape is right enough to be held to a step: it is told every point.
        step_k = 0.0 if self.prior.in_bath and self.prior.melts else self._points.step_k
        seen = self._steps.told(point, self._last or point, pace, step_k)
        for told in seen:
            ensemble.take(told.at_s, told.temp_c, told.sd_k)
            self._last = told
        return seen

    def _stands(self) -> bool:
        """Even what melts goes on somewhat in a bath or on a plate: a standstill is a change there too."""
        latest, before = self._points.all[-3:], self._departure.fastest
        found = slope_of(latest)
        if self.kind == "cool" or before is None or found is None:
            return False
        pace, sd = self._sign * found[0], found[1]
        share = STANDS_SHARE_TOLD if self.prior.melting_told else STANDS_SHARE
        if pace + 2.0 * sd > share * abs(before.rate_k_s):
            return False
        point = latest[-1]
        self._begin_watching(Left(before.at_s, before), point.at_s, point.temp_c)
        return True

    def _shapes_from(self, point: Point) -> list[Shape]:
        if self.kind == "cool":
            shapes = cooling_shapes(self.prior, self.ambient_c, point.temp_c, self.target_c)
        else:
            shapes = warming_shapes(self.prior, point.temp_c, self.target_c)
        whole = sum(shape.prior for shape in shapes)
        for shape in past_shapes(self.past, point.temp_c, self.target_c):
            shape.prior *= PAST_ODDS * whole
            shapes.append(shape)
        return shapes

    def _fit(self, shapes: list[Shape] | None, points: list[Point], pace_k_s: float | None = None) -> None:
        """Begin at the first of these points: with these shapes, or with those of before and what is known of them."""
        first, *rest = points
        if shapes is None and self._ensemble is not None and pace_k_s is not None:
            self._ensemble.uneven = self._unevenness()
            self._ensemble.begin_anew(first.at_s, first.temp_c, first.sd_k, pace_k_s)
        else:
            self._ensemble = Ensemble(shapes or self._shapes_from(first), self.target_c, self._unevenness())
            self._ensemble.begin(first.at_s, first.temp_c, first.sd_k, pace_k_s)
        self._last = points[-1]
        self._ensemble.zone = self._zone
        self._ensemble.trust = self._trust
        self._ensemble.settling = self._settling()
        for point in rest:
            self._ensemble.take(point.at_s, point.temp_c, point.sd_k)

    def _settling(self) -> float:
        if self._changes:
            return AFTER_CHANGE
        if self.kind == "cool":
            return SETTLING_IN
        return COMES_UP_BATH if self.prior.in_bath and not self._zone else COMES_UP

    def _unevenness(self) -> Unevenness:
        """Once something has changed, stirring and switching are likelier."""
        known, more = unevenness_of(self.kind == "heat", self.prior, self._iced), 1.0 + 2.0 * self._changes
        ways = (replace(u, share=u.share * more) if u.swing_k or u.rough else u for u in known.ways)
        return replace(known, ways=tuple(ways))

    def _not_yet(self, point: Point) -> bool:
        """At the outset the probe itself still warms or cools: going the wrong way, or slowing abruptly."""
        points = self._points.all
        if len(points) > 6 or self._change is not None:
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
        if self._ensemble is None or self._first is None or self._change is not None:
            return None
        last = self._points.all[-1]
        moved = self._sign * (last.temp_c - self._first.temp_c)
        if last.at_s - self._first.at_s < WATCHED_S or moved < max(MOVED_K[self.kind], 4.0 * last.sd_k):
            return None
        if now_s - last.at_s > max(BLIND_S, 3.0 * self._points.apart_s):
            return None
        arrival = self._ensemble.arrival()
        if arrival.never > 0.5:
            self._say(NEVER, now_s)
            return None
        gone = now_s - self._ensemble.at_s
        before, after = self._ensemble.uneven.left_out
        early, middle, late = (max(0.0, arrival.quantile_s(p) - gone) for p in (before, 0.5, 1.0 - after))
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
