"""What is folded of the make as a whole and its walk through the steps."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.state import Progress, State
from benchapp.make.vocabulary import Stage, stage_named


def _started(s: State, e: ev.MakeStarted) -> None:
    s.started = e
    s.ph_step = e.ph_step


def _resumed(s: State, e: ev.MakeResumed) -> None:
    # After a restart nobody knows what happened to the scales; and a filter starts cold.
    assert s.started is not None
    for device in s.started.devices:
        if device.kind == "scale" and device.name in s.on_scale:
            s.doubted[device.name] = tr_noop("empty pan")
            s.doubt_why[device.name] = tr(
                "nobody watched it for a while: the program was started again, or the computer slept"
            )
    s.resumed_at_s = e.at_s
    s.progress.lifted = False
    s.stood_g.clear()  # nobody saw where the scales stood when the program ended


def _step_began(s: State, e: ev.StepBegan) -> None:
    s.step = e.step


def _step_finished(s: State, e: ev.StepFinished | ev.StepSkipped) -> None:
    s.steps_done.append(e.step)
    s.step = ""


def _put_off(s: State, e: ev.StepPutOff) -> None:
    s.step, s.progress = "", Progress()
    s.acts_done = {(step, act) for step, act in s.acts_done if step != e.step}


def _aside(s: State, e: ev.SteppedAside) -> None:
    s.waiting, s.progress, s.tied = s.progress, Progress(), e.vessels


def _back(s: State, e: ev.SteppedBack) -> None:
    assert s.waiting is not None
    s.step, s.progress, s.waiting, s.tied = e.step, s.waiting, None, ()
    s.acts_done -= {(e.left, act) for act in e.again}


def _act_began(s: State, e: ev.ActBegan) -> None:
    attended_s = s.times.attended_s(e.at_s)
    s.progress = Progress(step=e.step, act=e.act, began_s=e.at_s, stage_at_s=e.at_s, attended_s=attended_s)


def _act_finished(s: State, e: ev.ActFinished) -> None:
    s.acts_done.add((e.step, e.act))


def _stage(s: State, e: ev.StageReached) -> None:
    progress = s.progress_of(e.step)
    progress.stage, progress.stage_lot = stage_named(e.stage)
    progress.stage_at_s, progress.attended_s = e.at_s, s.times.attended_s(e.at_s)
    in_g = progress.asked_at_g if e.in_g is None else e.in_g
    progress.asked_at_g = in_g if progress.stage.asks_lot else None
    if progress.stage.plain == Stage.CLEAR:  # whatever is poured next stands on something else
        progress.baseline_g = None


def _signed(s: State, e: ev.Signed) -> None:
    s.signed.append(e)


def _cautioned(s: State, e: ev.CautionShown | ev.CautionAcknowledged) -> None:
    s.cautioned.add((e.step, e.caution))


def _held(s: State, e: ev.MakeHeld) -> None:
    s.held_since_s, s.hold_reason = e.at_s, e.reason


def _hold_ended(s: State, e: ev.HoldEnded) -> None:
    s.held_since_s, s.hold_reason = None, ""


def _finished(s: State, e: ev.MakeFinished) -> None:
    s.finished = e


def _abandoned(s: State, e: ev.MakeAbandoned) -> None:
    s.abandoned = e


CHANGES: dict[type[ev.Event], Callable[[State, Any], None]] = {
    ev.MakeStarted: _started,
    ev.MakeResumed: _resumed,
    ev.StepBegan: _step_began,
    ev.StepFinished: _step_finished,
    ev.StepSkipped: _step_finished,
    ev.StepPutOff: _put_off,
    ev.SteppedAside: _aside,
    ev.SteppedBack: _back,
    ev.ActBegan: _act_began,
    ev.ActFinished: _act_finished,
    ev.StageReached: _stage,
    ev.Signed: _signed,
    ev.CautionShown: _cautioned,
    ev.CautionAcknowledged: _cautioned,
    ev.MakeHeld: _held,
    ev.HoldEnded: _hold_ended,
    ev.MakeFinished: _finished,
    ev.MakeAbandoned: _abandoned,
}
