"""A gate: something may only be done while a temperature is right; going on all the same is a deviation."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.band import Band
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.confirm import Task
from benchapp.make.inputs import Input, Press, TypeValue
from benchapp.make.pictures import PourOverPicture
from benchapp.make.plan import Plan
from benchapp.make.view_model import ActView, Choice, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Verb
from procedures.steps import Step

#: What was right when the pour began may be said so long afterwards, in seconds: an emptied pot cools at once
#: (common practice, no source).
POUR_S = 120.0


@dataclass(frozen=True)
class PlaceProbe(Task):
    """Put a probe into a vessel; passes by itself where one stands in it already."""

    vessel: str = ""

    def begin(self, context: Context) -> list[ev.Event]:
        """Already in."""
        return [self.finish(context)] if context.probe_in(self.vessel) else []


def ensure_probe(step: Step, vessel: str, plan: Plan, nth: int = 0) -> tuple[Act, ...]:
    """A probe in that vessel, where the bench has one; the ``nth`` of them from 0, so that each vessel has its own."""
    if len(plan.probes) <= nth:
        return ()
    probe = plan.probes[nth][1]
    name = plan.vessel(vessel).name
    text = tr("Wipe {probe} and put it into the {name}.", probe=probe, name=name)
    place = PlaceProbe(
        f"probe {vessel}", step, text, yes=tr("It is in"), moves=((probe, vessel),), vessel=vessel,
        note=tr("Clear of wall and bottom."), want=Want(Verb.PROBE_IN, thing=probe, vessel=vessel),
    )  # fmt: skip
    return (place,)


@dataclass(frozen=True)
class Gate(Act):
    """Do ``text`` while every vessel is inside its limits and the vessels are near each other."""

    text: str = ""
    yes: str = "Done"
    note: str = ""
    vessels: tuple[str, ...] = ()
    low_c: float | None = None
    high_c: float | None = None
    within_k: float | None = None
    grade: ev.Grade = ev.Grade.MINOR
    kind: str = tr_noop("temperature out of band")
    thermometers: tuple[str, ...] = ()
    want: Want | None = None
    emptied: str = ""  # the vessel that is poured out: what is left in it cools at once

    @property
    def band(self) -> Band:
        """The limits, open where none is given."""
        return Band.of(self.low_c, self.high_c)

    @property
    def devices(self) -> tuple[str, ...]:
        """The thermometers, where a temperature is asked for."""
        return self.thermometers if self._asks_temperatures else ()

    @property
    def _asks_temperatures(self) -> bool:
        return self.low_c is not None or self.high_c is not None or self.within_k is not None

    @property
    def temperatures(self) -> tuple[str, ...]:
        """Those that are asked for."""
        return self.vessels if self.devices or self.within_k is not None else ()

    @property
    def poured(self) -> str:
        """The vessel that is poured out into the first of the others, "" where none is."""
        return self.want.thing if self.want is not None and self.want.verb == Verb.TRANSFER else ""

    @property
    def brief(self) -> str:
        """The sentence."""
        return self.text

    def _temps(self, context: Context) -> dict[str, float | None]:
        return {v: context.temp_c(v) for v in self.vessels}

    def why_not(self, context: Context) -> tuple[str, ...]:
        """Each thing that is not right, with its live number; a pot that was right when it was poured out is let cool."""
        if self.emptied and self._was_right(context):
            return self._why_not(context, tuple(v for v in self.vessels if v != self.emptied))
        return self._why_not(context, self.vessels)

    def _why_not(self, context: Context, vessels: tuple[str, ...]) -> tuple[str, ...]:
        if not self._asks_temperatures:
            return ()
        out: list[str] = []
        temps = {v: t for v, t in self._temps(context).items() if v in vessels}
        for vessel, temp in temps.items():
            name = context.vessel_name(vessel)
            if temp is None:
                out.append(tr("{name}: temperature not known.", name=name))
            elif self.band.below(temp):
                out.append(
                    tr(
                        "{name}: {temp:.1f} °C, has to be at least {low_c:g} °C.",
                        name=name,
                        temp=temp,
                        low_c=self.low_c,
                    )
                )
            elif self.band.above(temp):
                out.append(
                    tr(
                        "{name}: {temp:.1f} °C, has to be at most {high_c:g} °C.",
                        name=name,
                        temp=temp,
                        high_c=self.high_c,
                    )
                )
        known = [t for t in temps.values() if t is not None]
        if self.within_k is not None and len(known) == 2 and exact(abs(known[0] - known[1])) > self.within_k:
            gap = abs(known[0] - known[1])
            out.append(
                tr("The two are {gap:.1f} K apart, at most {within_k:g} K.", gap=gap, within_k=self.within_k)
            )
        return tuple(out)

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Yes, while all is right; "anyway" with a reason otherwise; typed temperatures count as stated."""
        if isinstance(given, TypeValue):
            vessel = self._asked(context)
            if vessel is None:
                return []
            return [self.logged(context, (vessel, given.value), source=ev.Source.STATED)]
        why = self.why_not(context)
        if not self._why_not(context, self.vessels):
            self._remember(context)
        if not isinstance(given, Press):
            return []
        if given.key == ChoiceKey.YES and not why:
            return [*self._log(context), self.confirm(context, self.text), self.finish(context)]
        if given.key == ChoiceKey.ANYWAY and why and given.reason:
            note = self.deviation(
                context,
                self.grade,
                self.kind,
                tr("{names} Done all the same: {reason}", names=" ".join(why), reason=given.reason),
            )
            return [*self._log(context), note, self.confirm(context, self.text), self.finish(context)]
        return []

    def _remember(self, context: Context) -> None:
        """When all was right last, and how warm each vessel was then."""
        context.counts.scratch["right at"] = context.now_s
        for vessel, temp in self._temps(context).items():
            if temp is not None and context.probe_in(vessel):
                context.counts.scratch[f"right {vessel}"] = temp

    def _was_right(self, context: Context) -> bool:
        """Whether all was right a moment ago: it is being poured, and what is left in a pot cools."""
        return self.open_within(context, POUR_S)

    def open_within(self, context: Context, seconds: float) -> bool:
        """Whether all was right within the last so many seconds."""
        return context.now_s - context.counts.scratch.get("right at", -1e9) <= seconds

    def _asked(self, context: Context) -> str | None:
        """Whose temperature is typed next: what is not known, then what is not right, then what was stated longest ago."""
        temps, logged = self._temps(context), context.state.temps_c

        def turn(vessel: str) -> tuple[int, float]:
            temp = temps[vessel]
            if temp is None:
                return 0, 0.0
            right = not (self.band.below(temp) or self.band.above(temp))
            return 2 if right else 1, logged[vessel][1] if vessel in logged else 0.0

        return min(self.vessels, key=turn, default=None)

    def _log(self, context: Context) -> list[ev.Event]:
        then = context.counts.scratch if self.emptied and self._was_right(context) else {}
        temps = tuple(
            (v, round(then.get(f"right {v}", t), 2)) for v in self.vessels
            if (p := context.probe_in(v)) and (t := context.probe_c(p)) is not None
        )  # fmt: skip
        return [self.logged(context, *temps)] if temps else []

    def act_view(self, context: Context) -> ActView:
        """The sentence, the temperatures, what is not right."""
        why = self.why_not(context)
        order = sorted(self.vessels, key=lambda v: v != self.poured)  # as it is poured: out of the first
        live = tuple(context.live_temp(v) for v in order)
        choices = (
            (Choice(ChoiceKey.ANYWAY, tr("Do it all the same"), serious=True, reason=True),)
            if why
            else (Choice(ChoiceKey.YES, self.yes),)
        )
        vessel = self._asked(context)
        ask = None
        if self._asks_temperatures:
            what = (
                tr("temperature of the {vessel_name}", vessel_name=context.vessel_name(vessel))
                if vessel
                else "temperature"
            )
            ask = NumberRequest(what, "°C", 0.0, 110.0, 1, usual=not self.thermometers)
        want = (
            Want(Verb.WAIT_GATE, amount=self.low_c or 0.0, limit=self.high_c or 0.0)
            if why
            else (self.want or Want(Verb.CONFIRM, self.text))
        )
        return ActView(
            self.text, live=live, picture=self._picture(context), not_yet=why, choices=choices, ask=ask, want=want,
            note=self.note,
        )  # fmt: skip

    def _picture(self, context: Context) -> PourOverPicture | None:
        """The two vessels of a pour, with the limits that hold for it."""
        if not self.poured or self.want is None:
            return None
        source, into = self.poured, self.want.vessel
        asked = source in self.vessels
        return PourOverPicture(
            context.vessel_name(source), context.vessel_name(into),
            context.temp_c(source) if asked else None, context.temp_c(into) if into in self.temperatures else None,
            self.low_c, self.high_c, self.within_k,
        )  # fmt: skip
