"""Weighing out an addition and stirring it in: into the batch, or into the trial sample beside it."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Context, pressed
from benchapp.make.acts.boat import BoatWeighing
from benchapp.make.acts.dilution import dosed_parts
from benchapp.make.acts.lot import lot_in_hand, take_lot
from benchapp.make.acts.pan import cleared
from benchapp.make.acts.typed_twice import TYPED, insisted
from benchapp.make.dosing import Dose
from benchapp.make.inputs import Input, TypeValue
from benchapp.make.steps.ph_known import TRIAL_MOST_G, PhAct
from benchapp.make.vocabulary import ChoiceKey, Stage

#: How long an addition is stirred in before the next reading, in seconds (common practice, no source).
STIR_S = 120.0
#: The same for a trial sample: it is small.
TRIAL_STIR_S = 30.0
#: What a dose is weighed in.
DOSE_BOAT = "boat"


def next_stage(act: PhAct, context: Context, trial: bool) -> ev.Event:
    """Towards the next addition: its lot first, then an empty scale."""
    found = act.dose(context, trial)
    of_bottle = found is not None and not found.of.dilution  # what was diluted left its bottle before
    stage = (
        Stage.LOT
        if found is not None and of_bottle and lot_in_hand(context, found.of.line.key) is None
        else Stage.CLEAR
    )
    if stage == Stage.CLEAR and not act.scale:
        stage = Stage.DOSE
    return act.stage(context, stage.tried(trial))


def take_lot_of(act: PhAct, context: Context, given: Input, trial: bool) -> list[ev.Event]:
    """The solution's lot is in hand, or refused with its way out."""
    found = act.dose(context, trial)
    out = None if found is None else take_lot(act, context, found.of.line.key, given)
    if not out:
        return []
    if not isinstance(out[-1], ev.LotTaken):
        return out
    after = Stage.CLEAR if act.scale else Stage.DOSE
    return [*out, act.stage(context, after.tried(trial))]


def clear(act: PhAct, context: Context, trial: bool) -> list[ev.Event]:
    """The scale has to stand empty before a boat comes on it."""
    still = context.still_g(act.scale, 1.0)
    gone = None if still is None else cleared(act, context, act.scale, still)
    return [] if gone is None else [*gone, act.stage(context, Stage.DOSE.tried(trial))]


def weigh_dose(act: PhAct, context: Context, given: Input, trial: bool) -> list[ev.Event]:
    """The boat first, then the solution into it until it rests in the dose's own band."""
    found = act.dose(context, trial)
    if found is None:
        return []
    if context.progress.stage.plain == Stage.TYPED:
        return _typed_decision(act, context, found, given, trial)
    most = TRIAL_MOST_G if trial else found.of.cap_left_g
    if pressed(given, ChoiceKey.START_OVER):
        return [act.stage(context, Stage.CLEAR.tried(trial))]
    if isinstance(given, TypeValue) and 0 < given.value <= most:
        return _typed(act, context, found, given.value, trial)
    boat = boat_of(act, context, found)
    if act.scale and (more := boat.stood.went_on(act, given)):
        return more
    still = boat.rested_g(given)
    if still is None:
        return []
    if not boat.begun:
        return [act.pour_began(context, found.of.line.key, act.scale, still)]
    return _dosed(act, context, found, context.net_g(act.scale, still), ev.Source.MEASURED, trial)


def _typed(act: PhAct, context: Context, dose: Dose, grams: float, trial: bool) -> list[ev.Event]:
    """Taken in its band; outside it is asked for once more: ten times too little or too much is one slip of a finger."""
    if act.dose_target(context, dose).band.holds(grams):
        return _dosed(act, context, dose, grams, ev.Source.STATED, trial)
    return [act.number_taken(context, TYPED, grams, "g"), act.stage(context, Stage.TYPED.tried(trial))]


def _typed_decision(act: PhAct, context: Context, dose: Dose, given: Input, trial: bool) -> list[ev.Event]:
    """Whether a dose typed outside its band is so."""
    if pressed(given, ChoiceKey.TYPE_AGAIN):
        return [act.stage(context, Stage.DOSE.tried(trial))]
    grams = context.progress.value
    if grams is None or not (reason := insisted(given)):
        return []
    return _dosed(act, context, dose, grams, ev.Source.STATED, trial, reason)


def boat_of(act: PhAct, context: Context, dose: Dose) -> BoatWeighing:
    """The boat a dose is weighed in."""
    return BoatWeighing(context, act.scale, act.dose_target(context, dose), DOSE_BOAT)


def _dosed(
    act: PhAct, context: Context, dose: Dose, net: float, source: ev.Source, trial: bool, reason: str = ""
) -> list[ev.Event]:
    line, target = dose.of.line, act.dose_target(context, dose)
    measured = source is ev.Source.MEASURED
    lot = context.state.lots.get(line.key)
    device, named = act.scale if measured else "", lot.lot if lot else ""
    if trial:
        dosed: ev.Event = ev.TrialDosed(
            at_s=context.now_s, step=act.step.key, act=act.key, line=line.key, mass_g=net, source=source,
            device=device, lot=named,
        )  # fmt: skip
        why = [act.confirm(context, tr("Typed. {reason}", reason=reason))] if reason else []
        return [*why, dosed, act.stage(context, Stage.TRIAL_STIR)]
    taken = ev.WeightTaken(
        at_s=context.now_s, step=act.step.key, act=act.key, line=line.key, vessel=act.vessel,
        target_g=target.grams, low_g=target.band.low, high_g=target.band.high, net_g=net,
        gross_g=None, source=source, device=device, checked=act.scale_checked and measured, lot=named,
    )  # fmt: skip
    made = context.state.dilutions.get(dose.of.line.key) if dose.of.dilution else None
    parts = [taken] if made is None else dosed_parts(taken, made)
    off = [] if target.band.holds(net) else [_off_band(act, context, dose, net, reason)]
    return [*off, *parts, act.stage(context, Stage.STIR)]


def _off_band(act: PhAct, context: Context, dose: Dose, net: float, reason: str) -> ev.Event:
    """Only what is typed can be: what rests on the scale is taken within its band alone."""
    band = act.dose_target(context, dose).band
    text = tr(
        "{name}: {net:g} g, band {low:g} to {high:g} g. {reason}",
        name=dose.of.name, net=net, low=band.low, high=band.high, reason=tr("Typed. {reason}", reason=reason),
    ).strip()  # fmt: skip
    return act.deviation(context, ev.Grade.MINOR, tr_noop("weight out of band"), text)
