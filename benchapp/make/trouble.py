"""What rises above a step: alarms, lost devices, a scale on a wrong zero, a hold."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.make import excursions, probes
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.vessel import agreement_g, pan_is_empty
from benchapp.make.inputs import ClockSet, Degrees, Grams, Input, NoNumber, PhRead
from benchapp.make.plan import decimals_of
from benchapp.make.state import State
from benchapp.make.view_model import ActView, Choice, LiveValue, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.steps import Heat

#: A heated vessel that gained less than this in so long has stopped warming: a dry bath, a switch, a lid.
STALL_K, STALL_S = 1.0, 900.0
#: Said of a device that the make cannot be made on.
SIMULATED_HERE = "The {device} is a simulated one, and this is a real make: nothing it says is taken. Connect the real one."
REAL_HERE = "The {device} is a real one, and this is a rehearsal: nothing it says is taken. Rehearse on a simulated bench."
#: Below this share of a scale's own division count a negative reading means a wrong zero.
NEGATIVE_DIVISIONS = 20.0


# --- alarms ------------------------------------------------------------------------------------------------


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
        if not _watching(act):
            return []
        vessel = context.state.probes[given.channel]
        text = f"{given.channel} in the {context.vessel_name(vessel)} is open: no temperature is being watched there."
        return [ev.AlarmRaised(at_s=given.at_s, kind="probe", text=text, vessel=vessel)]
    return []


def _watching(act: Act | None) -> bool:
    return act is not None and act.step.of_kind.by_temperature


def _hot(context: Context, act: Act | None, given: Degrees) -> list[ev.Event]:
    vessel = context.state.probes.get(given.probe)
    if vessel is None or act is None or not isinstance(act.step, Heat) or given.temp_c < act.step.over_c:
        return []
    if context.state.alarm is not None:
        return []
    text = (
        f"The {context.vessel_name(vessel)} is at {given.temp_c:.1f} °C, over {act.step.over_c:g} °C. "
        "Turn the heat down and lift it out with a dry cloth."
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
    text = (
        f"The {context.vessel_name(vessel)} has not warmed for {STALL_S / 60:.0f} minutes and stands at "
        f"{given.temp_c:.1f} °C. Switch the heat off, then look whether the bath has run dry."
    )
    return [ev.AlarmRaised(at_s=given.at_s, kind="not warming", text=text, vessel=vessel)]


def calm(context: Context, given: Input) -> list[ev.Event]:
    """An alarm ends by a person's word; too hot only once it has cooled."""
    alarm = context.state.alarm
    if alarm is not None and alarm.probe in context.state.probe_doubts:
        return probes.answered(context, given)
    if alarm is None or not pressed(given, ChoiceKey.SEEN_TO):
        return []
    if alarm.kind == "too hot" and still_too_hot(context):
        return []
    return [ev.AlarmCleared(at_s=context.now_s, kind=alarm.kind, how="the maker says it is seen to")]


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
        return probes.question(context, doubt, alarm.text)
    live = context.live_temp(alarm.vessel)
    not_yet = ("It is still too hot.",) if alarm.kind == "too hot" and still_too_hot(context) else ()
    choices = () if not_yet else (Choice(ChoiceKey.SEEN_TO, "It is seen to", serious=True),)
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


def clock_set(context: Context, given: ClockSet) -> ev.Event:
    """Times on the wall before and after do not follow each other; durations do, by the make's own clock."""
    said = [f"The computer's clock was set {_apart(given.by_s)}."] if given.by_s else []
    said += [f"Its zone moved {_apart(given.zone_s)}."] if given.zone_s else []
    text = " ".join(
        (*said, "Durations in this record come from the time it has been running, and stay true.")
    )
    return ev.DeviationNoted(
        at_s=context.now_s,
        number=0,
        grade=ev.Grade.NOTE,
        kind="clock set",
        step=context.state.step,
        text=text,
    )


