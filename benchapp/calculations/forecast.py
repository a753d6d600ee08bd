"""When a cooling or warming batch will reach its target: readings in, an interval out, and what was noticed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf, isfinite
from typing import Literal

from benchapp.calculations.arrival import Arrival
from benchapp.calculations.change_watch import ChangeWatch, NewPace
from benchapp.calculations.curves import Past, cooling_shapes, ice_shapes, past_shapes, warming_shapes
from benchapp.calculations.fan import fan_of
from benchapp.calculations.fit import SETTLING_IN, Ensemble, Zone
from benchapp.calculations.heat_loss import VesselPrior
from benchapp.calculations.melting import melting_between
from benchapp.calculations.paces import Paces
from benchapp.calculations.points import BIN_S, LONG_BIN_S, Point, Points
from benchapp.calculations.shape import Shape
from benchapp.calculations.unevenness import Unevenness, unevenness_of
from benchapp.foundation.language import tr, tr_noop

NEVER = tr_noop("it will not get there")
#: Why nothing is foretold.
TOO_SOON = tr_noop("Too early to say how long.")
NEW_PACE = tr_noop("How long is told once its new pace is known.")
UNREAD = tr_noop("How long is told once it is read again.")
UNCERTAIN = tr_noop("How long is too uncertain to say.")

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
#: The rate may move by this much more while a change is new (relative standard deviation; see fit.SETTLING_IN).
AFTER_CHANGE = 0.35
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

    ``late_s`` is ``inf`` where it may well never get there.
    """

    middle_s: float
    early_s: float
    late_s: float


