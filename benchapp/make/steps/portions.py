"""What the scale cannot carry in its own vessel: weighed into a jug in portions, each booked and emptied over, the jug weighed
back each time."""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass, field
from typing import ClassVar

from benchapp import events as ev
from benchapp.calculations.portions import LOAD_SHARE, Portion
from benchapp.foundation.band import Band, Target, lower_limit
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import to_division
from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.confirm import ReadBack
from benchapp.make.acts.emptied import FULL_SHARE, Emptied
from benchapp.make.acts.pour import Pour
from benchapp.make.acts.vessel import VesselOn
from benchapp.make.plan import Plan
from benchapp.make.steps.melting import melted_before
from benchapp.make.view_model import ActView
from benchapp.make.vocabulary import ChoiceKey
from procedures.steps import Step


def portioned(step: Step, jug: str, vessel: str, plan: Plan) -> tuple[Act, ...]:
    """The acts that bring the lines of a step into a vessel by its jug; the vessel is weighed empty before, where it is
    poured out later, so that what stays in it is known then."""
    scale = plan.scale_for(jug)
    if scale is None:
        return ()
    out: list[Act] = []
    if _poured_out_later(step, vessel, plan) and _carried_empty(vessel, plan):
        out.append(VesselOn(f"vessel {vessel}", step, vessel=vessel, device=scale.name))
    out.append(VesselOn(f"vessel {jug}", step, vessel=jug, device=scale.name, poured_out=True))
    for n, load in enumerate(plan.loads[step.key], 1):
        for portion in load:
            out += _one(step, jug, portion, plan)
        out.append(JugEmptied(f"empty {jug} {n}", step, vessel=jug, into=vessel, device=scale.name, number=n))
    return tuple(out)


def _poured_out_later(step: Step, vessel: str, plan: Plan) -> bool:
    """Whether it is filled for the first time here, and emptied into another one by a later step."""
    keys = [s.key for s in plan.procedure.steps]
    moves = {key: said.moves for key, said in plan.declared.items() if said.moves is not None}
    before, after = keys[: keys.index(step.key)], keys[keys.index(step.key) + 1 :]
    first = not any(key in moves and moves[key].into == vessel for key in before)
    return first and any(key in moves and moves[key].source == vessel for key in after)


def _carried_empty(vessel: str, plan: Plan) -> bool:
    scale, empty_g = plan.scale_for(vessel), plan.vessel(vessel).empty_g
    return scale is not None and empty_g is not None and empty_g <= LOAD_SHARE * (scale.capacity_g or empty_g)


def _one(step: Step, jug: str, portion: Portion, plan: Plan) -> tuple[Act, ...]:
    """One portion: melted where it has to be, read back, poured."""
    scale, key = plan.scale_for(jug), portion.line if portion.of == 1 else f"{portion.line} {portion.number}"
    assert scale is not None
    melted = melted_before(step, portion.line) if portion.number == 1 else ()
    return (
        *melted,
        ReadBack(f"read {key}", step, line=portion.line, grams=portion.grams),
        PortionPour(
            f"pour {key}", step, line=portion.line, vessel=jug, device=scale.name, checked=bool(scale.checked),
            portion=portion,
        ),
    )  # fmt: skip


@dataclass(frozen=True)
class PortionPour(Pour):
    """One portion of a line: an equal share of what is still missing of it, within its share of the line's own tolerance."""

    whole_formula: ClassVar[bool] = False

    portion: Portion = field(default=Portion("", 0.0))

    def name(self, context: Context) -> str:
        """The line, and which portion of it."""
        name, portion = super().name(context), self.portion
        return (
            name
            if portion.of == 1
            else tr("{name}, portion {number} of {of}", name=name, number=portion.number, of=portion.of)
        )

    def _others(self, context: Context) -> list[ev.WeightTaken]:
        """The portions of the line that are booked, without this one."""
        taken = context.state.weights.get(self.line, ())
        return [w for w in taken if w.step == self.step.key and w.act != self.key]

    def _missing_g(self, context: Context) -> float:
        """Of the whole line, in grams."""
        return super().target(context).grams - sum(w.net_g for w in self._others(context))

    def begin(self, context: Context) -> list[ev.Event]:
        """Nothing is missing any more where earlier portions were larger."""
        return [] if self._missing_g(context) >= context.division_g(self.device) else [self.finish(context)]

    def target(self, context: Context) -> Target:
        """What an earlier portion lacks or has too much, the later ones make up for."""
        whole, division = super().target(context), context.division_g(self.device)
        left = max(self.portion.of - len({w.act for w in self._others(context)}), 1)
        grams = to_division(self._missing_g(context) / left, division)
        share = grams / whole.grams if whole.grams else 0.0
        below, above = whole.grams - whole.band.low, whole.band.high - whole.grams
        low, high = max(share * below, division), max(share * above, division) if above else 0.0
        return Target(grams, Band(lower_limit(grams, low, division), grams + high))

    def taken(self, context: Context, net: float, gross: float | None, source: ev.Source) -> list[ev.Event]:
        """Booked by itself, as the portion it is."""
        out = super().taken(context, net, gross, source)
        number, of = self.portion.number, self.portion.of
        return [
            dataclasses.replace(e, portion=number, portions=of) if isinstance(e, ev.WeightTaken) else e
            for e in out
        ]


@dataclass(frozen=True)
class JugEmptied(Emptied):
    """The jug poured into the vessel and weighed back; what stays in it goes in with the next load."""

    number: int = 1

    def begin(self, context: Context) -> list[ev.Event]:
        """Nothing went into it in this step: there is nothing to pour over."""
        taken = (w for took in context.state.weights.values() for w in took if w.vessel == self.vessel)
        filled = any(w.step == self.step.key for w in taken)
        return super().begin(context) if filled else [self.finish(context)]

    @property
    def brief(self) -> str:
        """What is done with it."""
        return tr("Empty the jug into its vessel")

    def act_view(self, context: Context) -> ActView:
        """As long as it stands there full: where it goes."""
        view, account = super().act_view(context), context.state.ledger.of(self.vessel)
        gross = context.gross_g(self.device)
        full = (account.empty_g or 0.0) + account.content_g
        if gross is None or abs(gross - full) > FULL_SHARE * full:
            return view
        text = tr(
            "Pour the {vessel_name} into the {vessel_name_2}.",
            vessel_name=context.vessel_name(self.vessel),
            vessel_name_2=context.vessel_name(self.into),
        )
        choices = tuple(c for c in view.choices if c.key != ChoiceKey.THAT_IS_ALL)
        return dataclasses.replace(
            view,
            instruction=text,
            note=tr("Then put it back on the scale: what stayed in it is weighed."),
            not_yet=(),
            choices=choices,
        )