def _apart(by_s: float) -> str:
    way = "forward" if by_s > 0 else "back"
    minutes, seconds = divmod(round(abs(by_s)), 60)
    return f"{way} by {f'{minutes} min ' if minutes else ''}{f'{seconds} s' if seconds or not minutes else ''}".strip()


# --- devices of the other kind ---------------------------------------------------------------------------


def only_its_own(state: State, given: Input) -> Input:
    """The input; a reading of a simulated device in a real make, or of a real one in a rehearsal, as a lost device:
    nothing it says counts, and it is said once."""
    if state.started is None or not isinstance(given, Grams | Degrees | PhRead):
        return given
    if given.simulated is state.started.rehearsal:
        return given
    text = SIMULATED_HERE if given.simulated else REAL_HERE
    return NoNumber(given.at_s, given.device, None, "refused", text.format(device=given.device), lost=True)


# --- devices lost and found -----------------------------------------------------------------------------


def faults(
    context: Context, given: NoNumber, act: Act | None, stood: tuple[float, float] | None = None
) -> list[ev.Event]:
    """A device that went out of reach, or gives no number: said once, and a deviation where it was needed."""
    needed = act is not None and given.device in act.devices
    if not given.lost:
        kind = f"{given.fault}: {given.device}"
        if act is None or not needed or any(d.kind == kind for d in context.state.deviations):
            return []
        return [act.deviation(context, ev.Grade.NOTE, kind, given.text)]
    if given.device in context.state.lost:
        return []
    least, most = (round(stood[0], 3), round(stood[1], 3)) if stood else (None, None)
    out: list[ev.Event] = [
        ev.DeviceLost(
            at_s=given.at_s,
            device=given.device,
            fault=given.fault,
            text=given.text,
            least_g=least,
            most_g=most,
        )
    ]
    if act is not None and given.device in act.devices:
        out.append(act.deviation(context, ev.Grade.NOTE, "device lost", given.text))
    return out


def found_again(context: Context, device: str, at_s: float) -> list[ev.Event]:
    """A reading from a device that was lost: it is back, and a scale may have zeroed on what stood on it."""
    if device not in context.state.lost:
        return []
    out: list[ev.Event] = [ev.DeviceReturned(at_s=at_s, device=device)]
    if _is_scale(context, device):
        out.append(
            ev.ScaleDoubted(at_s=at_s, device=device, why="it was out of reach and may have lost its zero")
        )
    return out


def _is_scale(context: Context, device: str) -> bool:
    return any(d.name == device and d.kind == "scale" for d in context.plan.devices)


def wrong_zero(context: Context, given: Grams) -> list[ev.Event]:
    """A scale at rest well below zero was zeroed with something on it."""
    if given.device in context.state.doubted:
        return []
    still = context.still_g(given.device, 0.5)
    if still is None or still > -NEGATIVE_DIVISIONS * context.division_g(given.device):
        return []
    why = f"it shows {still:.1f} g with the pan empty, so it was zeroed with something on it"
    return [ev.ScaleDoubted(at_s=given.at_s, device=given.device, why=why)]


# --- a doubted scale ------------------------------------------------------------------------------------


