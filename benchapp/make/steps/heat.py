"""Heat: several phases at once into a band, and kept there for the hold."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from benchapp import events as ev
from benchapp.calculations.excursion import graded
from benchapp.calculations.hold import HoldClock
from benchapp.calculations.water_loss import loss_while_heating
from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.confirm import Task
from benchapp.make.acts.waiting import curve_of, forecaster, foretold
from benchapp.make.inputs import Degrees, Input, TypeValue
from benchapp.make.plan import Plan
from benchapp.make.probes import STANDS, not_moved
from benchapp.make.view_model import ActView, Choice, Forecast, HeatPicture, LiveValue, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.steps import Heat, TopUp

#: For the estimate of lost water only: the room, and how long a bath takes (common practice, no source).
ROOM_C, HEATING_S = 21.0, 1500.0
#: How often temperatures and hold times go into the journal, in seconds.
LOG_EVERY_S = 30.0
HOLD_EVERY_S = 15.0


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
class HeatAndHold(Act):
    """All vessels to the band; the hold counts while the coldest is above the band's lower limit."""

    vessels: tuple[str, ...] = ()
    thermometers: tuple[str, ...] = ()
    band: Band = field(default_factory=lambda: Band(70.0, 75.0))
    hold_s: float = 0.0
    over_c: float = 85.0
    probed: bool = False  # a probe stands in every vessel

    @property
    def devices(self) -> tuple[str, ...]:
        """The thermometers."""
        return self.thermometers

    @property
    def waits(self) -> bool:
        """While a thermometer watches every vessel."""
        return self.probed

    @property
    def sure_s(self) -> float:
        """The hold."""
        return self.hold_s

    @property
    def open_end(self) -> str:
        """It warms as fast as it warms."""
        return tr_noop("heating")

    @property
    def temperatures(self) -> tuple[str, ...]:
        """All of them."""
        return self.vessels

    @property
    def ties(self) -> frozenset[str]:
        """What it is about."""
        return frozenset(self.vessels)

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

    @property
    def brief(self) -> str:
        """Where to and how long."""
        return tr(
            "Heat to {low:g}–{high:g} °C, hold {hold_s:g} min",
            low=self.band.low,
            high=self.band.high,
            hold_s=self.hold_s / 60,
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

    def _crossings(self, context: Context, vessel: str, temp: float) -> list[ev.Event]:
        inside = vessel in context.progress.in_band
        out: list[ev.Event] = []
        if not inside and not self.band.below(temp):
            out.append(ev.BandEntered(at_s=context.now_s, step=self.step.key, vessel=vessel, temp_c=temp))
        elif inside and temp < self.band.low - 0.3:
            out.append(ev.BandLeft(at_s=context.now_s, step=self.step.key, vessel=vessel, temp_c=temp))
        return out

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
        if not temps:
            return []
        return [
            ev.TemperaturesLogged(
                at_s=context.now_s, step=self.step.key, temps_c=temps, source=ev.Source.MEASURED
            )
        ]

    def _fresh(self, context: Context, vessel: str) -> float | None:
        probe = context.probe_in(vessel)
        return None if probe is None else context.probe_c(probe)

    def _hold(self, context: Context) -> list[ev.Event]:
        clock = self._clock(context)
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

    def _clock(self, context: Context) -> HoldClock:
        if context.counts.hold is None:
            context.counts.hold = HoldClock(self.band.low, context.progress.held_s)
        return context.counts.hold

    def _foretold(self, context: Context, held: float) -> tuple[Forecast | None, tuple[str, ...]]:
        """The end of the hold; before that, when the vessel that takes longest is warm enough."""
        cold = [v for v in self.vessels if (t := context.temp_c(v)) is None or self.band.below(t)]
        if not cold:
            left = max(0.0, self.hold_s - held)
            return Forecast("held", left, left, left), ()
        answers = [foretold(context, v, self._warm_enough(context, v)) for v in cold]
        noticed = tuple(word for _, words in answers for word in words)
        known = [answer for answer, _ in answers if answer is not None]
        if len(known) < len(cold):
            return None, noticed
        return max(known, key=lambda f: f.middle_s), noticed

    def _warm_enough(self, context: Context, vessel: str) -> str:
        """What is foretold of a vessel, which is named where it is one of several."""
        if len(self.vessels) == 1:
            return tr("at {low:g} °C", low=self.band.low)
        name = context.vessel_name(vessel)
        return tr("{vessel_name} at {low:g} °C", vessel_name=name, low=self.band.low)

    def _progress(self, context: Context, held: float, coldest: float) -> ev.Event:
        return ev.HoldProgressed(
            at_s=context.now_s, step=self.step.key, held_s=round(held, 1), coldest_c=round(coldest, 2)
        )

    def _probe_moved(self, context: Context) -> list[ev.Event]:
        here = next((v for v in self.vessels if context.probe_in(v)), self.vessels[0])
        probe = context.probe_in(here)
        other = self._next_vessel(here)
        if probe is None or other == here:
            return []
        return [*self._log(context), ev.ProbeMoved(at_s=context.now_s, probe=probe, vessel=other)]

    def _next_vessel(self, here: str) -> str:
        place = self.vessels.index(here)
        return self.vessels[(place + 1) % len(self.vessels)]

    # --- typed ---------------------------------------------------------------------------------------

    def _typed(self, context: Context, value: float) -> list[ev.Event]:
        vessel = self._asked(context)
        logged = ev.TemperaturesLogged(
            at_s=context.now_s, step=self.step.key, temps_c=((vessel, value),), source=ev.Source.STATED
        )
        out: list[ev.Event] = [logged]
        if not self.band.below(value) and vessel not in context.progress.in_band:
            out.append(
                ev.BandEntered(
                    at_s=context.now_s, step=self.step.key, vessel=vessel, temp_c=value, source=ev.Source.STATED
                )
            )  # fmt: skip
        elif self.band.below(value) and vessel in context.progress.in_band:
            out.append(
                ev.BandLeft(
                    at_s=context.now_s, step=self.step.key, vessel=vessel, temp_c=value, source=ev.Source.STATED
                )
            )  # fmt: skip
        if self.band.above(value):
            out.append(self._overshoot(context, vessel, value))
        inside = (context.progress.in_band | {vessel}) if not self.band.below(value) else set()
        if not inside.issuperset(self.vessels):
            return out
        if context.progress.stage != Stage.HOLDING:
            return [*out, self.stage(context, Stage.HOLDING)]
        held = self._stated_s(context)
        if held < self.hold_s:
            return out
        return [*out, self._progress(context, held, value), self.finish(context)]

    def _stated_s(self, context: Context) -> float:
        """How long it has been held by what was typed, without the time the program was away."""
        since_s, away_s = context.progress.stage_at_s, 0.0
        for event in reversed(context.state.log):
            if event.at_s < since_s:
                break
            if isinstance(event, ev.MakeResumed):
                away_s += event.gap_s
        return max(context.now_s - since_s - away_s, 0.0)

    def _asked(self, context: Context) -> str:
        cold = [v for v in self.vessels if v not in context.progress.in_band]
        return cold[0] if cold else self.vessels[0]

    # --- showing -------------------------------------------------------------------------------------

    def act_view(self, context: Context) -> ActView:
        """Both vessels in the bath with their temperatures."""
        temps = tuple((v, context.temp_c(v)) for v in self.vessels)
        rows = tuple((context.vessel_name(v), t, t is not None and not self.band.below(t)) for v, t in temps)
        held = self._clock(context).held_s
        curves = tuple(curve_of(context, v) for v in self.vessels)
        picture = HeatPicture(rows, self.band.low, self.band.high, self.over_c, held, self.hold_s, curves)
        live = tuple(self._live(context, v, t) for v, t in temps)
        not_yet = tuple(x.lacks for x in live if x.lacks)
        unread = any(t is None and context.probe_in(v) is not None for v, t in temps)
        if not not_yet and unread:
            not_yet = (self._uncounted(context),)
        elif not not_yet and held < self.hold_s:
            not_yet = (
                tr(
                    "Held {held:.0f} of {hold_s:.0f} min in the band.",
                    held=held / 60,
                    hold_s=self.hold_s / 60,
                ),
            )
        forecast, noticed = self._foretold(context, held)
        text = tr("Heat to {low:g}–{high:g} °C.", low=self.band.low, high=self.band.high)
        then = tr("Then hold {minutes:g} min.", minutes=self.hold_s / 60) if self.hold_s else ""
        if unread and not any(x.lacks for x in live):
            text, then = tr("See that the heat is on."), text
        too_hot = any(self.band.above(t) for _, t in temps if t is not None)
        cold = any(t is None or self.band.below(t) for _, t in temps)
        move = (
            tr("Turn it down") if too_hot else tr("Heat it up") if unread else "" if cold else tr("Hold it")
        )
        choices: tuple[Choice, ...] = ()
        if self.thermometers and len(self.vessels) > len([v for v in self.vessels if context.probe_in(v)]):
            here = next((v for v in self.vessels if context.probe_in(v)), self.vessels[0])
            there = context.vessel_name(self._next_vessel(here))
            choices = (Choice(ChoiceKey.MOVED, tr("Probe wiped and moved to the {there}", there=there)),)
        asked = context.vessel_name(self._asked(context))
        ask = NumberRequest(
            tr("temperature of the {asked}", asked=asked), "°C", 0.0, 110.0, 1, usual=not self.thermometers
        )
        return ActView(text, context.progress.stage, live, picture, (*not_yet, *noticed), choices, ask, forecast=forecast,
                    want=Want(Verb.HEAT, amount=self.band.low, limit=self.band.high), note=then, move=move, then=then)  # fmt: skip

    def _uncounted(self, context: Context) -> str:
        """What to do while a probe reads nothing that counts: it gives nothing, or was only just put in."""
        for vessel in self.vessels:
            probe = context.probe_in(vessel)
            if probe is not None and context.shown_c(probe) is None:
                name = context.vessel_name(vessel)
                return tr("No reading from the {name}: put its probe in.", name=name)
        return tr("What the probes read counts in a moment.")

    def _live(self, context: Context, vessel: str, temp: float | None) -> LiveValue:
        """A vessel's temperature, and how much it lacks."""
        live = context.live_temp(vessel, self._word(temp))
        if temp is None or not self.band.below(temp):
            return live
        lacks = tr(
            "{vessel_name}: {temp:.1f} °C, needs {low:g} °C.",
            vessel_name=context.vessel_name(vessel),
            temp=temp,
            low=self.band.low,
        )
        return replace(live, to_go=exact(self.band.low - temp), lacks=lacks)

    def _word(self, temp: float | None) -> str:
        if temp is None:
            return tr_noop("no reading")
        return tr_noop("far above") if temp >= self.over_c else self.band.word(temp)
