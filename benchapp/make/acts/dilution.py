"""A mixture made at the bench, of which a share is then weighed: the carrier into a clean boat, then a line of the formula
into it; it gets a name of its own."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import ClassVar

from benchapp import events as ev
from benchapp.foundation.band import Target
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import to_division
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.begun import Begun
from benchapp.make.acts.boat import BoatWeighing
from benchapp.make.acts.lot import lot_in_hand, take_lot
from benchapp.make.acts.pan import cleared
from benchapp.make.inputs import Input, TypeValue
from benchapp.make.state import DILUTION_VESSEL
from benchapp.make.vocabulary import ChoiceKey, Stage
from procedures.formula import FormulaLine

#: How many times a part may be what was asked for, or what was asked for the part: more is a slip of the finger.
TYPED_TIMES = 3.0
#: How far either part may be off: its strength is reckoned from what was weighed.
PART_SHARE = 0.1


@dataclass(frozen=True)
class DilutionPlan:
    """``part`` grams of ``line`` into ``carrier`` grams of another line, for about ``percent`` percent; the lots of the
    lines in ``lots`` are asked for first."""

    line: FormulaLine
    percent: float
    part: Target
    carrier_line: FormulaLine
    carrier: Target
    lots: tuple[FormulaLine, ...]


@dataclass(frozen=True)
class DilutionAct(Act):
    """An act in which a mixture may be made on ``scale`` ("" by hand), and the stage it stands at otherwise."""

    undiluted: ClassVar[Stage] = Stage.FIRST

    scale: str = ""
    scale_checked: bool = False

    def noticed(self, context: Context, given: Input) -> list[ev.Event]:
        """Its boat off and on."""
        if self.scale:
            Begun(context, self.scale, "", math.inf).hear(given)
        return []

    def dilution_plan(self, context: Context) -> DilutionPlan | None:
        """What is to be mixed; None where nothing need be, or can be."""
        raise NotImplementedError

    def diluted(self, context: Context, made: ev.DilutionMade) -> list[ev.Event]:
        """What follows at once when it is made."""
        raise NotImplementedError


def part_target(grams: float, division_g: float) -> Target:
    """A part in whole divisions, and how far it may be off."""
    grams = max(to_division(grams, division_g), division_g)
    return Target.within(grams, max(PART_SHARE * grams, 2 * division_g), division_g)


def begin_dilution(act: DilutionAct, context: Context) -> list[ev.Event]:
    """Its lots first, then an empty scale; what is left of an earlier one is thrown away."""
    plan = act.dilution_plan(context)
    if plan is None:
        return []
    return [*discarded(act, context, plan.line.key), _first_stage(act, context, plan)]


def lot_asked(context: Context, plan: DilutionPlan) -> FormulaLine | None:
    """The line whose lot is not in hand yet."""
    return next((line for line in plan.lots if lot_in_hand(context, line.key) is None), None)


def _first_stage(act: DilutionAct, context: Context, plan: DilutionPlan) -> ev.Event:
    stage = Stage.DILUTION_LOT if lot_asked(context, plan) is not None else Stage.DILUTION_CLEAR
    return act.stage(context, _or_by_hand(act, stage))


def _or_by_hand(act: DilutionAct, stage: Stage) -> Stage:
    return Stage.DILUTION_WATER if stage == Stage.DILUTION_CLEAR and not act.scale else stage


def discarded(act: Act, context: Context, line: str = "") -> list[ev.Event]:
    """What is left of the mixtures of this step, of all lines or of one, as waste: it keeps no longer than a step."""
    out: list[ev.Event] = []
    for key, made in context.state.dilutions.items():
        left_g = context.state.diluted_left_g.get(key, 0.0)
        if made.step != act.step.key or (line and key != line) or left_g <= 0:
            continue
        share = made.solution_g / (made.solution_g + made.water_g)
        out += [
            ev.MaterialRemoved(
                at_s=context.now_s,
                step=act.step.key,
                line=of,
                vessel=DILUTION_VESSEL,
                removed_g=round(grams, 4),
            )
            for of, grams in ((key, left_g * share), (made.water, left_g * (1.0 - share)))
            if grams > 0
        ]
    return out


def dilute(act: DilutionAct, context: Context, given: Input) -> list[ev.Event]:
    """One stage at a time: lots, empty scale, carrier, line."""
    plan, stage = act.dilution_plan(context), context.progress.stage
    if plan is None:
        return [act.stage(context, act.undiluted)]
    if pressed(given, ChoiceKey.START_OVER):
        return [act.stage(context, _or_by_hand(act, Stage.DILUTION_CLEAR))]
    if stage.asks_lot:
        return _lot(act, context, given, plan)
    if stage == Stage.DILUTION_CLEAR:
        still = context.still_g(act.scale, 1.0)
        gone = None if still is None else cleared(act, context, act.scale, still)
        return [] if gone is None else [*gone, act.stage(context, Stage.DILUTION_WATER)]
    return _weighed(act, context, given, plan)


def _lot(act: DilutionAct, context: Context, given: Input, plan: DilutionPlan) -> list[ev.Event]:
    line = lot_asked(context, plan) or plan.line
    out = take_lot(act, context, line.key, given) or []
    if not out or not isinstance(out[-1], ev.LotTaken):
        return out
    more = any(lot_in_hand(context, x.key) is None and x.key != line.key for x in plan.lots)
    stage = Stage.DILUTION_LOT if more else _or_by_hand(act, Stage.DILUTION_CLEAR)
    return [*out, act.stage(context, stage)]


def _weighed(act: DilutionAct, context: Context, given: Input, plan: DilutionPlan) -> list[ev.Event]:
    """The boat, then the carrier, then the line, each as it rests in its band or as it is typed."""
    target = part_of(plan, context)
    if isinstance(given, TypeValue):
        return _part_taken(act, context, plan, given.value, ev.Source.STATED)
    boat = boat_of(act, context, target)
    if act.scale and (more := boat.stood.went_on(act, given)):
        return more
    still = boat.rested_g(given)
    if still is None:
        return []
    if not boat.begun:
        return [act.pour_began(context, plan.carrier_line.key, act.scale, still)]
    out = _part_taken(act, context, plan, context.net_g(act.scale, still), ev.Source.MEASURED)
    pouring_on = context.progress.stage == Stage.DILUTION_WATER
    return [*out, act.pour_began(context, plan.line.key, act.scale, still)] if pouring_on else out


def part_of(plan: DilutionPlan, context: Context) -> Target:
    """Of the part that is being weighed."""
    return plan.carrier if context.progress.stage == Stage.DILUTION_WATER else plan.part


def boat_of(act: DilutionAct, context: Context, target: Target) -> BoatWeighing:
    """The boat the mixture is made in."""
    return BoatWeighing(context, act.scale, target, DILUTION_VESSEL)


def _part_taken(
    act: DilutionAct, context: Context, plan: DilutionPlan, grams: float, source: ev.Source
) -> list[ev.Event]:
    if context.progress.stage == Stage.DILUTION_WATER:
        name = plan.carrier_line.name.casefold()
        carrier = act.number_taken(
            context,
            tr("{name} for a dilution of {name_2}", name=name, name_2=plan.line.name),
            grams,
            "g",
            source,
        )
        return [carrier, act.stage(context, Stage.DILUTION_SOLUTION)]
    lots = context.state.lots
    of_line, of_carrier = lots.get(plan.line.key), lots.get(plan.carrier_line.key)
    count = 1 + sum(isinstance(e, ev.DilutionMade) for e in context.state.log)
    made = ev.DilutionMade(
        at_s=context.now_s, step=act.step.key, act=act.key, line=plan.line.key, name=f"D{count}", solution_g=grams,
        water=plan.carrier_line.key, water_g=context.progress.value or 0.0, source=source,
        device=act.scale if source is ev.Source.MEASURED else "", lot=of_line.lot if of_line else "",
        water_lot=of_carrier.lot if of_carrier else "",
    )  # fmt: skip
    return [made, *act.diluted(context, made)]


def dosed_parts(dose: ev.WeightTaken, made: ev.DilutionMade) -> list[ev.Event]:
    """A weighing of a mixture as it counts: what of it is the line and what the carrier, each a weighing of its own."""
    share = made.solution_g / (made.solution_g + made.water_g)
    return [_share_of(dose, share, made.line, made.lot, made.name, dose.net_g),
            _share_of(dose, 1.0 - share, made.water, made.water_lot, made.name, 0.0)]  # fmt: skip


def _share_of(
    dose: ev.WeightTaken, share: float, line: str, lot: str, dilution: str, diluted_g: float
) -> ev.WeightTaken:
    return ev.WeightTaken(
        at_s=dose.at_s, step=dose.step, act=dose.act, line=line, vessel=dose.vessel,
        target_g=round(dose.target_g * share, 5), low_g=round(dose.low_g * share, 5),
        high_g=round(dose.high_g * share, 5), net_g=round(dose.net_g * share, 5), gross_g=None, source=dose.source,
        device=dose.device, checked=dose.checked, lot=lot, dilution=dilution, diluted_g=diluted_g,
    )  # fmt: skip