def reconcile(context: Context, device: str, given: Input, act: Act) -> list[ev.Event]:
    """Empty pan, then the vessel: go on only when the gross agrees with the ledger (or the maker says so)."""
    still = context.still_g(device, 1.0)
    if context.state.doubted[device] == "empty pan":
        return _empty_pan(context, device, given, still)
    vessel = vessel_in_doubt(context, device, act)
    if vessel == "":
        return [_reconciled(context, device, "", 0.0, 0.0)]
    expected = context.state.ledger.of(vessel).gross_g
    if pressed(given, ChoiceKey.LOOK_AGAIN):
        return [
            ev.ScaleDoubted(at_s=context.now_s, device=device, why="its empty pan has to be seen once more")
        ]
    if still is not None and still < -NEGATIVE_DIVISIONS * context.division_g(device):
        why = f"it shows {still:.1f} g, so the pan was not empty when its zero was seen"
        return [ev.ScaleDoubted(at_s=context.now_s, device=device, why=why)]
    if still is None or pan_is_empty(context, device, still):
        return []
    if expected is None:
        return [_reconciled(context, device, vessel, still, still)]
    if agrees(context, device, vessel, still):
        return [_reconciled(context, device, vessel, expected, still)]
    # The scale is known again, the vessel is not: the act asks what became of it.
    if context.progress.baseline_g is None:
        return [_reconciled(context, device, vessel, expected, still)]
    least, most = context.state.stood_g.get(device, (expected, expected))
    away = ev.VesselLifted(
        at_s=context.now_s, vessel=vessel, device=device, gross_g=round(still, 3), least_g=least, most_g=most
    )
    return [_reconciled(context, device, vessel, expected, still), away]


def _empty_pan(context: Context, device: str, given: Input, still: float | None) -> list[ev.Event]:
    # Without knowing the zero, only a person can say that the pan is empty; a reading at zero could be a
    # scale that was zeroed on a full vessel.
    if still is None or not pressed(given, ChoiceKey.PAN_IS_EMPTY):
        return []
    return [
        ev.PanSeenEmpty(at_s=context.now_s, device=device, zero_g=round(still + context.zero_g(device), 4))
    ]


def vessel_in_doubt(context: Context, device: str, act: Act) -> str:
    """The vessel the current act weighs on that scale, or "" where none is known yet."""
    vessel = getattr(act, "vessel", "")
    if context.state.ledger.of(vessel).empty_g is None if vessel else True:
        return ""
    return vessel if device in act.devices and act.key.startswith(("pour", "replace", "vessel")) else ""


def agrees(context: Context, device: str, vessel: str, gross: float) -> bool:
    """Whether the scale shows what the ledger has, with whatever of the current pour is already in."""
    account = context.state.ledger.of(vessel)
    expected = account.gross_g
    if expected is None:
        return True
    tolerance = agreement_g(context.division_g(device), gross)
    steam = 0.15 * account.content_g if account.heated else 0.0
    least, most = expected, expected
    if context.progress.baseline_g is not None and device in context.state.stood_g:
        least, most = context.state.stood_g[device]
    return min(least, expected) - steam - tolerance <= gross <= max(most, expected) + tolerance


def _reconciled(context: Context, device: str, vessel: str, expected: float, found: float) -> ev.Event:
    return ev.ScaleReconciled(
        at_s=context.now_s,
        device=device,
        vessel=vessel,
        expected_g=round(expected, 3),
        found_g=round(found, 3),
    )


def doubt_view(context: Context, device: str, act: Act) -> ActView:
    """Which of the two things is wanted, and the live gross."""
    gross = context.gross_g(device)
    decimals = decimals_of(context.plan.device(device))
    live = (LiveValue(device, gross, "g", decimals, ev.Source.MEASURED, device),)
    still = context.still_g(device, 1.0)
    if context.state.doubted[device] == "empty pan":
        text = f"Take everything off the {device}, so that its zero can be seen."
        moving = () if still is not None else ("The scale is still moving.",)
        seen = (Choice(ChoiceKey.PAN_IS_EMPTY, "The pan is empty"),) if still is not None else ()
        return ActView(
            text, Stage.DOUBT, live, not_yet=moving, choices=seen, want=Want(Verb.EMPTY_PAN, device=device)
        )
    vessel = vessel_in_doubt(context, device, act)
    name = context.vessel_name(vessel)
    choices = (Choice(ChoiceKey.LOOK_AGAIN, "See the empty pan again"),)
    return ActView(f"Put the {name} back on the {device}.", Stage.DOUBT, live, choices=choices,
                want=Want(Verb.PUT_ON, vessel=vessel, device=device))  # fmt: skip
