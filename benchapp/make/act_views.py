"""What stands on the glass now: the act's own face, or what has risen above it."""

from __future__ import annotations

import dataclasses

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr
from benchapp.make import alarms, doubted_scale, probe_answers
from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.pan import TARE_IS_ON
from benchapp.make.state import State
from benchapp.make.state_machine import ALARM, DOUBTED, HELD, LOST, StepMachine
from benchapp.make.steps.finish_picture import batch_picture, checks_later
from benchapp.make.view_model import ActView, Choice, Trouble, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, TroubleKind, Verb
from procedures.steps import Finish


def act_view_now(context: Context, act: Act | None, walk: StepMachine) -> tuple[ActView, Trouble | None]:
    """The face, and the trouble it stands under where there is one."""
    state = context.state
    if state.over or act is None:
        return _over(context), None
    place = walk.state
    act_view = act.act_view(context)
    if place == ALARM and state.alarm is not None:
        return alarms.alarm_view(context), Trouble(TroubleKind.ALARM, "Alarm", state.alarm.text)
    if place == HELD:
        held = ActView(tr("On hold. Nothing goes on until you are back."), Stage.HELD, live=act_view.live,
                    choices=(Choice(ChoiceKey.RESUME, tr("I am back")),), want=Want(Verb.RESUME))  # fmt: skip
        return held, Trouble(TroubleKind.HELD, tr("On hold"), state.hold_reason)
    if place == LOST:
        return _lost(context, act, act_view)
    if place == DOUBTED:
        name = next(d for d in act.devices if d in state.doubted)
        why = tr("The {name} may stand on a wrong zero: {get}.", name=name, get=state.doubt_why.get(name, ""))
        return doubted_scale.doubt_view(context, name, act), Trouble(
            TroubleKind.SCALE_DOUBTED, tr("Check the {name}", name=name), why
        )
    uses = sorted(act.uses)  # also what it can go on without
    said = tuple(w for d in uses if (w := state.lost.get(d) or context.watch.complaint(d, context.now_s)))
    if any(context.watch.tared(d) for d in uses) and tr(TARE_IS_ON) not in act_view.not_yet:
        said += (tr(TARE_IS_ON),)
    said += probe_answers.why_not(context, act)
    if not said:
        return act_view, None
    choices = (*act_view.choices, *probe_answers.choices(context, act))
    return dataclasses.replace(act_view, not_yet=(*said, *act_view.not_yet), choices=choices), None


def _lost(context: Context, act: Act, act_view: ActView) -> tuple[ActView, Trouble]:
    name = next(d for d in act.devices if d in context.state.lost)
    text = context.state.lost[name]
    if act_view.stage == Stage.TYPED or act_view.stage.asks_lot:  # a question that needs no device
        return act_view, Trouble(TroubleKind.DEVICE_LOST, tr("{name} is lost", name=name), text)
    value = tr(" or type the {what}", what=act_view.ask.what) if act_view.ask is not None else ""
    lost = dataclasses.replace(
        act_view, instruction=tr("Plug the {name} back in{value}.", name=name, value=value), stage=Stage.LOST, note=text,
        want=Want(Verb.FIND, device=name),
    )  # fmt: skip
    return lost, Trouble(TroubleKind.DEVICE_LOST, tr("{name} is lost", name=name), text)


def _over(context: Context) -> ActView:
    """The end of a make: the batch in one picture, where there is one."""
    state = context.state
    if state.finished is None:
        return ActView(_over_text(state))
    checks = checks_later(context)
    limits = next((s.yield_percent for s in context.plan.procedure.steps if isinstance(s, Finish)), None)
    picture = batch_picture(context, state.finished.yield_percent, limits or Band(0.0, 100.0))
    return ActView(_over_text(state), picture=picture, not_yet=(checks,) if checks else ())


def _over_text(state: State) -> str:
    if state.finished:
        return tr(
            "Finished: {product_g:.1f} g, yield {yield_percent:.1f} %.",
            product_g=state.finished.product_g,
            yield_percent=state.finished.yield_percent,
        )
    if state.abandoned:
        reason = f"{state.abandoned.reason.rstrip('.')}."
        practised = state.started is not None and state.started.scenario
        return (
            reason if practised else tr("Abandoned: {reason}", reason=reason)
        )  # what is practised ends so when its goal is behind it
    return "Starting."
