"""A weaker solution made at the bench: water into a clean boat, then the solution into the water; it gets a name of its own."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.calculations.ph_formula import dilution_g
from benchapp.foundation.band import Target
from benchapp.foundation.numbers import to_division
from benchapp.make.acts.base import Context, pressed
from benchapp.make.acts.lot import take_lot
from benchapp.make.acts.taking import DWELL_S, Taking
from benchapp.make.acts.vessel import cleared, pan_is_empty
from benchapp.make.dosing import AtHand, solution_in
from benchapp.make.inputs import Grams, Input, TypeValue
from benchapp.make.state import DILUTION_VESSEL
from benchapp.make.steps.ph_known import PhAct
from benchapp.make.vocabulary import ChoiceKey, Stage
from procedures.formula import FormulaLine

#: Grams of a weaker solution that are worth making at once, and the most (common practice, no source).
MAKE_G, MAKE_MOST_G = 50.0, 200.0
#: The solution in it should be at least so many divisions of its scale: a tenth off at worst.
SOLUTION_DIVISIONS = 10.0
#: How far either part may be off: its strength is reckoned from what was weighed.
PART_SHARE = 0.1


@dataclass(frozen=True)
class DilutionPlan:
    """``solution`` grams of ``line`` into ``water`` grams of the formula's water, for about ``percent`` percent."""

    line: FormulaLine
    percent: float
    solution: Target
    water_line: FormulaLine
    water: Target


def dilution_plan(act: PhAct, context: Context) -> DilutionPlan | None:
    """What would do where every solution at hand is too strong for its scale; None where it need not, or cannot, be made."""
    found = act.suggested(context)
    water = next((x for x in context.plan.procedure.formula.lines if x.material.role == "water"), None)
    if found is None or not found.dilute_to_percent or found.solution is None or water is None:
        return None
    line = next(x.line for x in act.at_hand(context) if x.solution == found.solution)
    bought = solution_in(line)
    if bought is None or not found.dilute_to_percent < bought.percent:
        return None
    division = act.division_g(context)
    weighable = SOLUTION_DIVISIONS * division * bought.percent / found.dilute_to_percent
    solution_g, water_g = dilution_g(
        bought, found.dilute_to_percent, min(max(MAKE_G, weighable), MAKE_MOST_G)
    )
    return DilutionPlan(
        line, found.dilute_to_percent, _part(solution_g, division), water, _part(water_g, division)
    )


def _part(grams: float, division_g: float) -> Target:
    grams = max(to_division(grams, division_g), division_g)
    return Target.within(grams, max(PART_SHARE * grams, 2 * division_g), -grams)


def begin_dilution(act: PhAct, context: Context) -> list[ev.Event]:
    """Its lot first, then an empty scale; what is left of an earlier dilution is thrown away."""
    plan = dilution_plan(act, context)
    if plan is None:
        return []
    first = Stage.DILUTION_CLEAR if plan.line.key in context.state.lots else Stage.DILUTION_LOT
    return [*discarded(act, context, plan.line.key), act.stage(context, _or_by_hand(act, first))]


def _or_by_hand(act: PhAct, stage: Stage) -> Stage:
    return Stage.DILUTION_WATER if stage == Stage.DILUTION_CLEAR and not act.scale else stage


def discarded(act: PhAct, context: Context, line: str = "") -> list[ev.Event]:
    """What is left of the dilutions of this step, of all lines or of one, as waste: it keeps no longer than a step."""
    out: list[ev.Event] = []
    for key, made in context.state.dilutions.items():
        left_g = context.state.diluted_left_g.get(key, 0.0)
        share = made.solution_g / (made.solution_g + made.water_g)
        if made.step == act.step.key and (not line or key == line) and left_g * share > 0:
            out.append(
                ev.MaterialRemoved(
                    at_s=context.now_s, step=act.step.key, line=key, vessel=DILUTION_VESSEL,
                    removed_g=round(left_g * share, 4),
                )
            )  # fmt: skip
    return out


def dilute(act: PhAct, context: Context, given: Input) -> list[ev.Event]:
    """One stage at a time: lot, empty scale, water, solution."""
    plan, stage = dilution_plan(act, context), context.progress.stage
    if plan is None:
        return [act.stage(context, Stage.ADJUST)]
    if pressed(given, ChoiceKey.START_OVER):
        return [act.stage(context, _or_by_hand(act, Stage.DILUTION_CLEAR))]
    if stage in (Stage.DILUTION_LOT, Stage.DILUTION_OTHER_LOTS, Stage.DILUTION_REFUSED):
        out = take_lot(act, context, plan.line.key, given) or []
        taken = bool(out) and isinstance(out[-1], ev.LotTaken)
        return [*out, act.stage(context, _or_by_hand(act, Stage.DILUTION_CLEAR))] if taken else out
    if stage == Stage.DILUTION_CLEAR:
        still = context.still_g(act.scale, 1.0)
        gone = None if still is None else cleared(act, context, act.scale, still)
        return [] if gone is None else [*gone, act.stage(context, Stage.DILUTION_WATER)]
    return _weighed(act, context, given, plan)


