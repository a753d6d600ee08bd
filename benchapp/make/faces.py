"""What stands on the glass now: the act's own face, or what has risen above it."""

from __future__ import annotations

import dataclasses

from benchapp.make import trouble
from benchapp.make.acts.base import Act, Sight
from benchapp.make.moment import Choice, Face, Trouble, Want
from benchapp.make.state import State
from benchapp.make.walk import ALARM, DOUBTED, HELD, LOST, Walk


def face_now(sight: Sight, act: Act | None, walk: Walk) -> tuple[Face, Trouble | None]:
    """The face, and the trouble it stands under where there is one."""
    state = sight.state
    if state.over or act is None:
        return Face(_over_text(state)), None
    place = walk.state
    face = act.face(sight)
    if place == ALARM and state.alarm is not None:
        return trouble.alarm_face(sight), Trouble("alarm", "Alarm", state.alarm.text)
    if place == HELD:
        held = Face("On hold. Nothing goes on until you are back.", "held", live=face.live,
                    choices=(Choice("resume", "I am back"),), want=Want("resume"))  # fmt: skip
        return held, Trouble("held", "On hold", state.hold_reason)
    if place == LOST:
        return _lost(sight, act, face)
    if place == DOUBTED:
        name = next(d for d in act.devices if d in state.doubted)
        why = f"The {name} may stand on a wrong zero: {state.doubt_why.get(name, '')}."
        return trouble.doubt_face(sight, name, act), Trouble("scale doubted", f"Check the {name}", why)
    said = tuple(w for d in act.devices if (w := sight.watch.complaint(d, sight.now_s)))
    return (dataclasses.replace(face, not_yet=(*said, *face.not_yet)) if said else face), None


def _lost(sight: Sight, act: Act, face: Face) -> tuple[Face, Trouble]:
    name = next(d for d in act.devices if d in sight.state.lost)
    text = sight.state.lost[name]
    if face.stage == "typed":  # what was typed instead is asked about
        return face, Trouble("device lost", f"{name} is lost", text)
    value = f" or type the {face.ask.what}" if face.ask is not None else ""
    lost = dataclasses.replace(
        face, instruction=f"Plug the {name} back in{value}.", stage="lost", note=text,
        want=Want("find", device=name),
    )  # fmt: skip
    return lost, Trouble("device lost", f"{name} is lost", text)


def _over_text(state: State) -> str:
    if state.finished:
        return (
            f"Finished: {state.finished.product_g:.1f} g, {state.finished.yield_percent:.1f} % of the batch."
        )
    if state.abandoned:
        reason = f"{state.abandoned.reason.rstrip('.')}."
        practised = state.started is not None and state.started.scenario
        return (
            reason if practised else f"Abandoned: {reason}"
        )  # what is practised ends so when its goal is behind it
    return "Starting."
