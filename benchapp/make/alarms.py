"""What cannot wait: too hot, not warming any more, a probe that does not follow its vessel."""

from __future__ import annotations

import itertools

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.make import excursions, probe_answers, probes
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.inputs import Degrees, Input, NoNumber
from benchapp.make.view_model import ActView, Choice, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.steps import Heat

#: A heated vessel that gained less than this in so long has stopped warming: a dry bath, a switch, a lid.
STALL_K, STALL_S = 1.0, 900.0
#: What an alarm is called that says that nothing is watched.
OPEN = "probe"


def alarms(context: Context, act: Act | None, given: Input) -> list[ev.Event]:
    """Too hot, not warming any more, or a probe that does not follow its vessel."""
    if isinstance(given, Degrees):
        said = probes.heard(context, act, given)
        if said or context.probe_c(given.probe) is None:
            return said
        out = excursions.followed(context, act, given)
        return [*out, *(_hot(context, act, given) or _stall(context, act, given))]
    if context.state.alarm is not None:
        return []
    if isinstance(given, NoNumber) and given.fault == "open probe" and given.channel in context.state.probes:
        vessel = context.state.probes[given.channel]
        if not _watching(act) or _told(context, given.channel, vessel):
            return []
        text = tr(
            "{channel} in the {vessel_name} is open: no temperature is being watched there.",
            channel=given.channel,
            vessel_name=context.vessel_name(vessel),
        )
        return [ev.AlarmRaised(at_s=given.at_s, kind=OPEN, text=text, vessel=vessel)]
    return []


def _told(context: Context, probe: str, vessel: str) -> bool:
    """Whether that was said since it last read, or since the program is here: one that is broken stays so, and what it would
    show is typed."""
    seen = context.watch.probes.get(probe)
    since_s = max(seen.at_s if seen is not None else 0.0, context.state.resumed_at_s or 0.0)
    lately = itertools.takewhile(lambda e: e.at_s >= since_s, reversed(context.state.log))
    said = (OPEN, vessel, "")  # a question about where it lies names the probe
    return any(isinstance(e, ev.AlarmRaised) and (e.kind, e.vessel, e.probe) == said for e in lately)


def unread(context: Context, vessel: str) -> bool:
    """Whether nothing reads a vessel's temperature: no probe is in it, its device is lost, or it was said to be open."""
    probe = context.probe_in(vessel)
    lost = any(p == probe and device in context.state.lost for device, p in context.plan.probes)
    return probe is None or lost or (context.shown_c(probe) is None and _told(context, probe, vessel))


def _watching(act: Act | None) -> bool:
    return act is not None and (act.step.of_kind.by_temperature or bool(act.temperatures))


def _hot(context: Context, act: Act | None, given: Degrees) -> list[ev.Event]:
    vessel = context.state.probes.get(given.probe)
    if vessel is None or act is None or not isinstance(act.step, Heat) or given.temp_c < act.step.over_c:
        return []
    if context.state.alarm is not None:
        return []
    text = tr(
        "The {vessel_name} is at {temp_c:.1f} °C, over {over_c:g} °C. Turn the heat down and "
        "lift it out with a dry cloth.",
        vessel_name=context.vessel_name(vessel),
        temp_c=given.temp_c,
        over_c=act.step.over_c,
    )
    return [ev.AlarmRaised(at_s=given.at_s, kind="too hot", text=text, vessel=vessel)]


def _stall(context: Context, act: Act | None, given: Degrees) -> list[ev.Event]:
    vessel = context.state.probes.get(given.probe)
    if vessel is None or act is None or not isinstance(act.step, Heat) or act.key != "heat":
        return []
    if context.state.alarm is not None:
        return []
    scratch = context.counts.scratch
    best_key, when_key = f"best {vessel}", f"best at {vessel}"
    if given.temp_c >= act.step.band_c.low:
        scratch.pop(when_key, None)
        return []
    if when_key not in scratch or given.temp_c >= scratch[best_key] + STALL_K:
        scratch[best_key], scratch[when_key] = given.temp_c, given.at_s
        return []
    if given.at_s - scratch[when_key] < STALL_S:
        return []
    scratch.pop(when_key)
    text = tr(
        "The {vessel_name} has not warmed for {stall_s:.0f} minutes and stands at "
        "{temp_c:.1f} °C. Switch the heat off, then look whether the bath has run dry.",
        vessel_name=context.vessel_name(vessel),
        stall_s=STALL_S / 60,
        temp_c=given.temp_c,
    )
    return [ev.AlarmRaised(at_s=given.at_s, kind="not warming", text=text, vessel=vessel)]


def calm(context: Context, given: Input) -> list[ev.Event]:
    """An alarm ends by a person's word; too hot only once it has cooled."""
    alarm = context.state.alarm
    if alarm is not None and alarm.probe in context.state.probe_doubts:
        return probe_answers.answered(context, given)
    if alarm is None or not pressed(given, ChoiceKey.SEEN_TO):
        return []
    if alarm.kind == "too hot" and still_too_hot(context):
        return []
    return [ev.AlarmCleared(at_s=context.now_s, kind=alarm.kind, how=tr("the maker says it is seen to"))]


def still_too_hot(context: Context) -> bool:
    """Whether the vessel of a heat alarm is still above the step's limit."""
    alarm = context.state.alarm
    probe = context.probe_in(alarm.vessel) if alarm else None
    temp = context.shown_c(probe) if probe else None
    waiting = context.state.waiting
    key = waiting.step if waiting is not None else context.state.step
    step = next((s for s in context.plan.procedure.steps if s.key == key), None)
    return temp is not None and isinstance(step, Heat) and temp >= step.over_c


def alarm_view(context: Context) -> ActView:
    """What is wrong and what to do, and the live temperature."""
    alarm = context.state.alarm
    assert alarm is not None
    doubt = context.state.probe_doubts.get(alarm.probe)
    if doubt is not None:
        return probe_answers.question(context, doubt, alarm.text)
    live = context.live_temp(alarm.vessel)
    not_yet = (tr("It is still too hot."),) if alarm.kind == "too hot" and still_too_hot(context) else ()
    choices = () if not_yet else (Choice(ChoiceKey.SEEN_TO, tr("It is seen to"), serious=True),)
    first, _, rest = alarm.text.partition(". ")
    return ActView(
        f"{first.rstrip('.')}.",
        Stage.ALARM,
        (live,),
        note=rest,
        not_yet=not_yet,
        choices=choices,
        want=Want(Verb.CALM, alarm.kind, alarm.vessel),
    )
