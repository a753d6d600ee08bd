"""Whether a probe follows its vessel. One that does not counts for nothing; it is asked about once, and counts again
when it is back on the vessel's curve or a person has shown that it is right."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.calculations.probe_curve import PUT_IN_S, Jump, other_unit_c
from benchapp.calculations.standing import LEAST_S
from benchapp.events.grades import HOLD_NOT_SEEN, NOT_MOVED, grade_of
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act, Context
from benchapp.make.acts.gate import Gate
from benchapp.make.filters import ProbeFilter
from benchapp.make.inputs import Degrees
from benchapp.make.probed_vessel import balance_of, last_known, mixed, poured_out
from benchapp.make.state import UNIT
from benchapp.make.vocabulary import ChoiceKey
from benchapp.make.waits import wait
from procedures.phrases import duration
from procedures.steps import Heat

JUMP, STANDS = "jump", "stands"
#: What an alarm is called that asks about a probe.
ASKS = {JUMP: "probe", UNIT: tr_noop("probe unit"), STANDS: tr_noop("probe stands")}
#: So long a doubt may clear up by itself before it is asked about, in seconds: a probe lifted to stir comes back.
ASK_S = {JUMP: 60.0, UNIT: 5.0, STANDS: 0.0}
#: It is not asked about while it is moving, at most so much longer; one that lies somewhere is at rest for so long.
MOVING_S, LIES_S = 120.0, 15.0
#: So long after it came to rest, in seconds, how fast it went says nothing of how fast its vessel goes.
MOVED_S = 30.0
#: A vouched probe counts once it has been at rest for so long, in seconds.
VOUCHED_S = 10.0
#: A hold rests on digits that stood for so much of it.
MOST_OF_IT = 0.8
#: Digits that move on by no more than this had not been frozen.
MOVED_ON_K = 0.5


def listen(context: Context, act: Act | None, given: Degrees) -> None:
    """Let the filters hear a reading."""
    seen = context.watch.degrees(given)
    vessel = context.state.probes.get(given.probe)
    if vessel is None or poured_out(context, act, vessel):
        seen.follows.begin(None)
        seen.put_in_s = given.at_s
        return
    if seen.put_in_s is None:
        _begin(context, given, seen, vessel)
    seen.digits.hear(given.at_s, given.temp_c)
    seen.follows.digit_k = min(seen.digits.digit_k, 1.0)
    balance = balance_of(context, act, vessel, given.temp_c)
    seen.follows.hear(given.at_s, given.temp_c, balance, mixed(context, act, vessel))
    if not seen.counts or seen.follows.settled_for_s(given.at_s) < MOVED_S:
        seen.digits.interrupt()


def _begin(context: Context, given: Degrees, seen: ProbeFilter, vessel: str) -> None:
    """Just put in, or heard again: held against what is known of the vessel from before."""
    seen.put_in_s = given.at_s
    doubt = context.state.probe_doubts.get(given.probe)
    if doubt is not None:
        balance = balance_of(context, None, vessel, doubt.from_c)
        jump = Jump(doubt.since_s, doubt.from_c, doubt.pace_k_s, balance)
        seen.follows.begin(None if doubt.kind == STANDS else jump, doubt.to_c)
        return
    known = last_known(context, vessel)
    seen.follows.begin(
        Jump(known[1], known[0], 0.0, balance_of(context, None, vessel, known[0])) if known else None
    )


# --- doubted, asked about, trusted again ---------------------------------------------------------------------


def heard(context: Context, act: Act | None, given: Degrees) -> list[ev.Event]:
    """What a reading says of its probe: that it left its vessel's curve, stands still, or counts again."""
    vessel, seen = context.state.probes.get(given.probe), context.watch.probes[given.probe]
    if vessel is None:
        return []
    doubt = context.state.probe_doubts.get(given.probe)
    again = _trusted(context, given, doubt, seen) if doubt is not None else []
    if again:
        return again
    found = _found(context, act, given, vessel, seen)
    if found is not None and (doubt is None or (doubt.kind == STANDS and found.kind != STANDS)):
        return [found, *_asked(context, act, found)]
    return _asked(context, act, doubt) if doubt is not None else []


def _found(
    context: Context, act: Act | None, given: Degrees, vessel: str, seen: ProbeFilter
) -> ev.ProbeDoubted | None:
    jump = seen.follows.jump
    if jump is not None:
        began_s = seen.put_in_s if seen.put_in_s is not None else given.at_s
        unsure = seen.follows.unproved and given.at_s - began_s < PUT_IN_S
        return None if unsure else _jumped(context, given, vessel, jump)
    if act is None or vessel not in act.temperatures:
        return None
    return _stands(context, act, given, vessel, seen)


