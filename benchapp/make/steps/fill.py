"""Fill: bottle after bottle on the scale, each one weighed, until the batch is out."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.calculations.filling import (
    fill_target,
    judge_fill,
    nominal_mass_g,
    tolerable_negative_error,
)
from benchapp.foundation.band import Target
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.pour_view import word_of
from benchapp.make.acts.taking import DWELL_S, Taking
from benchapp.make.acts.vessel import cleared, pan_is_empty
from benchapp.make.inputs import Grams, Input, Press, TypeValue
from benchapp.make.plan import Plan, decimals_of
from benchapp.make.state import SHORT
from benchapp.make.steps.fill_words import how_many, too_coarse
from benchapp.make.view_model import ActView, BottlesPicture, Choice, LiveValue, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.steps import Fill

#: Density taken where the method measured none (water; the record calls it computed).
PLAIN_G_ML = 1.0
#: A container holds at most this much of its label; beyond, it is not one.
ABSURD_SHARE = 1.25


def acts(step: Fill, plan: Plan) -> tuple[Act, ...]:
    """One act that counts bottles, on the largest scale."""
    scales = sorted((d for d in plan.devices if d.kind == "scale"), key=lambda d: d.capacity_g or 0)
    scale = scales[-1] if scales else None
    return (
        Bottles(
            "bottles", step, vessel=step.vessel, nominal_ml=step.nominal_ml, nominal_g=step.nominal_g,
            container=step.container, count=step.count, device=scale.name if scale else "",
            checked=bool(scale and scale.checked),
        ),
    )  # fmt: skip


@dataclass(frozen=True)
class Bottles(Act):
    """Empty bottle, fill, rest in band, lift, next."""

    vessel: str = ""
    nominal_ml: float | None = None
    nominal_g: float | None = None
    container: str = "bottle"
    count: int | None = None
    device: str = ""
    checked: bool = False

    @property
    def devices(self) -> tuple[str, ...]:
        """The scale."""
        return (self.device,) if self.device else ()

    @property
    def brief(self) -> str:
        """What is filled."""
        return f"Fill the {self.container}s"

    def nominal(self, context: Context) -> float:
        """The declared content in grams."""
        if self.nominal_g is not None:
            return self.nominal_g
        assert self.nominal_ml is not None
        return nominal_mass_g(self.nominal_ml, self._density(context))

    def target(self, context: Context) -> Target:
        """What one container is filled to."""
        return fill_target(self.nominal(context), context.division_g(self.device) if self.device else 0.1)

    def tolerable_g(self, context: Context) -> float:
        """How far one container may fall short, in grams; 0 under 5 g or ml, where the packers' table ends."""
        if self.nominal_ml is not None and self.nominal_ml >= 5:
            return nominal_mass_g(tolerable_negative_error(self.nominal_ml), self._density(context))
        if self.nominal_g is not None and self.nominal_g >= 5:
            return tolerable_negative_error(self.nominal_g)
        return 0.0

    def _density(self, context: Context) -> float:
        return context.state.numbers.get("density", PLAIN_G_ML)

    def filled(self, context: Context) -> list[ev.BottleFilled]:
        """The bottles so far."""
        return context.state.bottles.get(self.step.key, [])

    def begin(self, context: Context) -> list[ev.Event]:
        """Whatever stands on the scale from before has to go first. A scale too coarse for the label is noted."""
        if not self.device:
            return []
        coarse = self._coarse(context)
        noted = [self.deviation(context, ev.Grade.NOTE, "coarse scale", coarse)] if coarse else []
        return [*noted, self.stage(context, Stage.CLEAR)]

    def _coarse(self, context: Context) -> str:
        return (
            too_coarse(context, self.device, self.tolerable_g(context), self.container) if self.device else ""
        )

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Bottle on, filled, lifted; or typed; or that was the last."""
        if isinstance(given, TypeValue) and given.value > 0:
            return self._bottle(context, given.value, ev.Source.STATED)
        if isinstance(given, Press) and given.key == ChoiceKey.LAST and self.filled(context):
            if self._still_filling(context):
                return []  # what stands there has to come to rest first
            return [*self._short(context), *self._judged(context, ()), self.finish(context)]
        if pressed(given, ChoiceKey.START_OVER):
            return [self.stage(context, Stage.CLEAR)]
        taking = self._taking(context)
        if not self.device or (self._may_be_taken(context) and taking.objecting(given)):
            return []
        at_once = taking.insisted(given)
        if not at_once and (not isinstance(given, Grams) or given.device != self.device):
            return []
        still = context.still_g(self.device, 0.0 if at_once else DWELL_S)
        if still is None or (not at_once and taking.objected):
            return []
        if not at_once and self._may_be_taken(context) and taking.held_back:
            return []
        progress = context.progress
        if progress.stage in (Stage.CLEAR, Stage.LIFT):
            gone = cleared(self, context, self.device, still)
            return [] if gone is None else [*gone, self.stage(context, Stage.FIRST)]
        if progress.baseline_g is None:
            if pan_is_empty(context, self.device, still):
                return []
            return [
                ev.PourBegan(
                    at_s=context.now_s, step=self.step.key, act=self.key, line="", device=self.device,
                    baseline_g=round(still + context.zero_g(self.device), 4),
                )
            ]  # fmt: skip
        return (
            self._bottle(context, context.net_g(self.device, still), ev.Source.MEASURED)
            if self._fits(context, still)
            else []
        )

    def _may_be_taken(self, context: Context) -> bool:
        """Whether the container as it rests would be taken by itself."""
        progress, still = context.progress, context.still_g(self.device)
        if progress.baseline_g is None or progress.stage in (Stage.CLEAR, Stage.LIFT) or still is None:
            return False
        return self._fits(context, still)

    def _fits(self, context: Context, gross: float) -> bool:
        net = context.net_g(self.device, gross)
        return not self.target(context).band.below(net) and not self._absurd(context, net)

    def _taking(self, context: Context) -> Taking:
        return Taking(context, self.device, lambda gross: self._fits(context, gross))

    def _absurd(self, context: Context, net: float) -> bool:
        """More than any such container holds: something else stands on the scale."""
        return net > ABSURD_SHARE * self.nominal(context)

    def _taken_off(self, context: Context) -> bool:
        """A bottle that was begun is not on the pan."""
        base = context.progress.baseline_g
        still = context.still_g(self.device, 1.0) if self.device else None
        return base is not None and still is not None and pan_is_empty(context, self.device, still)

    def _bottle(self, context: Context, net: float, source: ev.Source) -> list[ev.Event]:
        target = self.target(context)
        band, number = target.band, len(self.filled(context)) + 1
        filled = ev.BottleFilled(
            at_s=context.now_s, step=self.step.key, vessel=self.vessel, number=number, net_g=net, low_g=band.low, target_g=target.grams, source=source
        )  # fmt: skip
        out: list[ev.Event] = [filled]
        if band.above(net):
            text = f"{self.container.capitalize()} {number}: {net:g} g, {net - target.grams:.1f} g more than needed."
            out.append(self.deviation(context, ev.Grade.NOTE, "overfilled", text))
        if band.below(net):
            short = self.nominal(context) - net
            grade = ev.Grade.MAJOR if short > self.tolerable_g(context) else ev.Grade.MINOR
            text = f"{self.container.capitalize()} {number}: {net:g} g, {short:.1f} g short of its label."
            out.append(self.deviation(context, grade, "underfilled", text))
        if self.count is not None and number >= self.count:
            return [*out, *self._judged(context, (net,)), self.finish(context)]
        return [*out, self.stage(context, Stage.LIFT if source is ev.Source.MEASURED else Stage.FIRST)]

    def _judged(self, context: Context, last: tuple[float, ...]) -> list[ev.Event]:
        """The packers' rules over all containers: every one was weighed."""
        nets = [*(b.net_g for b in self.filled(context)), *last]
        tolerable = self.tolerable_g(context)
        if not nets or not tolerable:
            return []
        step_g = context.division_g(self.device) if self.device else 0.1
        judged = judge_fill(nets, self.nominal(context), tolerable, step_g)
        mean = ev.NumberTaken(
            at_s=context.now_s, step=self.step.key, act=self.key, what="mean content", value=round(judged.mean_g, 3),
            unit="g", source=ev.Source.COMPUTED,
        )  # fmt: skip
        if judged.passed:
            return [mean]
        refill = ", ".join(f"{self.container} {n} by {g:g} g" for n, g in judged.refill_g.items())
        grade = ev.Grade.MAJOR if judged.unfit or not judged.mean_holds else ev.Grade.MINOR
        return [mean, self.deviation(context, grade, "packers' rules", f"Refill {refill}.")]

    def _still_filling(self, context: Context) -> bool:
        """Something is on the scale with a container that was begun, and it moves."""
        progress = context.progress
        begun = progress.baseline_g is not None and progress.stage not in (Stage.CLEAR, Stage.LIFT)
        speaks = bool(self.device) and context.gross_g(self.device) is not None
        return begun and speaks and context.still_g(self.device, 0.5) is None

    def _short(self, context: Context) -> list[ev.Event]:
        """What stands in a last, short bottle is a rest, not a product."""
        progress = context.progress
        still = context.still_g(self.device, 0.5) if self.device else None
        if progress.baseline_g is None or still is None:
            return []
        net = context.net_g(self.device, still)
        if net <= 0 or not self.target(context).band.below(net):
            return []
        return [
            ev.SampleTaken(
                at_s=context.now_s, step=self.step.key, vessel=self.vessel, mass_g=net, what=SHORT,
                source=ev.Source.MEASURED,
            )
        ]  # fmt: skip

    def act_view(self, context: Context) -> ActView:
        """The bottle that is being filled, and those that are."""
        target = self.target(context)
        number = len(self.filled(context)) + 1
        decimals = decimals_of(context.plan.device(self.device) if self.device else None)
        gross = context.gross_g(self.device) if self.device else None
        progress = context.progress
        began = progress.baseline_g is not None and progress.stage not in (Stage.CLEAR, Stage.LIFT)
        net = context.net_g(self.device, gross) if began and gross is not None else None
        not_yet = (
            (f"{net:g} g is more than a {self.container} holds. What stands on the scale?",)
            if net and self._absurd(context, net)
            else ()
        )
        picture = BottlesPicture(
            tuple(b.net_g for b in self.filled(context)),
            net,
            target.grams,
            target.band.low,
            target.band.high,
            self.count,
        )
        word = word_of(target, net)
        live = LiveValue(
            f"{self.container} {number}",
            net,
            "g",
            decimals,
            ev.Source.MEASURED,
            self.device,
            word,
            self.checked,
        )
        ask = NumberRequest(
            f"content of {self.container} {number}", "g", 0.0, 20_000.0, decimals, usual=not self.device
        )
        last = self.filled(context) and not self._still_filling(
            context
        )  # what stands there comes to rest first
        choices = [Choice(ChoiceKey.LAST, "That was the last", serious=True)] if last else []
        text, want = self._prompt(context, number, net)
        about = None
        if self.device and self._may_be_taken(context):
            taking = self._taking(context)
            about, not_yet = taking.gone, (taking.word,)
            choices = [*taking.choices, *choices]
            text, want = (taking.question or text), (Want(Verb.REST) if taking.held_back else want)
        if began and self._taken_off(context):
            choices.insert(
                0, Choice(ChoiceKey.START_OVER, f"Begin {self.container} {number} again", serious=True)
            )
            text = f"Put {self.container} {number} back on the {self.device}."
            want = Want(Verb.PUT_BACK, f"{self.container} {number}", self.vessel, self.device)
        return ActView(
            text,
            progress.stage,
            (live,) if self.device else (),
            picture,
            choices=tuple(choices),
            ask=ask,
            want=want,
            note=self._note(context),
            not_yet=not_yet,
            taking=about,
        )

    def _note(self, context: Context) -> str:
        """What the scale cannot tell, or the mean so far; and how many more there will be."""
        nets = [b.net_g for b in self.filled(context)]
        mean = sum(nets) / len(nets) if nets else 0.0
        said = (
            f"Mean so far {mean:.1f} g, label {self.nominal(context):.1f} g (computed)."
            if nets
            else self._coarse(context)
        )
        target = self.target(context).grams
        more = how_many(context, self.vessel, self.container, target, self.count, first=not nets)
        return " ".join(filter(None, (said, more)))

    def _prompt(self, context: Context, number: int, net: float | None) -> tuple[str, Want]:
        target = self.target(context)
        key = f"{self.container} {number}"
        if not self.device:
            return f"Fill {key} with {target.grams:.1f} g and type it.", Want(
                Verb.TYPE, key, self.vessel, amount=target.grams
            )
        if context.progress.stage == Stage.CLEAR:
            return f"Clear the {self.device}.", Want(Verb.LIFT, device=self.device)
        if context.progress.stage == Stage.LIFT:
            return f"Take the {self.container} off and close it.", Want(Verb.LIFT, key, key, self.device)
        if net is None:
            return f"Put empty {key} on the {self.device}.", Want(
                Verb.BOTTLE_ON, key, self.vessel, self.device
            )
        return (
            f"Fill {key} to {target.grams:.1f} g.",
            Want(Verb.FILL, key, self.vessel, self.device, target.grams, target.band.high),
        )
