"""Measure: how it is measured, and the number typed; against its limits, and once more where it is outside."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.foundation.language import number, tr, tr_noop
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.typed_twice import doubted_choices, insisted
from benchapp.make.inputs import Input, TypeValue
from benchapp.make.pictures import BandPicture
from benchapp.make.plan import Plan
from benchapp.make.view_model import ActView, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.steps import Measure

#: The largest number that can be typed.
LARGEST = 1e6


def acts(step: Measure, plan: Plan) -> tuple[Act, ...]:
    """One number."""
    return (TypedNumber("measure", step),)


@dataclass(frozen=True)
class TypedNumber(Act):
    """A number outside its limits is asked for once more before it is taken, with the reason why it stays so."""

    @property
    def brief(self) -> str:
        """What is measured."""
        return tr("Measure the {what}", what=self._measure.what)

    @property
    def _measure(self) -> Measure:
        assert isinstance(self.step, Measure)
        return self.step

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """In its limits it is taken; outside, the maker measures again or says that it is so."""
        step, band = self._measure, self._measure.expect
        if isinstance(given, TypeValue):
            taken = self.number_taken(context, step.what, given.value, step.unit)
            if band is None or band.holds(given.value):
                return [taken, self.finish(context)]
            return [taken, self.stage(context, Stage.TYPED)]
        if context.progress.stage != Stage.TYPED:
            return []
        if pressed(given, ChoiceKey.TYPE_AGAIN):
            return [self.stage(context, Stage.FIRST)]
        if band is None or not (reason := insisted(given)):
            return []
        found = f"{step.what}: {number(context.progress.value or 0.0)} {step.unit}"
        text = tr(
            "{found}, expected {low:g} to {high:g} {unit}. {reason}",
            found=found,
            low=band.low,
            high=band.high,
            unit=step.unit,
            reason=reason,
        )
        return [
            self.deviation(context, ev.Grade.MINOR, tr_noop("measured out of band"), text),
            self.finish(context),
        ]

    def act_view(self, context: Context) -> ActView:
        """How, and what to type."""
        step, band = self._measure, self._measure.expect
        typed = context.progress.stage == Stage.TYPED
        value = context.progress.value if typed else None
        picture = BandPicture(step.what, value, band.low, band.high, step.unit) if band else None
        middle = (band.low + band.high) / 2 if band else 1.0
        ask = NumberRequest(step.what, step.unit, -LARGEST, LARGEST, 2, usual=True)
        want = Want(Verb.TYPE, "measured", step.vessel, amount=middle)
        if not typed:
            text = tr("Measure the {what}, and type it in {unit}.", what=step.what, unit=step.unit)
            return ActView(text, context.progress.stage, picture=picture, note=step.how, ask=ask, want=want)
        choices = doubted_choices(tr("Measure again"))
        limits = (
            tr("It should be {low:g} to {high:g} {unit}.", low=band.low, high=band.high, unit=step.unit)
            if band
            else ""
        )
        return ActView(f"{number(value or 0.0)} {step.unit}?", Stage.TYPED, picture=picture, not_yet=(limits,),
                       choices=choices, ask=ask, note=step.how, want=want)  # fmt: skip
