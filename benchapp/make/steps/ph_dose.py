"""Weighing out an addition and stirring it in: into the batch, or into the trial sample beside it."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.make.acts.base import Context, pressed
from benchapp.make.acts.dilution import dosed_parts
from benchapp.make.acts.lot import take_lot
from benchapp.make.acts.taking import DWELL_S, Taking
from benchapp.make.acts.vessel import cleared, pan_is_empty
from benchapp.make.dosing import Dose
from benchapp.make.inputs import Grams, Input, TypeValue
from benchapp.make.steps.ph_known import TRIAL_MOST_G, PhAct
from benchapp.make.vocabulary import ChoiceKey, Stage

#: How long an addition is stirred in before the next reading, in seconds (common practice, no source).
STIR_S = 120.0
#: The same for a trial sample: it is small.
TRIAL_STIR_S = 30.0


def next_stage(act: PhAct, context: Context, trial: bool) -> ev.Event:
    """Towards the next addition: its lot first, then an empty scale."""
    found = act.dose(context, trial)
    stage = Stage.LOT if found is not None and found.of.line.key not in context.state.lots else Stage.CLEAR
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
    most = TRIAL_MOST_G if trial else found.of.cap_left_g
    if pressed(given, ChoiceKey.START_OVER):
        return [act.stage(context, Stage.CLEAR.tried(trial))]
    if isinstance(given, TypeValue) and 0 < given.value <= most:
        return _dosed(act, context, found, given.value, ev.Source.STATED, trial)
    taking = taking_of(act, context, found)
    if act.scale and taking.objecting(given):
        return []
    at_once = bool(act.scale) and taking.insisted(given)
    if not at_once and (not isinstance(given, Grams) or given.device != act.scale):
        return []
    still = context.still_g(act.scale, 0.0 if at_once else DWELL_S)
    if still is None or (not at_once and taking.objected):
        return []
    if context.progress.baseline_g is None:
        return [] if pan_is_empty(context, act.scale, still) else [
            ev.PourBegan(at_s=context.now_s, step=act.step.key, act=act.key, line=found.of.line.key,
                         device=act.scale, baseline_g=round(still + context.zero_g(act.scale), 4))
        ]  # fmt: skip
    net = context.net_g(act.scale, still)
    if not taking.fits(still) or (not at_once and taking.held_back):
        return []
    return _dosed(act, context, found, net, ev.Source.MEASURED, trial)


def taking_of(act: PhAct, context: Context, dose: Dose) -> Taking:
    """How a dose is taken as it rests in its boat: by itself within its band."""
    band, begun = act.dose_target(context, dose).band, context.progress.baseline_g is not None
    return Taking(context, act.scale, lambda gross: begun and band.holds(context.net_g(act.scale, gross)))


def _dosed(
    act: PhAct, context: Context, dose: Dose, net: float, source: ev.Source, trial: bool
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
        return [dosed, act.stage(context, Stage.TRIAL_STIR)]
    taken = ev.WeightTaken(
        at_s=context.now_s, step=act.step.key, act=act.key, line=line.key, vessel=act.vessel,
        target_g=target.grams, low_g=target.band.low, high_g=target.band.high, net_g=net,
        gross_g=None, source=source, device=device, checked=act.scale_checked and measured, lot=named,
    )  # fmt: skip
    made = context.state.dilutions.get(dose.of.line.key) if dose.of.dilution else None
    parts = [taken] if made is None else dosed_parts(taken, made)
    return [*parts, act.stage(context, Stage.STIR)]
