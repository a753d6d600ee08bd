"""The view, drawn up from a make: the act's own face, and whatever stands above it."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.make import weighing_ahead
from benchapp.make.acts.base import Act
from benchapp.make.core import Make
from benchapp.make.next_move import with_move
from benchapp.make.phase_sheet import left_s, sheet_of, spans_of
from benchapp.make.taking_back import last_said, words
from benchapp.make.view_model import Detail, Meanwhile, ViewModel
from procedures.steps import Step


def view_model_of(make: Make, now_s: float) -> ViewModel:
    """The instant as it stands."""
    context = make.context(now_s)
    act = make.act()
    step = make.steps.get(make.state.step)
    started = make.state.started
    keys = list(make.steps)
    number = keys.index(step.key) + 1 if step else len(keys)
    act_view, above = make.act_view(context, act)
    act_view, spans = with_move(act_view), spans_of(make)
    return ViewModel(
        at_s=context.now_s,
        batch=started.batch if started else "",
        procedure=tr("{name} (trial)", name=make.plan.procedure.name)
        if _is_trial(started)
        else make.plan.procedure.name,
        prompt=make.prompt(),
        step_key=step.key if step else "",
        step_kind=step.kind if step else "",
        step_title=step.title if step else "",
        step_number=number,
        step_count=len(keys),
        progress=_progress(make),
        act_view=act_view,
        detail=_detail(step) if step else Detail(),
        next_up=_next_up(make, act),
        cautions=make.cautions[step.key] if step else (),
        trouble=above,
        deviations=len(make.state.deviations),
        last=_last(make),
        over=make.state.over,
        meanwhile=_meanwhile(make, context.now_s),
        take_back=_take_back(make),
        sheet=sheet_of(make, act, spans),
        spans=spans,
        left_s=left_s(make, act, act_view.forecast),
    )


def _is_trial(started: ev.MakeStarted | None) -> bool:
    return started is not None and started.version == ev.TRIAL


def _detail(step: Step) -> Detail:
    said = step.guidance
    return Detail(said.why, said.look, said.wrong)


def _meanwhile(make: Make, now_s: float) -> Meanwhile | None:
    waits = make.waiting(now_s)
    if waits is None:
        return None
    act_view = waits[1].act_view(waits[0])
    return Meanwhile(
        waits[1].brief, act_view.live, act_view.forecast, weighing_ahead.calls(*waits, act_view.forecast)
    )


def _take_back(make: Make) -> str:
    state = make.state
    if state.over or state.alarm is not None or state.held_since_s is not None:
        return ""
    found = last_said(state.log)
    return words(found[1], make.names) if found else ""


def _progress(make: Make) -> float:
    """Steps done, and the share of those that are begun."""
    state = make.state
    if state.finished is not None:
        return 1.0
    begun = {s for s, _ in state.acts_done}.difference(state.steps_done)
    here = sum(sum(1 for s, _ in state.acts_done if s == key) / len(make.acts_now(key)) for key in begun)
    return min((len(state.steps_done) + here) / len(make.steps), 1.0)


def _next_up(make: Make, act: Act | None) -> str:
    if act is None or make.state.over:
        return ""
    done, step = make.state.acts_done, make.state.step
    later = [a for a in make.acts_now(step) if a.key != act.key and (step, a.key) not in done]
    if later:
        return later[0].brief
    waits = make.waiting()
    if waits is not None:
        return tr("Back to: {title}", title=waits[1].step.title)
    keys = list(make.steps)
    left = [k for k in keys if k not in make.state.steps_done and k != make.state.step]
    return make.steps[left[0]].title if left else ""


def _last(make: Make) -> str:
    """The last weighing or reading that was taken, in words."""
    state = make.state
    last: ev.WeightTaken | None = None
    for taken in state.weights.values():
        if last is None or taken[-1].at_s >= last.at_s:
            last = taken[-1]
    if last is None:
        return ""
    return f"{make.names.get(last.line, last.line)}: {last.net_g:g} g {last.source}"
