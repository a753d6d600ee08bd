"""The moment, drawn up from a make: the act's own face, and whatever stands above it."""

from __future__ import annotations

import dataclasses

from benchapp import events as ev
from benchapp.make import trouble
from benchapp.make.acts.base import Act, Sight
from benchapp.make.core import Make
from benchapp.make.moment import Choice, Detail, Face, Moment, Trouble, Want
from benchapp.make.taking_back import last_said, words
from benchapp.make.walk import ALARM, DOUBTED, HELD, LOST


def moment_of(make: Make, now_s: float) -> Moment:
    """The instant as it stands."""
    sight = make.sight(now_s)
    act = make.act()
    step = make.steps.get(make.state.step)
    started = make.state.started
    keys = list(make.steps)
    number = keys.index(step.key) + 1 if step else len(keys)
    face, above = _face(make, sight, act)
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


def _face(make: Make, sight: Sight, act: Act | None) -> tuple[Face, Trouble | None]:
    needed = frozenset(act.devices) if act else frozenset()
    place = make.walk.place(make.state, needed)
    if make.state.over or act is None:
        return Face(_over_text(make)), None
    face = act.face(sight)
    if place == ALARM and make.state.alarm is not None:
        return trouble.alarm_face(sight), Trouble("alarm", "Alarm", make.state.alarm.text)
    if place == HELD:
        why = make.state.hold_reason
        held = Face("On hold. Nothing goes on until you are back.", "held", live=face.live,
                    choices=(Choice("resume", "I am back"),), want=Want("resume"))  # fmt: skip
        return held, Trouble("held", "On hold", why)
    if place == LOST:
        name = next(d for d in act.devices if d in make.state.lost)
        text = make.state.lost[name]
        value = f" or type the {face.ask.what}" if face.ask is not None else ""
        lost = dataclasses.replace(
            face,
            instruction=f"Plug the {name} back in{value}.",
            stage="lost",
            note=text,
            want=Want("find", device=name),
        )
        return lost, Trouble("device lost", f"{name} is lost", text)
    if place == DOUBTED:
        name = next(d for d in act.devices if d in make.state.doubted)
        why = f"The {name} may stand on a wrong zero: {make.state.doubt_why.get(name, '')}."
        return trouble.doubt_face(sight, name, act), Trouble("scale doubted", f"Check the {name}", why)
    said = tuple(w for d in act.devices if (w := make.watch.complaint(d, sight.now_s)))
    return (dataclasses.replace(face, not_yet=(*said, *face.not_yet)) if said else face), None


def _take_back(make: Make) -> str:
    state = make.state
    if state.over or state.alarm is not None or state.held_since_s is not None:
        return ""
    found = last_said(state.log)
    return words(found[1], make.names) if found else ""


def _over_text(make: Make) -> str:
    if make.state.finished:
        done = make.state.finished
        return f"Finished: {done.product_g:.1f} g, {done.yield_percent:.1f} % of the batch."
    if make.state.abandoned:
        return f"Abandoned: {make.state.abandoned.reason}"
    return "Starting."


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
