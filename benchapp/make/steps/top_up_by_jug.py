"""Top up what no scale carries: how much water it lost is computed or stated, and so much goes in by a jug that was weighed
full and is weighed back."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.calculations.water_loss import loss_while_heating
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.vessel import VesselOn
from benchapp.make.inputs import Input, TypeValue
from benchapp.make.plan import Plan
from benchapp.make.steps.portions import JugEmptied
from benchapp.make.steps.replacing import Replace
from benchapp.make.view_model import ActView, Choice, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Verb
from procedures.steps import Heat, TopUp

#: The room, for the estimate of lost water alone, in °C (common practice, no source).
ROOM_C = 21.0
#: More than this share of what is in a vessel is no loss that steam explains (common practice, no source).
MOST_SHARE = 0.4


def by_jug(step: TopUp, line: str, plan: Plan) -> tuple[Act, ...]:
    """The loss, the jug, the water into it, and the jug poured over."""
    scale = plan.scale_for(step.jug)
    if scale is None:
        return ()
    return (
        SteamLoss("loss", step, vessel=step.vessel),
        VesselOn("vessel", step, vessel=step.jug, device=scale.name, poured_out=True),
        Replace(
            "replace", step, line=line, vessel=step.jug, device=scale.name, checked=bool(scale.checked),
            lacking=step.vessel,
        ),
        JugEmptied("empty", step, vessel=step.jug, into=step.vessel, device=scale.name),
    )  # fmt: skip


@dataclass(frozen=True)
class SteamLoss(Act):
    """How much water ``vessel`` lost since it was weighed in, where it cannot be weighed again."""

    vessel: str = ""

    @property
    def brief(self) -> str:
        """What is asked."""
        return tr("Say how much water it lost")

    def _computed_g(self, context: Context) -> float | None:
        """From how wide it is and how long it was how hot; None where the file does not say how wide."""
        width = context.plan.vessel(self.vessel).diameter_mm
        heats = [
            s for s in context.plan.procedure.steps
            if isinstance(s, Heat) and self.vessel in context.plan.declared[s.key].touches
        ]  # fmt: skip
        spans = [(s, _span_s(context, s.key)) for s in heats]
        if width is None:
            return None
        return exact(
            sum(
                loss_while_heating(
                    width, ROOM_C, (s.band_c.low + s.band_c.high) / 2, max(took - s.hold_s, 0.0), min(s.hold_s, took)
                ).likely_g
                for s, took in spans
            )
        )  # fmt: skip

    def _most_g(self, context: Context) -> float:
        return MOST_SHARE * context.state.ledger.of(self.vessel).content_g

    def take(self, context: Context, given: Input) -> list[ev.Event]:
        """Computed, or stated by whoever can see how far it went down."""
        computed = self._computed_g(context)
        if isinstance(given, TypeValue):
            return [self._lost(context, given.value, ev.Source.STATED), self.finish(context)]
        if pressed(given, ChoiceKey.YES) and computed is not None:
            return [self._lost(context, computed, ev.Source.COMPUTED), self.finish(context)]
        return []

    def _lost(self, context: Context, grams: float, source: ev.Source) -> ev.Event:
        held = context.state.ledger.of(self.vessel).contents_g
        return ev.WaterLost(
            at_s=context.now_s, step=self.step.key, vessel=self.vessel, lost_g=exact(grams),
            lines=tuple(sorted(context.plan.water_lines & held.keys())), source=source,
        )  # fmt: skip

    def act_view(self, context: Context) -> ActView:
        """The computed figure, and room to type another one."""
        name, computed = context.vessel_name(self.vessel), self._computed_g(context)
        ask = NumberRequest(
            tr("water lost from the {name}", name=name),
            "g",
            0.0,
            self._most_g(context),
            0,
            usual=computed is None,
        )
        view = ActView(
            tr("How much water did the {name} lose?", name=name),
            note=tr("It is not weighed here. Type what it went down by, if you can see it."),
            ask=ask,
            want=Want(Verb.TYPE, vessel=self.vessel),
        )
        if computed is None:
            return view
        choice = Choice(ChoiceKey.YES, tr("{computed:.0f} g, as computed", computed=computed))
        return dataclasses.replace(view, choices=(choice,), want=Want(Verb.CONFIRM, self.vessel))


def _span_s(context: Context, step: str) -> float:
    """How long a step took; 0 where it was left out."""
    began = next((e.at_s for e in context.state.log if isinstance(e, ev.StepBegan) and e.step == step), None)
    ended = next(
        (e.at_s for e in context.state.log if isinstance(e, ev.StepFinished) and e.step == step), None
    )
    return 0.0 if began is None or ended is None else ended - began
