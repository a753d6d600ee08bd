"""A line that its scale is too coarse for: mixed with what the step weighs before it, and a share of the mixture weighed."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.calculations.overpour import Remedies
from benchapp.foundation.band import Target
from benchapp.foundation.language import number, tr, tr_noop
from benchapp.foundation.numbers import to_division
from benchapp.make.acts.base import Context, pressed
from benchapp.make.acts.dilution import (
    DilutionAct,
    DilutionPlan,
    begin_dilution,
    dilute,
    dosed_parts,
    part_target,
)
from benchapp.make.acts.dilution_view import dilution_view
from benchapp.make.acts.pour import Pour
from benchapp.make.inputs import Input, Press
from benchapp.make.remedies import band_of
from benchapp.make.state import DILUTION_VESSEL
from benchapp.make.view_model import ActView, Choice, Want
from benchapp.make.vocabulary import ChoiceKey, Verb


@dataclass(frozen=True)
class Thinning(DilutionAct):
    """Mix ``line`` with its carrier, or leave it: then it is weighed as it is."""

    line: str = ""

    @property
    def devices(self) -> tuple[str, ...]:
        """The scale."""
        return (self.scale,) if self.scale else ()

    @property
    def brief(self) -> str:
        """What it is about."""
        return tr("Mix it first")

    def dilution_plan(self, context: Context) -> DilutionPlan | None:
        """By the plan's own sums, at the size of the batch."""
        weighing = context.plan.weighings[self.line]
        mixture = weighing.mixture
        if mixture is None:
            return None
        division, line = context.division_g(self.scale), weighing.line
        part, carrier = (part_target(g, division) for g in (mixture.way.material_g, mixture.way.carrier_g))
        return DilutionPlan(
            line, mixture.way.strength_percent, part, mixture.carrier, carrier, (mixture.carrier, line)
        )

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Mixed or not, then one stage after the other."""
        if context.progress.stage.on_dilution:
            return dilute(self, context, given)
        if pressed(given, ChoiceKey.YES):
            return begin_dilution(self, context)
        if isinstance(given, Press) and given.key == ChoiceKey.ANYWAY and given.reason:
            text = tr(
                "{line_name} is weighed as it is: {reason}",
                line_name=context.plan.line_name(self.line),
                reason=given.reason,
            )
            return [
                self.deviation(context, ev.Grade.NOTE, tr_noop("not mixed first"), text),
                self.finish(context),
            ]
        return []

    def diluted(self, context: Context, made: ev.DilutionMade) -> list[ev.Event]:
        """So much less of the carrier is weighed by itself."""
        carried_g = _dose_g(context, self.line, made) * (1.0 - _share(made))
        return [_carrier(context, self.step.key, made, -carried_g), self.finish(context)]

    def act_view(self, context: Context) -> ActView:
        """Why, and what it comes to."""
        plan = self.dilution_plan(context)
        if context.progress.stage.on_dilution or plan is None:
            return dilution_view(self, context)
        weighing = context.plan.weighings[self.line]
        name, division = weighing.line.name, context.division_g(self.scale)
        why = tr(
            "{target_g:g} g of {name} is too little for a scale that shows {division:g} g.",
            target_g=weighing.target_g,
            name=name,
            division=division,
        )
        what = tr(
            "{grams:g} g of {name} with {grams_2:g} g of {name_2}",
            grams=plan.part.grams,
            name=name,
            grams_2=plan.carrier.grams,
            name_2=plan.carrier_line.name,
        )
        return ActView(
            tr("Mix {name} first.", name=name), context.progress.stage, not_yet=(why,), note=tr("{what}; a share of it is weighed later.", what=what),
            choices=(Choice(ChoiceKey.YES, tr("Mix it")), Choice(ChoiceKey.ANYWAY, tr("Weigh it as it is"), serious=True, reason=True)),
            want=Want(Verb.CONFIRM, self.line),
        )  # fmt: skip


@dataclass(frozen=True)
class ThinnedPour(Pour):
    """The share of the mixture that holds the line's grams; the line itself where nothing was mixed."""

    def made(self, context: Context) -> ev.DilutionMade | None:
        """The mixture of this step."""
        found = context.state.dilutions.get(self.line)
        return found if found is not None and found.step == self.step.key else None

    def thing(self, context: Context) -> str:
        """What is poured."""
        return self.line if self.made(context) is None else DILUTION_VESSEL

    def name(self, context: Context) -> str:
        """The mixture is called by its name."""
        made, name = self.made(context), super().name(context)
        return name if made is None else tr("mixture {name} ({name_2})", name=made.name, name_2=name)

    def target(self, context: Context) -> Target:
        """Grams of the mixture, as near as the line's own tolerance asks: that is what it was mixed for."""
        made, of_line = self.made(context), super().target(context)
        if made is None:
            return of_line
        grams = to_division(of_line.grams / _share(made), context.division_g(self.device))
        return Target(grams, band_of(context, self.line, grams))

    def taken(self, context: Context, net: float, gross: float | None, source: ev.Source) -> list[ev.Event]:
        """What of it is the line and what the carrier; the rest of the mixture is waste, and the carrier is whole again."""
        made = self.made(context)
        weighed = super().taken(context, net, gross, source)
        whole = weighed[-1]
        if made is None or not isinstance(whole, ev.WeightTaken):
            return weighed
        left = context.state.diluted_left_g.get(self.line, 0.0)
        rest = [
            ev.MaterialRemoved(
                at_s=context.now_s, step=self.step.key, line=line, vessel=DILUTION_VESSEL,
                removed_g=round(max(left - net, 0.0) * share, 4),
            )
            for line, share in ((made.line, _share(made)), (made.water, 1.0 - _share(made)))
        ]  # fmt: skip
        carried_g = _dose_g(context, self.line, made) * (1.0 - _share(made))
        return [*dosed_parts(whole, made), *rest, _carrier(context, self.step.key, made, carried_g)]

    def remedies(self, context: Context, net_g: float | None = None) -> Remedies | None:
        """Worked out for the line's own grams."""
        made = self.made(context)
        net = context.progress.taken_g or 0.0 if net_g is None else net_g
        return super().remedies(context, net if made is None else net * _share(made))


def _share(made: ev.DilutionMade) -> float:
    return made.solution_g / (made.solution_g + made.water_g)


def _dose_g(context: Context, line: str, made: ev.DilutionMade) -> float:
    target = context.state.revised.get(line) or context.plan.weighings[line].target
    return target.grams / _share(made)


def _carrier(context: Context, step: str, made: ev.DilutionMade, by_g: float) -> ev.Event:
    """The carrier's own target with so much more; what a mixture brings counts for it once that is weighed."""
    before = context.state.revised.get(made.water) or context.plan.weighings[made.water].target
    grams = to_division(before.grams + by_g, context.plan.weighings[made.water].division_g)
    band = band_of(context, made.water, grams)
    what = tr("is weighed by itself") if by_g < 0 else tr("is in, with what the mixture brought")
    return ev.TargetsRevised(
        at_s=context.now_s, step=step, why=f"{context.plan.line_name(made.water)}: {number(grams)} g {what} ({made.name})",
        batch_g=context.state.batch_g or context.plan.batch_g, additions=(),
        targets=((made.water, grams, band.low, band.high),),
    )  # fmt: skip
