"""The moment, drawn up from a make: the act's own face, and whatever stands above it."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.make.acts.base import Act
from benchapp.make.core import Make
from benchapp.make.moment import Detail, Moment
from benchapp.make.taking_back import last_said, words


def moment_of(make: Make, now_s: float) -> Moment:
    """The instant as it stands."""
    sight = make.sight(now_s)
    act = make.act()
    step = make.steps.get(make.state.step)
    started = make.state.started
    keys = list(make.steps)
    number = keys.index(step.key) + 1 if step else len(keys)
    face, above = make.face(sight, act)
    return Moment(
        at_s=sight.now_s,
        batch=started.batch if started else "",
        procedure=make.plan.procedure.name,
        prompt=make.prompt(),
        step_key=step.key if step else "",
        step_kind=step.kind if step else "",
        step_title=step.title if step else "",
        step_number=number,
        step_count=len(keys),
        progress=_progress(make),
        face=face,
        detail=Detail(step.why, step.look, step.wrong) if step else Detail(),
        next_up=_next_up(make, act),
        cautions=make.cautions[step.key] if step else (),
        trouble=above,
        deviations=len(make.state.deviations),
        last=_last(make),
        over=make.state.over,
        take_back=_take_back(make),
    )


def _take_back(make: Make) -> str:
    state = make.state
    if state.over or state.alarm is not None or state.held_since_s is not None:
        return ""
    found = last_said(state.log)
    return words(found[1], make.names) if found else ""


def _progress(make: Make) -> float:
    """Steps done, and the share of the current one."""
    state = make.state
    if state.over:
        return 1.0
    acts = make.acts_now(state.step) if state.step else ()
    here = sum(1 for s, _ in state.acts_done if s == state.step) / len(acts) if acts else 0.0
    return min((len(state.steps_done) + here) / len(make.steps), 1.0)


def _next_up(make: Make, act: Act | None) -> str:
    if act is None:
        return ""
    acts = make.acts_now(make.state.step)
    place = next((n for n, a in enumerate(acts) if a.key == act.key), len(acts))
    if place + 1 < len(acts):
        return acts[place + 1].brief
    keys = list(make.steps)
    after = keys.index(make.state.step) + 1
    return make.steps[keys[after]].title if after < len(keys) else "Nothing: this is the end"


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
