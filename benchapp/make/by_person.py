"""What a person says whatever the act asks: a value typed over a working device, a step left out, the end of a hold."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make import probe_answers
from benchapp.make.acts.base import Act, Context
from benchapp.make.inputs import Skip, TypeValue
from benchapp.make.waits import wait
from procedures.steps import Finish


def typed(context: Context, act: Act, given: TypeValue) -> list[ev.Event]:
    """A typed value counts, where it can be meant at all; typed over a device that works, it is noted."""
    ask = act.act_view(context).ask
    if ask is None or not ask.low <= given.value <= ask.high:
        return []
    out = probe_answers.with_stated(context, act.take(context, given))
    kind = tr_noop("typed over a device")
    working = [
        d
        for d in act.devices
        if d not in context.state.lost and context.watch.speaks(d, context.now_s, context.period_s(d))
    ]
    noted = any(isinstance(e, ev.DeviationNoted) and e.kind == kind for e in out)
    if not out or not working or noted:
        return out
    text = tr(
        "{value:g} typed at {title} although the {working} was working.",
        value=given.value,
        title=act.step.title,
        working=working[0],
    )
    return [act.deviation(context, ev.Grade.NOTE, kind, text), *out]


def left_out(context: Context, act: Act, given: Skip) -> list[ev.Event]:
    """The step is skipped, for a reason; the last one never is."""
    if not given.reason or isinstance(act.step, Finish):
        return []
    grade = ev.Grade.MAJOR if act.step.of_kind.grave else ev.Grade.MINOR
    text = tr("{title} left out: {reason}", title=act.step.title, reason=given.reason)
    return [
        *act.unfinished(context),
        act.deviation(context, grade, tr_noop("step skipped"), text),
        ev.StepSkipped(at_s=context.now_s, step=act.step.key, reason=given.reason),
    ]


def hold_ended(context: Context, act: Act | None) -> list[ev.Event]:
    """Back from a hold, with how long it was."""
    since = context.state.held_since_s or context.now_s
    held = round(context.now_s - since, 1)
    out: list[ev.Event] = [ev.HoldEnded(at_s=context.now_s, held_s=held)]
    if act is not None:
        text = tr(
            "Held for {held} at {title}. {hold_reason}",
            held=wait(held),
            title=act.step.title,
            hold_reason=context.state.hold_reason,
        ).strip()
        out.append(act.deviation(context, ev.Grade.NOTE, "held", text))
    return out
