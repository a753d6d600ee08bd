"""Fill: bottle after bottle on the scale, each one weighed, until the batch is out."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.calculations.filling import judge_fill
from benchapp.events.judging import MEAN_CONTENT
from benchapp.foundation.language import capitalised, tr, tr_noop, translated
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.pan import cleared, pan_is_empty
from benchapp.make.acts.taking import DWELL_S
from benchapp.make.acts.typed_twice import TYPED, insisted
from benchapp.make.inputs import Grams, Input, Press, TypeValue
from benchapp.make.plan import Plan
from benchapp.make.steps import fill_view, kept_back
from benchapp.make.steps.fill_count import ContainerFill
from benchapp.make.steps.fill_warm import before_filling, warm_gate, watched
from benchapp.make.view_model import ActView
from benchapp.make.vocabulary import ChoiceKey, Stage
from procedures.steps import Fill


def acts(step: Fill, plan: Plan) -> tuple[Act, ...]:
    """Warm enough, where the step asks for it; one act that counts bottles, on the largest scale; then what the step asks
    about them."""
    gate = warm_gate(step, plan)
    scales = sorted((d for d in plan.devices if d.kind == "scale"), key=lambda d: d.capacity_g or 0)
    scale = scales[-1] if scales else None
    return (
        *before_filling(step, gate, plan),
        Bottles(
            "bottles", step, vessel=step.vessel, nominal_ml=step.nominal_ml, nominal_g=step.nominal_g,
            container=step.container, count=step.count, device=scale.name if scale else "",
            checked=bool(scale and scale.checked), warm=gate, moulds=bool(step.unmould),
        ),
        *kept_back.acts(step),
    )  # fmt: skip


@dataclass(frozen=True)
class Bottles(ContainerFill):
    """Empty bottle, fill, rest in band, lift, next."""

    def begin(self, context: Context) -> list[ev.Event]:
        """Whatever stands on the scale from before has to go first. A scale too coarse for the label is noted."""
        if not self.device:
            return []
        coarse = self.coarse(context)
        noted = [self.deviation(context, ev.Grade.NOTE, tr_noop("coarse scale"), coarse)] if coarse else []
        return [*noted, self.stage(context, Stage.CLEAR)]

    def noticed(self, context: Context, given: Input) -> list[ev.Event]:
        """Its container off and on."""
        if self.device:
            self.stood(context).hear(given)
        return []

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """What the temperature wants first; then the container."""
        said = None if self.warm is None else watched(self, self.warm, context, given)
        return self._filled(context, given) if said is None else said

    def _filled(self, context: Context, given: Input) -> list[ev.Event]:
        """Bottle on, filled, lifted; or typed; or that was the last."""
        if isinstance(given, TypeValue):
            return self._typed(context, given.value) if given.value > 0 else []
        if context.progress.stage == Stage.TYPED:
            return self._typed_decision(context, given)
        if isinstance(given, Press) and given.key == ChoiceKey.LAST and self.filled(context):
            if not self.may_end(context):
                return []
            last = self._on_the_scale(context)
            nets = tuple(x.net_g for x in last if isinstance(x, ev.BottleFilled))
            return [*last, *self._judged(context, nets), self.finish(context)]
        if pressed(given, ChoiceKey.START_OVER):
            return [self.stage(context, Stage.CLEAR)]
        taking, stood = self.taking(context), self.stood(context)
        if self.device and (more := stood.went_on(self, given)):
            return more
        stood.hear(given)
        if not self.device or (self.may_be_taken(context) and taking.objecting(given)):
            return []
        at_once = taking.insisted(given)
        if not at_once and (not isinstance(given, Grams) or given.device != self.device):
            return []
        still = context.rested_g(self.device, 0.0 if at_once else DWELL_S)
        if still is None or (not at_once and taking.objected):
            return []
        if not at_once and self.may_be_taken(context) and taking.held_back:
            return []
        return [] if stood.left else self._rests(context, still)

    def _rests(self, context: Context, still: float) -> list[ev.Event]:
        """What stands there at rest: gone, put on empty, or full."""
        progress = context.progress
        if progress.stage in (Stage.CLEAR, Stage.LIFT):
            gone = cleared(self, context, self.device, still)
            return [] if gone is None else [*gone, self.stage(context, Stage.FIRST)]
        if progress.baseline_g is None:
            if pan_is_empty(context, self.device, still):
                return []
            return [self.pour_began(context, "", self.device, still)]
        return (
            self._bottle(context, context.net_g(self.device, still), ev.Source.MEASURED)
            if self.fits(context, still)
            else []
        )

    def _typed(self, context: Context, net: float) -> list[ev.Event]:
        """Taken within its limits; outside, it is asked for once more: a slip of the finger is no container."""
        if self.target(context).band.holds(net):
            return self._bottle(context, net, ev.Source.STATED)
        return [self.number_taken(context, TYPED, net, "g"), self.stage(context, Stage.TYPED)]

    def _typed_decision(self, context: Context, given: Input) -> list[ev.Event]:
        net = context.progress.value
        if pressed(given, ChoiceKey.TYPE_AGAIN):
            begun = not self.device or context.progress.baseline_g is not None
            return [self.stage(context, Stage.FIRST if begun else Stage.CLEAR)]
        if net is None or not (reason := insisted(given)):
            return []
        return self._bottle(context, net, ev.Source.STATED, tr("Typed. {reason}", reason=reason))

    def _bottle(self, context: Context, net: float, source: ev.Source, why: str = "") -> list[ev.Event]:
        out = self._counted(context, net, source, why)
        if self.count is not None and len(self.filled(context)) + 1 >= self.count:
            return [*out, *self._judged(context, (net,)), self.finish(context)]
        return [*out, self.stage(context, Stage.LIFT if source is ev.Source.MEASURED else Stage.FIRST)]

    def _counted(self, context: Context, net: float, source: ev.Source, why: str = "") -> list[ev.Event]:
        target = self.target(context)
        band, number = target.band, self.next_number(context)
        filled = ev.BottleFilled(
            at_s=context.now_s, step=self.step.key, vessel=self.vessel, number=number, net_g=net, low_g=band.low, target_g=target.grams, source=source,
            device=self.device,
        )  # fmt: skip
        out: list[ev.Event] = [filled]
        if band.above(net):
            text = tr(
                "{container} {number}: {net:g} g, {net_2:.1f} g more than needed.",
                container=capitalised(translated(self.container)),
                number=number,
                net=net,
                net_2=net - target.grams,
            )
            out.append(self.deviation(context, ev.Grade.NOTE, "overfilled", f"{text} {why}".rstrip()))
        if band.below(net):
            short = self.nominal(context) - net
            grade = ev.Grade.MAJOR if short > self.tolerable_g(context) else ev.Grade.MINOR
            text = tr(
                "{container} {number}: {net:g} g, {short:.1f} g short of its label.",
                container=capitalised(translated(self.container)),
                number=number,
                net=net,
                short=short,
            )
            out.append(self.deviation(context, grade, "underfilled", f"{text} {why}".rstrip()))
        return out

    def _judged(self, context: Context, last: tuple[float, ...]) -> list[ev.Event]:
        """The packers' rules over all containers: every one was weighed."""
        nets = [*(b.net_g for b in self.filled(context)), *last]
        tolerable = self.tolerable_g(context)
        if not nets or not tolerable:
            return []
        step_g = context.division_g(self.device) if self.device else 0.1
        judged = judge_fill(nets, self.nominal(context), tolerable, step_g)
        mean = self.number_taken(context, MEAN_CONTENT, round(judged.mean_g, 3), "g", ev.Source.COMPUTED)
        if judged.passed:
            return [mean]
        before = self.before(context)
        refill = ", ".join(
            tr("{container} {before} by {g:g} g", container=self.container, before=before + n, g=g)
            for n, g in judged.refill_g.items()
        )
        grade = ev.Grade.MAJOR if judged.unfit or not judged.mean_holds else ev.Grade.MINOR
        return [
            mean,
            self.deviation(context, grade, tr_noop("packers' rules"), tr("Refill {refill}.", refill=refill)),
        ]

    def _on_the_scale(self, context: Context) -> list[ev.Event]:
        """What stands there as the last one is said to be filled: a full container counts like any other, what is in a
        short one is a rest, not a product."""
        progress = context.progress
        still = context.still_g(self.device, 0.5) if self.device else None
        if progress.baseline_g is None or still is None or progress.stage in (Stage.CLEAR, Stage.LIFT):
            return []
        net = context.net_g(self.device, still)
        if self.fits(context, still):
            return self._counted(context, net, ev.Source.MEASURED)
        if net <= 0:
            return []
        return [
            ev.SampleTaken(
                at_s=context.now_s, step=self.step.key, vessel=self.vessel, mass_g=net, what=ev.SHORT,
                source=ev.Source.MEASURED,
            )
        ]  # fmt: skip

    def act_view(self, context: Context) -> ActView:
        """The container that is being filled, and those that are."""
        return fill_view.act_view_of(self, context)
