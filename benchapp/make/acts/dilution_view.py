"""The face of a mixture in the making: which lots, an empty scale, so much carrier, so much of the line into it."""

from __future__ import annotations

from dataclasses import replace

from benchapp.foundation.language import number, tr
from benchapp.make.acts.base import Context
from benchapp.make.acts.dilution import (
    TYPED_TIMES,
    DilutionAct,
    DilutionPlan,
    boat_of,
    lot_asked,
    part_of,
)
from benchapp.make.acts.lot import lot_question
from benchapp.make.state import DILUTION_VESSEL
from benchapp.make.view_model import ActView, NumberRequest, Want
from benchapp.make.vocabulary import Stage, Verb


def dilution_view(act: DilutionAct, context: Context) -> ActView:
    """What this stage of a dilution wants."""
    plan, stage = act.dilution_plan(context), context.progress.stage
    if plan is None:
        return ActView(tr("Nothing is to be diluted."), stage)
    if stage.asks_lot:
        line = lot_asked(context, plan) or plan.line
        return lot_question(context, line, (plan.part if line == plan.line else plan.carrier).grams)
    if stage == Stage.DILUTION_CLEAR:
        return ActView(
            tr("Clear the {scale}.", scale=act.scale), stage, want=Want(Verb.LIFT, device=act.scale)
        )
    return _part_view(act, context, plan)


def _part_view(act: DilutionAct, context: Context, plan: DilutionPlan) -> ActView:
    stage, target = context.progress.stage, part_of(plan, context)
    first = stage == Stage.DILUTION_WATER
    line = plan.carrier_line if first else plan.line
    least_g, most_g = target.grams / TYPED_TIMES, target.grams * TYPED_TIMES
    ask = NumberRequest(
        tr("mass of {name}", name=line.name), "g", least_g, most_g, 2, not act.scale, target.band
    )
    note = (
        tr("{name} first, then {name_2} into it.", name=line.name, name_2=plan.line.name)
        if first
        else tr("Stir it until it is even, and mark the boat.")
    )
    pour = (
        tr("Pour {grams:g} g of {name} into a clean boat.", grams=target.grams, name=line.name)
        if first
        else tr("Weigh {grams:g} g of {name} into the clean boat.", grams=target.grams, name=line.name)
    )
    if not act.scale:
        want = Want(Verb.TYPE, line.key, DILUTION_VESSEL, amount=target.grams)
        return ActView(
            tr("{pour} and type what it was.", pour=pour[:-1]), stage, ask=ask, note=note, want=want
        )
    boat = boat_of(act, context, target)
    face, net = boat.face(line.name, act.scale_checked, ask), boat.net_g
    if not boat.begun:
        text = tr("Put a clean weighing boat on the {scale}.", scale=act.scale)
        return replace(face, instruction=text, want=boat.want(Verb.PUT_ON), note=note)
    lifted = boat.lifted(face)
    if lifted is not None:
        return lifted
    if net is not None and target.band.above(net):
        said = tr("too much: throw it away and begin with an empty boat.")
        text = f"{number(net - target.grams, '.2f')} g {said}"
        return replace(face, instruction=text, choices=(boat.start_over,), want=Want(Verb.REMEDY))
    return boat.filling(replace(face, note=note), pour, line.key)