def _jumped(context: Context, given: Degrees, vessel: str, jump: Jump) -> ev.ProbeDoubted:
    """It left its vessel's curve: out of it, or another unit."""
    probe, unit = given.probe, other_unit_c(jump.from_c, given.temp_c)
    text = tr(
        "{probe} went from {from_c:.1f} to {temp_c:.1f} °C at once. ",
        probe=probe,
        from_c=jump.from_c,
        temp_c=given.temp_c,
    )
    if unit == "°F":
        text += tr(
            "{temp_c:.1f} °F would be {temp_c_2:.1f} °C: is it set to °F?",
            temp_c=given.temp_c,
            temp_c_2=(given.temp_c - 32.0) / 1.8,
        )
    elif unit:
        text += tr(
            "{from_c:.1f} °F would be {temp_c:.1f} °C: was it set from °F to °C?",
            from_c=jump.from_c,
            temp_c=given.temp_c,
        )
    else:
        text += tr("Is it still in the {name}?", name=context.vessel_name(vessel))
    return ev.ProbeDoubted(
        at_s=given.at_s, probe=probe, vessel=vessel, kind=UNIT if unit else JUMP, since_s=jump.at_s,
        from_c=round(jump.from_c, 2), to_c=round(given.temp_c, 2), pace_k_s=round(jump.pace_k_s, 5), text=text,
    )  # fmt: skip


def _stands(
    context: Context, act: Act, given: Degrees, vessel: str, seen: ProbeFilter
) -> ev.ProbeDoubted | None:
    """Its digits stand longer than their own noise allows."""
    in_air = not isinstance(act, Gate) and not isinstance(act.step, Heat)
    cools_k_s = balance_of(context, act, vessel, given.temp_c).cools_k_s
    stood = seen.digits.too_long_s(given.at_s, cools_k_s, in_air)
    if not stood:
        return None
    text = tr(
        "{probe} has shown exactly {temp_c:g} °C for {stood:.0f} min. Stir the {name}: does it move?",
        probe=given.probe,
        temp_c=given.temp_c,
        stood=stood / 60,
        name=context.vessel_name(vessel),
    )
    return ev.ProbeDoubted(
        at_s=given.at_s, probe=given.probe, vessel=vessel, kind=STANDS, since_s=seen.digits.since_s, from_c=given.temp_c,
        to_c=given.temp_c, pace_k_s=0.0, text=text,
    )  # fmt: skip


def _asked(context: Context, act: Act | None, doubt: ev.ProbeDoubted) -> list[ev.Event]:
    """The question, once for each doubt, and only where something goes by that temperature."""
    if context.state.alarm is not None or act is None or doubt.vessel not in act.temperatures:
        return []
    known = context.state.doubted_with(doubt.probe)
    if any(d.probe in context.state.probes_asked for d in known):
        return []
    shown = context.shown_c(doubt.probe)
    at_once = isinstance(act.step, Heat) and shown is not None and shown >= act.step.over_c
    doubted_s, seen = context.now_s - doubt.at_s, context.watch.probes[doubt.probe].follows
    on_its_way = (
        doubt.kind == JUMP
        and doubted_s < ASK_S[JUMP] + MOVING_S
        and seen.settled_for_s(context.now_s) < LIES_S
    )
    if (doubted_s < ASK_S[doubt.kind] or on_its_way) and not (at_once and doubt.kind == JUMP):
        return []
    text = (
        tr("{text} If it is, turn the heat down.", text=doubt.text)
        if at_once and doubt.kind == JUMP
        else doubt.text
    )
    return [
        ev.AlarmRaised(
            at_s=context.now_s, kind=ASKS[doubt.kind], text=text, vessel=doubt.vessel, probe=doubt.probe
        )
    ]