class Forecaster:
    """Watches one probe in one vessel on its way to ``target_c``.

    ``ambient_c`` is the measured air temperature, None where nobody measured it. ``past`` are earlier makes of the same
    procedure and size, each as (seconds, °C) of the same wait. Readings in °C come through ``push`` in order of time;
    those not newer than the last are left out. Where the wait ends when the display ``shown`` has reached it (cooling: is
    below it), a step of the display counts: it shows 40 °C in steps of 1 K from 39.5 °C on.
    """

    def __init__(
        self,
        kind: Literal["cool", "heat"],
        target_c: float,
        prior: VesselPrior,
        ambient_c: float | None = None,
        past: Sequence[Past] = (),
        shown: bool = False,
    ) -> None:
        if kind not in ("cool", "heat"):
            raise ValueError(tr("A batch is forecast to cool or to heat, not to {kind!r}.", kind=kind))
        self.kind, self.target_c, self.prior, self.ambient_c = kind, target_c, prior, ambient_c
        self.past, self.shown = past, shown
        self._sign = -1.0 if kind == "cool" else 1.0
        self._points = Points()
        self._last: Point | None = None  # that the ensemble was told
        self._ensemble: Ensemble | None = None
        self._first: Point | None = None  # where the wait began
        between = melting_between(prior, kind == "heat")
        self._zone = Zone(*between, ROUGH_S[kind]) if between else None
        self._watch = ChangeWatch(kind, prior, ambient_c, self._points, self._zone)
        where = kind if kind == "cool" else "bath" if prior.in_bath else "plate"
        self._trust = (TRUST_MELTING if between else TRUST)[where]
        self._changes, self._iced = 0, False
        self._paces = Paces() if kind == "cool" and not prior.in_bath else None

    # --- readings ------------------------------------------------------------------------------------

    def push(self, at_s: float, temp_c: float) -> None:
        """Take one reading."""
        if not isfinite(at_s) or not self._watch.newer(at_s) or not COLDEST_C < temp_c < HOTTEST_C:
            return
        if self._paces is not None:
            self._paces.pass_to(at_s)
        if not self._watch.hear(at_s, temp_c, self._ensemble):
            return
        point = self._points.add(at_s, temp_c)
        if point is not None:
            self._take(point)

    def _go_on(self, found: NewPace) -> None:
        """The new pace is known: fit anew from its first point."""
        self._changes += 1
        iced = found.colder and not self.prior.in_bath
        self._iced = self._iced or iced
        if self._iced:
            self._paces = None
        elif self._paces is not None:
            self._paces.change(found.share)
        shapes = ice_shapes(self.prior, found.points[0].temp_c, self.target_c) if iced else None
        self._fit(shapes, found.points, found.pace_k_s)

    # --- points --------------------------------------------------------------------------------------

    def _take(self, point: Point) -> None:
        begun_s = self._ensemble.begun_s if self._ensemble else point.at_s
        change = self._watch.change
        long = change is None and point.at_s - begun_s > LONG_S
        self._points.bin_s = LONG_BIN_S if long else BIN_S
        if self._first is None or self._ensemble is None or self._not_yet(point):
            self._first = point
            self._points.keep_only_last()
            self._watch.begin_anew()
            self._fit(self._shapes_from(point), [point])
            return
        if change is not None:
            found = self._watch.pace_since(point, change)
            if found is not None:
                self._go_on(found)
            return
        seen = self._seen(point, self._ensemble)
        if not self._ensemble.members:
            # beyond every shape: learn anew
            points = self._points.all[-6:]
            self._fit(self._shapes_from(points[0]), points)
            return
        self._ensemble.measure_wait(point.at_s - self._first.at_s)
        if self._watch.stands():
            return
        course = self._ensemble.course(seen[-1].temp_c, self._sign) if seen else None
        if course is not None:
            self._watch.foretell(course, point, self._ensemble.begun_s)

    def _seen(self, point: Point, ensemble: Ensemble) -> list[Point]:
        """What a point says of the curve, or the steps of a coarse display since the last."""
        pace = self._sign * ensemble.rate_k_s(point.temp_c)
        # In a bath where something melts no shape is right enough to be held to a step: it is told every point.
        step_k = 0.0 if self.prior.in_bath and self.prior.melts else self._points.step_k
        seen = self._watch.told(point, self._last or point, pace, step_k)
        for told in seen:
            ensemble.take(told.at_s, told.temp_c, told.sd_k)
            self._last = told
        return seen

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
            self._ensemble = Ensemble(shapes or self._shapes_from(first), self._goal_c, self._unevenness())
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
        if len(points) > 6 or self._watch.change is not None:
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

    @property
    def _goal_c(self) -> float:
        return self.target_c - (0.5 * self._points.step_k if self.shown else 0.0)

    def _there(self, temp_c: float) -> bool:
        over = self._sign * (temp_c - self.target_c)
        return over > 0.0 if self.shown and self.kind == "cool" else over >= 0.0

    # --- the answer ----------------------------------------------------------------------------------

    def note(self, now_s: float) -> str:
        """What was noticed lately, also where nothing can be forecast; else empty."""
        return self._watch.note(now_s)

    def forecast(self, now_s: float) -> ArrivalForecast | None:
        """Seconds from ``now_s`` to the target; None while nothing honest can be said."""
        if self._watch.latest_c is None:
            return None
        if self._there(self._watch.latest_c):
            fresh = now_s - self._watch.latest_s <= max(BIN_S, self._points.apart_s)
            return ArrivalForecast(0.0, 0.0, 0.0) if fresh else None
        if self._ensemble is None or self._first is None or self._watch.change is not None:
            return None
        if self._too_soon(self._first) or self._blind(now_s):
            return None
        self._ensemble.target_c = self._goal_c
        arrival = self._ensemble.arrival()
        if arrival.never > 0.5:
            self._watch.say(NEVER, now_s)
            return None
        early, middle, late = self._span_s(arrival, now_s - self._ensemble.at_s, self._ensemble.uneven)
        if middle > LONGEST_S:
            self._watch.say(NEVER, now_s)
            return None
        if late > WIDEST * max(middle, 30.0) and late != inf:
            return None
        return ArrivalForecast(middle, early, late)

    def _span_s(self, arrival: Arrival, gone_s: float, uneven: Unevenness) -> tuple[float, float, float]:
        """Early, middle and late, in seconds from ``gone_s`` after the last point."""
        before, after = uneven.left_out
        early, middle, late = (max(0.0, arrival.quantile_s(p) - gone_s) for p in (before, 0.5, 1.0 - after))
        return (early, middle, late) if self._paces is None else self._paces.spread((early, middle, late))

    def _too_soon(self, first: Point) -> bool:
        last = self._points.all[-1]
        moved = self._sign * (last.temp_c - first.temp_c)
        return last.at_s - first.at_s < WATCHED_S or moved < max(MOVED_K[self.kind], 4.0 * last.sd_k)

    def _blind(self, now_s: float) -> bool:
        return now_s - self._points.all[-1].at_s > max(BLIND_S, 3.0 * self._points.apart_s)

    def why_silent(self, now_s: float) -> str:
        """Why nothing is foretold, in a sentence to be looked up; "" where that was noticed and is said anyway."""
        if self.note(now_s):
            return ""
        if self._watch.change is not None:
            return NEW_PACE
        if self._ensemble is None or self._first is None:
            return TOO_SOON
        if self._blind(now_s) or (self._watch.latest_c is not None and self._there(self._watch.latest_c)):
            return UNREAD
        return TOO_SOON if self._too_soon(self._first) else UNCERTAIN

    def fan(
        self, now_s: float, told: ArrivalForecast | None, steps: int = 5
    ) -> tuple[tuple[float, float, float], ...]:
        """The forecast to draw: (seconds from now, lowest °C, highest °C), to the target; empty where there is none. ``told`` is what
        ``forecast`` says at the same moment.

        Costs some ten milliseconds; a drawing wants it no oftener than every few seconds.
        """
        if told is None or self._ensemble is None or self._watch.latest_c is None or told.middle_s <= 0.0:
            return ()
        at_target = (told.early_s, told.middle_s, told.late_s)
        return fan_of(self._ensemble, now_s, self._watch.latest_c, steps, self._span_s, at_target)
