"""What of a view only an event changes: where the make stands, what is done and what comes. Drawn up once for each event."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import number, tr, translated
from benchapp.make.acts.base import Act, Context
from benchapp.make.agenda import Agenda
from benchapp.make.cautions import cautions_now
from benchapp.make.phase_sheet import after_s, sheet_of, spans_of
from benchapp.make.taking_back import last_said, words
from benchapp.make.view_model import ActView, Detail, ViewModel


def outline_of(agenda: Agenda, context: Context, act: Act | None) -> ViewModel:
    """The view without what lives: its time, its act view, trouble, the wait beside; ``left_s`` is what comes after the act."""
    state, name = context.state, context.plan.procedure.name
    step, started = agenda.steps.get(state.step), state.started
    trial = started is not None and started.version == ev.TRIAL
    keys, spans = list(agenda.steps), spans_of(agenda, state)
    return ViewModel(
        at_s=state.now_s,
        batch=started.batch if started else "",
        procedure=tr("{name} (trial)", name=name) if trial else name,
        prompt=state.prompt,
        step_key=step.key if step else "",
        step_kind=step.kind if step else "",
        step_title=step.title if step else "",
        step_number=keys.index(step.key) + 1 if step else len(keys),
        step_count=len(keys),
        progress=_progress(agenda, context),
        act_view=ActView(""),
        detail=Detail(step.guidance.why, step.guidance.look, step.guidance.wrong) if step else Detail(),
        next_up=_next_up(agenda, context, act),
        cautions=cautions_now(agenda.cautions[step.key], step, state) if step else (),
        trouble=None,
        deviations=len(state.deviations),
        last=_last(context),
        over=state.over,
        take_back=_take_back(context),
        sheet=sheet_of(agenda, context, act, spans),
        spans=spans,
        left_s=after_s(agenda, state, act),
    )


def _take_back(context: Context) -> str:
    state = context.state
    if state.over or state.alarm is not None or state.held_since_s is not None:
        return ""
    found = last_said(state.log)
    return words(found[1], context.plan.line_name) if found else ""


def _progress(agenda: Agenda, context: Context) -> float:
    """Steps done, and the share of those that are begun."""
    state = context.state
    if state.finished is not None:
        return 1.0
    begun = {s for s, _ in state.acts_done}.difference(state.steps_done)
    here = sum(
        sum(1 for s, _ in state.acts_done if s == key) / len(agenda.acts_now(key, state)) for key in begun
    )
    return min((len(state.steps_done) + here) / len(agenda.steps), 1.0)


def _next_up(agenda: Agenda, context: Context, act: Act | None) -> str:
    state = context.state
    if act is None or state.over:
        return ""
    acts = agenda.acts_now(state.step, state)
    later = [a for a in acts if a.key != act.key and (state.step, a.key) not in state.acts_done]
    if later:
        return later[0].brief
    if state.waiting is not None:
        return tr("Back to: {title}", title=agenda.steps[state.waiting.step].title)
    left = [k for k in agenda.steps if k not in state.steps_done and k != state.step]
    return agenda.steps[left[0]].title if left else ""


def _last(context: Context) -> str:
    """The last weighing that was taken, in words."""
    last: ev.WeightTaken | None = None
    for taken in context.state.weights.values():
        if last is None or taken[-1].at_s >= last.at_s:
            last = taken[-1]
    if last is None:
        return ""
    return f"{context.plan.line_name(last.line)}: {number(last.net_g)} g {translated(last.source)}"