def _weighed(act: PhAct, context: Context, given: Input, plan: DilutionPlan) -> list[ev.Event]:
    """The boat, then its water, then the solution, each as it rests in its band or as it is typed."""
    target = part_of(plan, context)
    if isinstance(given, TypeValue) and 0 < given.value <= MAKE_MOST_G:
        return _part_taken(act, context, plan, given.value, ev.Source.STATED)
    if not act.scale:
        return []
    taking = taking_part(act, context, target)
    if taking.objecting(given):
        return []
    at_once = taking.insisted(given)
    if not at_once and (not isinstance(given, Grams) or given.device != act.scale or taking.objected):
        return []
    still = context.still_g(act.scale, 0.0 if at_once else DWELL_S)
    if still is None:
        return []
    if context.progress.baseline_g is None:
        return (
            []
            if pan_is_empty(context, act.scale, still)
            else [_began(act, context, plan.water_line.key, still)]
        )
    if not taking.fits(still) or (not at_once and taking.held_back):
        return []
    out = _part_taken(act, context, plan, context.net_g(act.scale, still), ev.Source.MEASURED)
    pouring_on = (
        [_began(act, context, plan.line.key, still)] if context.progress.stage == Stage.DILUTION_WATER else []
    )
    return [*out, *pouring_on]


def _began(act: PhAct, context: Context, line: str, still_g: float) -> ev.Event:
    return ev.PourBegan(
        at_s=context.now_s, step=act.step.key, act=act.key, line=line, device=act.scale,
        baseline_g=round(still_g + context.zero_g(act.scale), 4),
    )  # fmt: skip


def part_of(plan: DilutionPlan, context: Context) -> Target:
    """Of the part that is being weighed."""
    return plan.water if context.progress.stage == Stage.DILUTION_WATER else plan.solution


def taking_part(act: PhAct, context: Context, target: Target) -> Taking:
    """How a part is taken as it rests: by itself within its band."""
    begun = context.progress.baseline_g is not None
    return Taking(
        context, act.scale, lambda gross: begun and target.band.holds(context.net_g(act.scale, gross))
    )


def _part_taken(
    act: PhAct, context: Context, plan: DilutionPlan, grams: float, source: ev.Source
) -> list[ev.Event]:
    if context.progress.stage == Stage.DILUTION_WATER:
        water = ev.NumberTaken(
            at_s=context.now_s, step=act.step.key, act=act.key, what=f"water for a dilution of {plan.line.name}",
            value=grams, unit="g", source=source,
        )  # fmt: skip
        return [water, act.stage(context, Stage.DILUTION_SOLUTION)]
    lots = context.state.lots
    of_line, of_water = lots.get(plan.line.key), lots.get(plan.water_line.key)
    count = 1 + sum(isinstance(e, ev.DilutionMade) for e in context.state.log)
    made = ev.DilutionMade(
        at_s=context.now_s, step=act.step.key, act=act.key, line=plan.line.key, name=f"D{count}", solution_g=grams,
        water=plan.water_line.key, water_g=context.progress.value or 0.0, source=source,
        device=act.scale if source is ev.Source.MEASURED else "", lot=of_line.lot if of_line else "",
        water_lot=of_water.lot if of_water else "",
    )  # fmt: skip
    return [made, act.stage(context, Stage.ADJUST)]


def dosed_parts(context: Context, dose: ev.WeightTaken, of: AtHand) -> list[ev.Event]:
    """A weighing as it counts: of a dilution, what of it is the line and what is water, each a weighing of its own."""
    made = context.state.dilutions.get(of.line.key) if of.dilution else None
    if made is None:
        return [dose]
    return [_share_of(dose, of.share, made.line, made.lot, made.name, dose.net_g),
            _share_of(dose, 1.0 - of.share, made.water, made.water_lot, made.name, 0.0)]  # fmt: skip


def _share_of(
    dose: ev.WeightTaken, share: float, line: str, lot: str, dilution: str, diluted_g: float
) -> ev.WeightTaken:
    return ev.WeightTaken(
        at_s=dose.at_s, step=dose.step, act=dose.act, line=line, vessel=dose.vessel,
        target_g=round(dose.target_g * share, 5), low_g=round(dose.low_g * share, 5),
        high_g=round(dose.high_g * share, 5), net_g=round(dose.net_g * share, 5), gross_g=None, source=dose.source,
        device=dose.device, checked=dose.checked, lot=lot, dilution=dilution, diluted_g=diluted_g,
    )  # fmt: skip
