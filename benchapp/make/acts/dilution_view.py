"""The face of a mixture in the making: which lots, an empty scale, so much carrier, so much of the line into it."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Context
from benchapp.make.acts.dilution import (
    PART_MOST_G,
    DilutionAct,
    DilutionPlan,
    lot_asked,
    part_of,
    taking_part,
)
from benchapp.make.acts.lot import lot_question
from benchapp.make.acts.vessel import pan_is_empty
from benchapp.make.state import DILUTION_VESSEL
from benchapp.make.view_model import ActView, Choice, LiveValue, NumberRequest, VesselPicture, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb

_LOTS = (Stage.DILUTION_LOT, Stage.DILUTION_OTHER_LOTS, Stage.DILUTION_REFUSED)


def dilution_view(act: DilutionAct, context: Context) -> ActView:
    """What this stage of a dilution wants."""
    plan, stage = act.dilution_plan(context), context.progress.stage
    if plan is None:
        return ActView(tr("Nothing is to be diluted."), stage)
    if stage in _LOTS:
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
    ask = NumberRequest(
        tr("mass of {name}", name=line.name), "g", 0.0, PART_MOST_G, 2, not act.scale, target.band
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
    begun, gross = context.progress.baseline_g is not None, context.gross_g(act.scale)
    net = context.net_g(act.scale, gross) if gross is not None and begun else None
    live = (LiveValue(line.name, net, "g", 2, ev.Source.MEASURED, act.scale, "", act.scale_checked),)
    band = target.band
    picture = VesselPicture(DILUTION_VESSEL, net, target.grams, band.low, band.high, band.high * 1.3)
    again = Choice(ChoiceKey.START_OVER, tr("Begin with an empty boat"), serious=True)
    if not begun:
        want = Want(Verb.PUT_ON, DILUTION_VESSEL, DILUTION_VESSEL, act.scale)
        return ActView(
            tr("Put a clean weighing boat on the {scale}.", scale=act.scale),
            stage,
            live,
            picture,
            ask=ask,
            want=want,
            note=note,
        )
    still = context.still_g(act.scale, 1.0)
    if still is not None and pan_is_empty(context, act.scale, still):
        want = Want(Verb.PUT_BACK, DILUTION_VESSEL, DILUTION_VESSEL, act.scale)
        return ActView(
            tr("Put the boat back on the {scale}.", scale=act.scale),
            stage,
            live,
            picture,
            choices=(again,),
            ask=ask,
            want=want,
        )
    if net is not None and band.above(net):
        said = tr("too much: throw it away and begin with an empty boat.")
        return ActView(f"{net - target.grams:.2f} g {said}", stage, live, picture, choices=(again,), ask=ask,
                       want=Want(Verb.REMEDY))  # fmt: skip
    taking = taking_part(act, context, target)
    in_band = net is not None and band.holds(net)
    about, said, objection = (taking.gone, taking.word, taking.choices) if in_band else (None, "", ())
    return ActView((taking.question if in_band else "") or pour, stage, live, picture, note=note, choices=objection,
                   ask=ask, taking=about, not_yet=(said,) if said else (),
                   want=Want(Verb.POUR, line.key, DILUTION_VESSEL, act.scale, target.grams, band.high))  # fmt: skip
