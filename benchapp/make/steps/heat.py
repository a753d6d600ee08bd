"""Heat: several phases at once into a band, and kept there for the hold."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.calculations.excursion import graded
from benchapp.calculations.water_loss import loss_while_heating
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.confirm import Task
from benchapp.make.acts.waiting import forecaster
from benchapp.make.inputs import Degrees, Input, TypeValue
from benchapp.make.plan import Plan
from benchapp.make.probes import STANDS, not_moved
from benchapp.make.steps.heat_known import HeatedVessels
from benchapp.make.steps.heat_view import act_view_of
from benchapp.make.view_model import ActView, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.steps import Heat, TopUp

#: For the estimate of lost water only: the room, and how long a bath takes (common practice, no source).
ROOM_C, HEATING_S = 21.0, 1500.0
#: How often temperatures and hold times go into the journal, in seconds.
LOG_EVERY_S = 30.0
HOLD_EVERY_S = 15.0
#: So far below its band a vessel has left it, in kelvin.
LEFT_K = 0.3


def acts(step: Heat, plan: Plan) -> tuple[Act, ...]:
    """Probes in, then heat and hold."""
    vessels = vessels_of(step, plan)
    names = [plan.vessel(v).name for v in vessels]
    probes = [probe for _, probe in plan.probes]
    pairs = tuple(zip(probes, vessels, strict=False))
    parts = [tr("{p} into the {name}", p=p, name=plan.vessel(v).name) for p, v in pairs]
    where = tr("water bath") if step.bath else tr("hot plate")
    pots = tr(" and ").join(tr("the {n}", n=n) for n in names)
    text = tr("Set {pots} in the {where}.", pots=pots, where=where)
    note = tr("Wipe each probe, then {names}.", names=", ".join(parts)) if parts else ""
    note = f"{note} {_keep_ready(step, vessels, plan)}".strip()
    by_vessel = {v: p for p, v in pairs}
    stand = tuple((v, by_vessel.get(v, "")) for v in vessels)
    place = Task(
        "place", step, text, yes=tr("They are in"), note=note, moves=pairs,
        want=Want(Verb.INTO_BATH, more=stand, amount=step.band_c.low, limit=step.band_c.high),
    )  # fmt: skip
    devices = tuple(dict.fromkeys(d for d, p in plan.probes if p in dict(pairs)))
    return (place, HeatAndHold("heat", step, vessels=vessels, thermometers=devices, band=step.band_c,
                               hold_s=step.hold_s, over_c=step.over_c, probed=len(pairs) == len(vessels)))  # fmt: skip


def _keep_ready(step: Heat, vessels: tuple[str, ...], plan: Plan) -> str:
    """How much hot water to have at hand, where the method tops up what steams off."""
    topped = {s.vessel for s in plan.procedure.steps if isinstance(s, TopUp)} & set(vessels)
    grams = 0.0
    for vessel in topped:
        width = plan.vessel(vessel).diameter_mm
        if width is None:
            return ""
        middle = (step.band_c.low + step.band_c.high) / 2
        grams += loss_while_heating(width, ROOM_C, middle, HEATING_S, step.hold_s).keep_ready_g
    return tr("Keep {grams:.0f} g of hot water ready (computed).", grams=grams) if grams >= 1.0 else ""


def vessels_of(step: Heat, plan: Plan) -> tuple[str, ...]:
    """The vessels those phases are in when the step begins."""
    return plan.declared[step.key].touches


@dataclass(frozen=True)
class HeatAndHold(HeatedVessels):
    """All vessels to the band; the hold counts while the coldest is above the band's lower limit."""

    def calls(self, context: Context) -> str:
        """A vessel above the band, or one that has fallen out of it again."""
        for vessel in self.vessels:
            temp = context.temp_c(vessel)
            if temp is None and self._may_come_back(context, vessel):
                continue
            if temp is None:
                return tr(
                    "The {vessel_name} gives no temperature: look at its probe now.",
                    vessel_name=context.vessel_name(vessel),
                )
            if self.band.above(temp):
                return tr(
                    "The {vessel_name} is at {temp:.1f} °C, too hot: turn its heat down now.",
                    vessel_name=context.vessel_name(vessel),
                    temp=temp,
                )
            if self.band.below(temp) and context.progress.held_s > 0.0:
                return tr(
                    "The {vessel_name} is at {temp:.1f} °C, too cold again: turn its heat up now.",
                    vessel_name=context.vessel_name(vessel),
                    temp=temp,
                )
        return ""

    def _may_come_back(self, context: Context, vessel: str) -> bool:
        """Whether its probe shows something that does not count just now, and was not asked about: lifted to stir."""
        probe = context.probe_in(vessel)
        return (
            probe is not None
            and context.shown_c(probe) is not None
            and probe not in context.state.probes_asked
        )

    def begin(self, context: Context) -> list[ev.Event]:
        """What they are at now, where it is known."""
        return self._log(context)

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Readings move it on; without a thermometer, typed values do."""
        if isinstance(given, TypeValue):
            return self._typed(context, given.value)
        if isinstance(given, Degrees):
            return self._read(context, given)
        if pressed(given, ChoiceKey.MOVED):
            return self._probe_moved(context)
        return []

    # --- measured ------------------------------------------------------------------------------------

    def _read(self, context: Context, given: Degrees) -> list[ev.Event]:
        vessel = context.state.probes.get(given.probe)
        if vessel not in self.vessels:
            return []
        if (
            context.probe_c(given.probe) is None
        ):  # off its curve, or its digits stand: what it shows is no fact
            return self._hold(context)
        bath = isinstance(self.step, Heat) and self.step.bath
        forecaster(context, vessel, "heat", self.band.low, bath).push(context.now_s, given.temp_c)
        out = [*self._crossings(context, vessel, given.temp_c), *self._due_log(context)]
        out += self._hold(context)
        return out

    def _crossings(
        self, context: Context, vessel: str, temp: float, source: ev.Source = ev.Source.MEASURED
    ) -> list[ev.Event]:
        """Into the band, or out of it again: what is read has to fall a little further than what is stated."""
        inside, slack_k = vessel in context.progress.in_band, 0.0 if source is ev.Source.STATED else LEFT_K
        crossed = (
            (ev.BandEntered if not self.band.below(temp) else None)
            if not inside
            else (ev.BandLeft if self.band.below(temp + slack_k) else None)
        )
        if crossed is None:
            return []
        said = crossed(
            at_s=context.now_s, step=self.step.key, vessel=vessel, temp_c=round(temp, 2), source=source
        )
        # Nobody saw for how long it had been out: what is stated is held anew.
        anew = inside and self.by_hand(context)
        return [said, self.stage(context, Stage.FIRST)] if anew else [said]

    def _overshoot(self, context: Context, vessel: str, temp: float) -> ev.Event:
        grade = ev.Grade(graded(temp - self.band.high, 0.0, temp >= self.over_c))
        text = tr(
            "{vessel_name}: {temp:.1f} °C, band {low:g} to {high:g} °C.",
            vessel_name=context.vessel_name(vessel),
            temp=temp,
            low=self.band.low,
            high=self.band.high,
        )
        return self.deviation(context, grade, tr_noop("above the heating band"), text)

    def _due_log(self, context: Context) -> list[ev.Event]:
        last = context.counts.scratch.get("logged")
        if last is not None and context.now_s - last < LOG_EVERY_S:
            return []
        return self._log(context)

    def _log(self, context: Context) -> list[ev.Event]:
        temps = tuple((v, round(t, 2)) for v in self.vessels if (t := self._fresh(context, v)) is not None)
        context.counts.scratch["logged"] = context.now_s
        return [self.logged(context, *temps)] if temps else []

    def _fresh(self, context: Context, vessel: str) -> float | None:
        probe = context.probe_in(vessel)
        return None if probe is None else context.probe_c(probe)

    def _hold(self, context: Context) -> list[ev.Event]:
        clock = self.clock(context)
        probes = [p for v in self.vessels if (p := context.probe_in(v))]
        standing = [d for p in probes if (d := context.state.probe_doubts.get(p)) and d.kind == STANDS]
        begins = bool(standing) and clock.pending_s is None
        if standing:
            clock.doubt(context.now_s, min(d.since_s for d in standing))
        else:
            clock.settle(counts=context.state.uncredited.isdisjoint(probes))
        stuck = {d.vessel for d in standing}
        held = clock.look(context.now_s, [self._seen(context, v, v in stuck) for v in self.vessels])
        if standing:
            return (
                [self._progress(context, held, coldest_c)]
                if begins and (coldest_c := clock.coldest_c)
                else []
            )
        coldest = clock.coldest_c
        if coldest is None or not clock.running:
            return []
        if exact(held) >= self.hold_s:
            stood = not_moved(context, self.vessels, self.hold_s)
            return [self._progress(context, held, coldest), *stood, *self._log(context), self.finish(context)]
        if held - context.progress.held_s >= HOLD_EVERY_S:
            return [self._progress(context, held, coldest)]
        return []

    def _seen(self, context: Context, vessel: str, stands: bool) -> float | None:
        """The vessel's temperature; by digits that stand too, for time that may be credited once they move."""
        probe = context.probe_in(vessel)
        return context.shown_c(probe) if stands and probe else context.temp_c(vessel)

    def _progress(self, context: Context, held: float, coldest: float) -> ev.Event:
        return ev.HoldProgressed(
            at_s=context.now_s, step=self.step.key, held_s=round(held, 1), coldest_c=round(coldest, 2)
        )

    def _probe_moved(self, context: Context) -> list[ev.Event]:
        here = next((v for v in self.vessels if context.probe_in(v)), self.vessels[0])
        probe = context.probe_in(here)
        other = self.next_vessel(here)
        if probe is None or other == here:
            return []
        return [*self._log(context), ev.ProbeMoved(at_s=context.now_s, probe=probe, vessel=other)]

    # --- typed ---------------------------------------------------------------------------------------

    def _typed(self, context: Context, value: float) -> list[ev.Event]:
        vessel = self.asked(context)
        logged = self.logged(context, (vessel, value), source=ev.Source.STATED)
        out = [logged, *self._crossings(context, vessel, value, ev.Source.STATED)]
        if self.band.above(value):
            out.append(self._overshoot(context, vessel, value))
        inside = (context.progress.in_band | {vessel}) if not self.band.below(value) else set()
        if not inside.issuperset(self.vessels):
            return out
        if not self.by_hand(context):
            return [*out, self.stage(context, Stage.HOLDING)]
        held = context.attended_s  # as far as somebody was there who could state it
        if held < self.hold_s:
            return out
        return [*out, self._progress(context, held, value), self.finish(context)]

    def act_view(self, context: Context) -> ActView:
        """Both vessels in the bath with their temperatures."""
        return act_view_of(self, context)
