"""Watches one vessel on its course for what changes it: stirring, a lid, ice, a probe taken out, what stands still; and says
when the new pace is known."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf
from typing import Literal

from benchapp.calculations.arrival import Course
from benchapp.calculations.bend import Bend
from benchapp.calculations.curves import ROOM_C
from benchapp.calculations.departure import FAR_SD, FAR_SD_BESIDE, Departure
from benchapp.calculations.display_steps import COARSE_K, DisplaySteps
from benchapp.calculations.fit import Ensemble, Zone
from benchapp.calculations.heat_loss import VesselPrior
from benchapp.calculations.points import Point, Points, Screen, slope_of
from benchapp.foundation.language import tr_noop

CHANGED = tr_noop("stirred or lid changed")
COLDER = tr_noop("much faster than before: in something cold, or in a draught")
LIFTED = tr_noop("probe lifted")
PLATEAU = tr_noop("plateau: something is melting or setting")
BATH_CHANGED = tr_noop("stirred, or the bath changed")
WRONG_WAY = tr_noop("it is going the other way")
STEPPED = tr_noop("the temperature stepped")

#: After a change the new pace is watched for so long, at least and at most, until it is known within this share.
WATCH_S, WATCH_LONGEST_S, KNOWN = 45.0, 150.0, 0.12
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
#: A course is believed from so many seconds after a beginning on.
BELIEVED_S = 100.0


@dataclass(frozen=True, slots=True)
class Change:
    """Something changed: when that was noticed, the course before, and its pace (K/s towards the target)."""

    since_s: float
    course: Course
    pace_k_s: float
    stalled: bool = False


@dataclass(frozen=True, slots=True)
class NewPace:
    """The pace since a change is known (K/s towards the target): from these points on, and as a share of the one before."""

    points: list[Point]
    pace_k_s: float
    share: float
    colder: bool = False


class ChangeWatch:
    """Hears every reading before the forecast does. ``points`` are the forecast's own, ``zone`` where something melts or
    sets; ``change`` is what is watched, None while all goes as foretold."""

    def __init__(
        self,
        kind: Literal["cool", "heat"],
        prior: VesselPrior,
        ambient_c: float | None,
        points: Points,
        zone: Zone | None,
    ) -> None:
        self.kind, self.prior = kind, prior
        self.change: Change | None = None
        self.latest_c: float | None = None
        self.latest_s = -inf
        self._sign = -1.0 if kind == "cool" else 1.0
        self._points, self._zone = points, zone
        self._screen = Screen(ROOM_C if ambient_c is None else ambient_c)
        self._bend = Bend() if kind == "cool" and not prior.in_bath else None
        self._steps = DisplaySteps(self._sign, self._screen.ambient_c, bool(prior.melts))
        self._departure = Departure(FAR_SD_BESIDE if self._bend else FAR_SD)
        self._note, self._note_until_s = "", -inf

    # --- readings ------------------------------------------------------------------------------------

    def newer(self, at_s: float) -> bool:
        """Whether a reading of then is newer than the last."""
        return at_s > self._screen.at_s

    def hear(self, at_s: float, temp_c: float, ensemble: Ensemble | None) -> bool:
        """Take one reading, in °C, beside what was foretold; whether it is the vessel's."""
        verdict = self._screen.judge(at_s, temp_c, self._expected(at_s, ensemble))
        if verdict == "lifted":
            self.say(LIFTED, at_s)
        if verdict in ("strange", "lifted"):
            self._points.forget_open()
            return False
        left = None if self.change else self._gone_astray(at_s, temp_c, ensemble)
        if left is None and verdict == "left":
            left = self._left_at_once(at_s, ensemble)
        self.latest_c, self.latest_s = temp_c, at_s
        if left is not None:
            self._begin(left, at_s, temp_c)
        return True

    def _expected(self, at_s: float, ensemble: Ensemble | None) -> tuple[float, float] | None:
        """Temperature to expect now and how far a reading may lie from it."""
        if ensemble is None or len(self._points.all) < 3:
            return None
        last = self._points.all[-1]
        if self.change is not None:
            return self.latest_c or last.temp_c, 6.0 + 0.5 * (at_s - self.latest_s)
        moved = ensemble.rate_k_s(last.temp_c) * (at_s - last.at_s)
        return last.temp_c + self._sign * moved, max(1.5, 6.0 * last.sd_k) + 0.5 * abs(moved)

    def _gone_astray(self, at_s: float, temp_c: float, ensemble: Ensemble | None) -> Course | None:
        """The course it left: what was foretold, or that of a curve which has bent."""
        melting = self.kind == "heat" and self._zone is not None and self._zone.holds(temp_c)
        self._steps.hear(at_s, temp_c)
        by_steps = self._bend is not None and self._coarse and self._steps.known
        left = self._departure.hear(at_s, temp_c, only_back=melting or by_steps)
        if left is not None or self._bend is None or ensemble is None:
            return left
        if self._coarse:
            return self._steps.left(at_s, self._points.step_k, ensemble.begun_s)
        if at_s - ensemble.begun_s < BELIEVED_S:
            return None
        return self._bend.hear(at_s, temp_c, self._points.step_k)

    @property
    def _coarse(self) -> bool:
        return self._points.step_k > COARSE_K

    def _left_at_once(self, at_s: float, ensemble: Ensemble | None) -> Course | None:
        last = self._points.all[-1]
        return ensemble.course(last.temp_c, self._sign) if ensemble else None

    def _begin(self, course: Course, at_s: float, temp_c: float) -> None:
        """It left its course: say so, and say nothing of the future before the new pace is known."""
        self.change = Change(at_s, course, max(self._sign * course.rate_k_s, 1e-6))
        self._screen.forget()
        self._departure.forget()
        if self._bend is not None:
            self._bend.forget()
        self._steps.forget()
        self._points.forget_open()
        self.say(BATH_CHANGED if self.prior.in_bath else CHANGED, at_s)

    # --- what changes --------------------------------------------------------------------------------

    def pace_since(self, point: Point, change: Change) -> NewPace | None:
        """The pace since the change, at a point of the curve, once it is known."""
        lately_s = max(point.at_s - STALL_S, change.since_s)
        points = [p for p in self._points.all[-12:] if p.at_s > lately_s]
        found = slope_of(points)
        watched_s = point.at_s - change.since_s
        if found is None or watched_s < WATCH_S:
            return None
        pace, sd = self._sign * found[0], found[1]
        share, noise = pace / change.pace_k_s, sd / change.pace_k_s
        if change.stalled:
            return self._still_stalled(point, change, pace, sd)
        if share + 2.0 * noise < PLATEAU_SHARE:
            if watched_s >= STALL_S:
                self.change = replace(change, stalled=True)
                self.say(self._stall_word(share, noise), point.at_s)
            return None
        if sd < KNOWN * pace or (watched_s > WATCH_LONGEST_S and pace > 0.0):
            return self._go_on(points, change, pace, share)
        return None

    def _still_stalled(self, point: Point, change: Change, pace: float, sd: float) -> NewPace | None:
        slow = (
            point.at_s - change.since_s > SLOW_IS_NORMAL_S
            and pace > 3.0 * sd
            and pace > 0.05 * change.pace_k_s
        )
        if pace - sd > RESUMED_SHARE * change.pace_k_s or slow:
            return self._go_on(self._points.since(point.at_s - STALL_S / 2.0, at_least=3), change, pace, 1.0)
        self.say(self._stall_word(pace / change.pace_k_s, sd / change.pace_k_s), point.at_s)
        return None

    def _stall_word(self, share: float, noise: float) -> str:
        if share + 3.0 * noise >= 0.0 or share > -0.1:
            return PLATEAU
        return BATH_CHANGED if self.prior.in_bath and share > -0.3 else WRONG_WAY

    def _go_on(self, points: list[Point], change: Change, pace: float, share: float) -> NewPace:
        self.change = None
        first, at_s = points[0], points[-1].at_s
        stepped_k = abs(first.temp_c - change.course.expected(first.at_s)[0])
        if abs(share - 1.0) < SAME_SHARE and stepped_k > STEP_K:
            self.say(STEPPED, at_s)
        colder = self.kind == "cool" and share > COLDER_SHARE
        if colder:
            self.say(COLDER, at_s)
        return NewPace(points, pace, share, colder)

    def stands(self) -> bool:
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
        self._begin(before, point.at_s, point.temp_c)
        return True

    # --- the forecast's side -------------------------------------------------------------------------

    def begin_anew(self) -> None:
        """Nothing was foretold, and nothing is watched."""
        self.change = None
        self._departure.forget()

    def foretell(self, course: Course, point: Point, begun_s: float) -> None:
        """What is foretold at a point, of a forecast begun then: later readings are held against it."""
        if point.at_s - begun_s > BELIEVED_S:
            self._departure.foretell(course, point.sd_k)

    def told(self, point: Point, last: Point, pace_k_s: float, step_k: float) -> list[Point]:
        """What a point says of the curve, or the steps of a coarse display since the last."""
        return self._steps.told(point, last, pace_k_s, step_k)

    def say(self, note: str, at_s: float) -> None:
        """That was noticed then."""
        self._note, self._note_until_s = note, at_s + NOTE_S

    def note(self, now_s: float) -> str:
        """What was noticed lately; else empty."""
        return self._note if now_s <= self._note_until_s else ""