def _trusted(context: Context, given: Degrees, doubt: ev.ProbeDoubted, seen: ProbeFilter) -> list[ev.Event]:
    name = context.vessel_name(doubt.vessel)
    if doubt.kind == STANDS:
        off = abs(given.temp_c - doubt.to_c)
        if seen.follows.jump is not None or off == 0.0 or not seen.follows.settled:
            return []
        on = off <= MOVED_ON_K + 2 * seen.digits.digit_k
        frozen = _not_seen(context, doubt, seen, given.temp_c)
        return [*trust(context, doubt, given.temp_c, tr("it moves again"), held=on), *frozen]
    frozen = _not_seen(context, doubt, seen, given.temp_c)
    if seen.follows.jump is None:
        return [
            *trust(context, doubt, given.temp_c, tr("it is back on the curve of the {name}", name=name)),
            *frozen,
        ]
    answer = context.state.probe_answers.get(doubt.probe)
    if answer != ChoiceKey.IN_POT or seen.follows.settled_for_s(given.at_s) < VOUCHED_S:
        return []
    text = tr(
        "{partition}. The maker says it is in the {name}, stirred; it shows {temp_c:.1f} °C.",
        partition=doubt.text.partition(". ")[0],
        name=name,
        temp_c=given.temp_c,
    )
    return [
        *trust(context, doubt, given.temp_c, tr("the maker says it is in the {name}, stirred", name=name)),
        deviation(context, ev.Grade.MINOR, tr_noop("probe off its curve"), text),
        *frozen,
    ]


# --- holds that rest on digits which never moved -------------------------------------------------------------


def not_moved(context: Context, vessels: tuple[str, ...], hold_s: float) -> list[ev.Event]:
    """A note for each probe that showed one number for most of a hold of ``hold_s`` seconds that is over now."""
    out = []
    for vessel in vessels:
        probe = context.probe_in(vessel)
        digits = context.watch.probes[probe].digits if probe is not None else None
        if probe is None or digits is None or digits.value_c is None or hold_s < LEAST_S:
            continue
        stood_s = context.now_s - digits.since_s
        if stood_s >= MOST_OF_IT * hold_s:
            text = tr(
                "{exactly} for {stood} of the hold of {asked} in the {vessel_name}: it was not seen to move.",
                exactly=_exactly(probe, digits.value_c),
                stood=wait(min(stood_s, hold_s)),
                asked=duration(hold_s),
                vessel_name=context.vessel_name(vessel),
            )
            out.append(deviation(context, grade_of(NOT_MOVED), NOT_MOVED, text))
    return out


def _exactly(probe: str, temp_c: float) -> str:
    return tr("{probe} showed exactly {temp_c:g} °C", probe=probe, temp_c=temp_c)


def _not_seen(context: Context, doubt: ev.ProbeDoubted, seen: ProbeFilter, temp_c: float) -> list[ev.Event]:
    """Digits that stood through a hold and then went further than that vessel could: they were frozen. What was poured in
    since, or a move to another vessel, explains it too."""
    cools_k_s = balance_of(context, None, doubt.vessel, doubt.from_c).cools_k_s
    could_k = MOVED_ON_K + 2 * seen.digits.digit_k + cools_k_s * (context.now_s - doubt.since_s)
    if abs(temp_c - doubt.from_c) <= could_k:
        return []
    for event in reversed(context.state.log):
        if _explains(event, doubt):
            return []
        if not isinstance(event, ev.DeviationNoted) or event.kind != NOT_MOVED:
            continue
        if event.text.startswith(_exactly(doubt.probe, doubt.from_c)):
            text = tr(
                "{text} Then it showed {temp_c:.1f} °C, which the vessel could not have come to since.",
                text=event.text,
                temp_c=temp_c,
            )
            return [deviation(context, grade_of(HOLD_NOT_SEEN), HOLD_NOT_SEEN, text)]
    return []


def _explains(event: ev.Event, doubt: ev.ProbeDoubted) -> bool:
    if isinstance(event, ev.ProbeMoved):
        return event.probe == doubt.probe and event.vessel != doubt.vessel
    if isinstance(event, ev.MassMoved):
        return doubt.vessel in (event.into, event.origin)
    return isinstance(event, ev.WeightTaken) and event.vessel == doubt.vessel


def trust(
    context: Context, doubt: ev.ProbeDoubted, temp_c: float, why: str, held: bool = False
) -> list[ev.Event]:
    """It counts again, and a question about it is over; ``held`` where the time under doubt counts too."""
    out: list[ev.Event] = [
        ev.ProbeTrusted(
            at_s=context.now_s, probe=doubt.probe, vessel=doubt.vessel, temp_c=round(temp_c, 2), why=why, held=held
        )
    ]  # fmt: skip
    alarm = context.state.alarm
    if alarm is not None and alarm.probe == doubt.probe:
        out.append(ev.AlarmCleared(at_s=context.now_s, kind=alarm.kind, how=why))
    return out


def deviation(context: Context, grade: ev.Grade, kind: str, text: str) -> ev.Event:
    """Noted at the step the probe is watched for, also while the maker has stepped aside from it."""
    waiting = context.state.waiting
    step = waiting.step if waiting is not None else context.state.step
    return ev.DeviationNoted(at_s=context.now_s, number=0, grade=grade, kind=kind, step=step, text=text)
