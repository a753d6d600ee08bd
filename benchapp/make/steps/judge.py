"""Look: appearance, smell and thickness against a description; density from a known volume."""

from __future__ import annotations

from dataclasses import dataclass, replace

from benchapp import events as ev
from benchapp.calculations.filling import density_at_20_g_ml
from benchapp.events.judging import DENSITY, VOLUME_MASS, VOLUME_TEMP
from benchapp.foundation.language import number, tr, tr_noop
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.typed_twice import doubted_choices, insisted
from benchapp.make.inputs import Input, Press, TypeValue
from benchapp.make.pictures import BandPicture, ListPicture
from benchapp.make.plan import Plan
from benchapp.make.view_model import ActView, Choice, LiveValue, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.steps import Density, Fill, LookOver


def acts(step: LookOver, plan: Plan) -> tuple[Act, ...]:
    """One judgement each."""
    names = tuple(x.name for x in step.looks)
    return tuple(
        Judge(f"look {n}", step, name=x.name, expect=x.expect, names=names, place=n)
        for n, x in enumerate(step.looks)
    )


@dataclass(frozen=True)
class Judge(Act):
    """Is it as described?"""

    name: str = ""
    expect: str = ""
    names: tuple[str, ...] = ()
    place: int = 0

    @property
    def brief(self) -> str:
        """What is judged."""
        return tr("Judge: {name}", name=self.name)

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """As described, or different in the maker's own words."""
        if not isinstance(given, Press) or given.key not in (ChoiceKey.YES, ChoiceKey.DIFFERENT):
            return []
        if given.key == ChoiceKey.DIFFERENT and not given.reason:
            return []
        good = given.key == ChoiceKey.YES
        judged = ev.LookJudged(
            at_s=context.now_s, step=self.step.key, name=self.name, expect=self.expect,
            as_expected=good, words=given.reason,
        )  # fmt: skip
        if good:
            return [judged, self.finish(context)]
        text = tr(
            "{name}: expected {expect}, found {reason}",
            name=self.name,
            expect=self.expect,
            reason=given.reason,
        )
        return [
            judged,
            self.deviation(context, ev.Grade.MINOR, tr_noop("not as described"), text),
            self.finish(context),
        ]

    def act_view(self, context: Context) -> ActView:
        """The description and two choices."""
        return ActView(
            tr("{name}: {expect}?", name=self.name, expect=self.expect),
            picture=ListPicture(self.names, self.place),
            choices=(
                Choice(ChoiceKey.YES, tr("It is so")),
                Choice(ChoiceKey.DIFFERENT, tr("It is different"), serious=True, reason=True),
            ),
            want=Want(Verb.JUDGE, self.name),
        )


def density(step: Density, plan: Plan) -> tuple[Act, ...]:
    """One number, of a sample of what is filled next."""
    steps = plan.procedure.steps
    filled = next((s.vessel for s in steps[steps.index(step) :] if isinstance(s, Fill)), "")
    return (MeasureDensity("density", step, volume_ml=step.volume_ml, vessel=filled),)


@dataclass(frozen=True)
class MeasureDensity(Act):
    """The mass of a known volume, typed; the density at 20 °C follows, where declared volumes count (76/211/EEC)."""

    volume_ml: float = 100.0
    vessel: str = ""

    @property
    def brief(self) -> str:
        """What is measured."""
        return tr("Measure the density")

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Mass over volume, brought from the vessel's temperature to 20 °C; outside its band it is asked for once more."""
        if isinstance(given, TypeValue):
            mass = self.number_taken(context, VOLUME_MASS, given.value, "g")
            if given.value > 0 and self._off(context, given.value):
                return [mass, self.stage(context, Stage.TYPED)]
            return [mass, *self._taken(context, given.value), self.finish(context)] if given.value > 0 else []
        mass_g = context.progress.value
        if context.progress.stage != Stage.TYPED or mass_g is None:
            return []
        if pressed(given, ChoiceKey.TYPE_AGAIN):
            return [self.stage(context, Stage.FIRST)]
        if not (reason := insisted(given)):
            return []
        text = f"{self._off(context, mass_g)} {reason}"
        off = self.deviation(context, ev.Grade.MINOR, tr_noop("density out of band"), text)
        return [*self._taken(context, mass_g), off, self.finish(context)]

    def _density(self, context: Context, mass_g: float) -> float:
        temp_c = self._temp_c(context)
        return round(density_at_20_g_ml(mass_g / self.volume_ml, 20.0 if temp_c is None else temp_c), 4)

    def _off(self, context: Context, mass_g: float) -> str:
        """A sentence where that mass is outside the band, else ""."""
        band = self.step.expect_g_ml if isinstance(self.step, Density) else None
        value = self._density(context, mass_g)
        if band is None or band.holds(value):
            return ""
        return tr(
            "Density {value:g} g/ml, expected {low:g} to {high:g} g/ml.",
            value=value,
            low=band.low,
            high=band.high,
        )

    def _taken(self, context: Context, mass_g: float) -> list[ev.Event]:
        temp_c, out = self._temp_c(context), list[ev.Event]()
        if temp_c is not None:
            out.append(self.number_taken(context, VOLUME_TEMP, round(temp_c, 1), "°C", ev.Source.MEASURED))
        density = self._density(context, mass_g)
        return [*out, self.number_taken(context, DENSITY, density, "g/ml", ev.Source.COMPUTED)]

    def _temp_c(self, context: Context) -> float | None:
        """The temperature of the vessel the sample is from, None where no probe tells."""
        return context.temp_c(self.vessel) if self.vessel else None

    def act_view(self, context: Context) -> ActView:
        """How, and what to type; or whether what was typed is so."""
        view, mass_g = self._asked(context), context.progress.value
        if context.progress.stage != Stage.TYPED or mass_g is None:
            return view
        why, again = self._off(context, mass_g), doubted_choices(tr("Type it again"))
        return replace(
            view, instruction=f"{number(mass_g)} g?", stage=Stage.TYPED, not_yet=(why,), choices=again
        )

    def _asked(self, context: Context) -> ActView:
        band = self.step.expect_g_ml if isinstance(self.step, Density) else None
        picture = BandPicture("density", None, band.low, band.high, "g/ml") if band else None
        text = tr("Weigh what fills {volume_ml:g} ml, and type it.", volume_ml=self.volume_ml)
        note = tr(
            "Tap the air out of a sample first, and fill a {volume_ml:g} ml measure level.",
            volume_ml=self.volume_ml,
        )
        temp_c = self._temp_c(context)
        note += (
            tr(" Measure it near 20 °C: no probe tells how warm it is.")
            if temp_c is None
            else tr(
                " Measure it at once: from {temp_c:.0f} °C it is brought to 20 °C (computed).", temp_c=temp_c
            )
        )
        live = LiveValue("density", None, "g/ml", 3, ev.Source.COMPUTED, "")
        ask = NumberRequest(
            tr("mass of {volume_ml:g} ml", volume_ml=self.volume_ml),
            "g",
            0.1 * self.volume_ml,
            2.0 * self.volume_ml,
            2,
            usual=True,
        )
        return ActView(
            text,
            note=note,
            live=(live,),
            picture=picture,
            ask=ask,
            want=Want(Verb.TYPE, "density", self.vessel, amount=self.volume_ml),
        )
