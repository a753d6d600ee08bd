"""Whether a probe follows its vessel. One that does not counts for nothing; it is asked about once, and counts again
when it is back on the vessel's curve or a person has shown that it is right."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp import events as ev
from benchapp.calculations.heat_loss import dry_loss_w, drying_loss_w, warming_k_s
from benchapp.calculations.probe_curve import PUT_IN_S, HeatBalance, Jump, other_unit_c
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.acts.emptied import Emptied
from benchapp.make.acts.gate import POUR_S, Gate
from benchapp.make.acts.pour_line import PourLine
from benchapp.make.acts.waiting import prior_of
from benchapp.make.filters import ProbeFilter
from benchapp.make.inputs import Degrees, Input, TypeValue
from benchapp.make.view_model import ActView, Choice, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb
from procedures.steps import Heat

JUMP, UNIT, STANDS = "jump", "unit", "stands"
#: What an alarm is called that asks about a probe.
ASKS = {JUMP: "probe", UNIT: "probe unit", STANDS: "probe stands"}
#: So long a doubt may clear up by itself before it is asked about, in seconds: a probe lifted to stir comes back.
ASK_S = {JUMP: 60.0, UNIT: 5.0, STANDS: 0.0}
#: It is not asked about while it is moving, at most so much longer; one that lies somewhere is at rest for so long.
MOVING_S, LIES_S = 120.0, 15.0
#: So long after it came to rest, in seconds, how fast it went says nothing of how fast its vessel goes.
MOVED_S = 30.0
#: A vouched probe counts once it has been at rest for so long, in seconds.
VOUCHED_S = 10.0
#: The room and the hottest bath, for how fast a vessel can cool and warm (common practice, no source).
ROOM_C, BATH_C = 21.0, 95.0
#: What is known of a vessel's temperature says something of now for so long, in seconds.
KNOWN_S = 900.0
#: Two thermometers agree within so many kelvin; digits that move on by no more than this had not been frozen.
AGREE_K, MOVED_ON_K = 1.5, 0.5
#: A pour may cool or warm by so many kelvin more than mixing with ice or boiling water would.
MIX_K = 3.0
#: Less than this is left in a vessel that was poured out, in grams.
EMPTY_G = 5.0


def listen(context: Context, act: Act | None, given: Degrees) -> None:
    """Let the filters hear a reading."""
    seen = context.watch.degrees(given)
    vessel = context.state.probes.get(given.probe)
    if vessel is None or _poured_out(context, act, vessel):
        seen.follows.begin(None)
        seen.put_in_s = given.at_s
        return
    if seen.put_in_s is None:
        _begin(context, given, seen, vessel)
    seen.digits.hear(given.at_s, given.temp_c)
    seen.follows.digit_k = min(seen.digits.digit_k, 1.0)
    balance = balance_of(context, act, vessel, given.temp_c)
    seen.follows.hear(given.at_s, given.temp_c, balance, _mixed(context, act, vessel))
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
    known = _last_known(context, vessel)
    seen.follows.begin(
        Jump(known[1], known[0], 0.0, balance_of(context, None, vessel, known[0])) if known else None
    )


def _last_known(context: Context, vessel: str) -> tuple[float, float] | None:
    """(°C, when) of a vessel into which nothing was poured since; None where it is too long ago."""
    known = context.state.temps_c.get(vessel)
    if known is None or context.now_s - known[1] > KNOWN_S:
        return None
    for event in reversed(context.state.log):
        if event.at_s < known[1]:
            return known
        poured = isinstance(event, ev.WeightTaken) and event.vessel == vessel
        if poured or (isinstance(event, ev.MassMoved) and vessel in (event.into, event.origin)):
            return None
    return known


def balance_of(context: Context, act: Act | None, vessel: str, temp_c: float) -> HeatBalance:
    """How fast that vessel can change, by its heat balance."""
    step = act.step if act is not None else None
    prior = prior_of(context, vessel, not isinstance(step, Heat) or step.bath)
    warms = warming_k_s(prior, temp_c, BATH_C)
    loss_w = (
        dry_loss_w(prior, temp_c, ROOM_C) + drying_loss_w(prior, temp_c, ROOM_C) if temp_c > ROOM_C else 0.0
    )
    heated = isinstance(step, Heat) and act is not None and vessel in act.temperatures
    return HeatBalance(warms, max(loss_w, 0.0) / prior.heat_j_k, heated)


def _poured_out(context: Context, act: Act | None, vessel: str) -> bool:
    """Whether that vessel is empty or being emptied: what its probe shows then is nobody's temperature."""
    account = context.state.ledger.of(vessel)
    if isinstance(act, Emptied) and act.vessel == vessel:
        return True
    if isinstance(act, Gate) and vessel in (act.poured, act.emptied) and act.open_within(context, POUR_S):
        return True
    return bool(account.contents_g) and account.content_g < EMPTY_G


def _mixed(context: Context, act: Act | None, vessel: str) -> tuple[float, float] | None:
    """Between which temperatures a vessel may step because of what is being poured into it; None where nothing is."""
    last = context.state.temps_c.get(vessel)
    content_g = context.state.ledger.of(vessel).content_g
    if isinstance(act, Gate) and act.poured and act.vessels[0] == vessel and act.open_within(context, POUR_S):
        poured_g = context.state.ledger.of(act.poured).content_g
        right = context.counts.scratch.get(f"right {vessel}")
        at_c = right if right is not None else (last[0] if last else None)
    elif isinstance(act, Emptied) and act.into == vessel:
        return -1e9, 1e9
    elif isinstance(act, PourLine) and act.vessel == vessel:
        poured_g, at_c = act.target(context).grams, last[0] if last else None
    else:
        return None
    if at_c is None or content_g + poured_g <= 0.0:
        return -1e9, 1e9
    share = poured_g / (content_g + poured_g)
    return at_c * (1 - share) - MIX_K, at_c * (1 - share) + 100.0 * share + MIX_K


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
    name, jump, probe = context.vessel_name(vessel), seen.follows.jump, given.probe
    began_s = seen.put_in_s if seen.put_in_s is not None else given.at_s
    if jump is not None:
        if seen.follows.unproved and given.at_s - began_s < PUT_IN_S:
            return None
        unit = other_unit_c(jump.from_c, given.temp_c)
        text = f"{probe} went from {jump.from_c:.1f} to {given.temp_c:.1f} °C at once. "
        if unit == "°F":
            text += f"{given.temp_c:.1f} °F would be {(given.temp_c - 32.0) / 1.8:.1f} °C: is it set to °F?"
        elif unit:
            text += f"{jump.from_c:.1f} °F would be {given.temp_c:.1f} °C: was it set from °F to °C?"
        else:
            text += f"Is it still in the {name}?"
        kind = UNIT if unit else JUMP
        return ev.ProbeDoubted(
            at_s=given.at_s, probe=probe, vessel=vessel, kind=kind, since_s=jump.at_s, from_c=round(jump.from_c, 2),
            to_c=round(given.temp_c, 2), pace_k_s=round(jump.pace_k_s, 5), text=text,
        )  # fmt: skip
    if act is None or vessel not in act.temperatures:
        return None
    in_air = not isinstance(act, Gate) and not isinstance(act.step, Heat)
    stood = seen.digits.too_long_s(
        given.at_s, balance_of(context, act, vessel, given.temp_c).cools_k_s, in_air
    )
    if not stood:
        return None
    text = f"{probe} has shown exactly {given.temp_c:g} °C for {stood / 60:.0f} min. Stir the {name}: does it move?"
    return ev.ProbeDoubted(
        at_s=given.at_s, probe=probe, vessel=vessel, kind=STANDS, since_s=seen.digits.since_s, from_c=given.temp_c,
        to_c=given.temp_c, pace_k_s=0.0, text=text,
    )  # fmt: skip


def _asked(context: Context, act: Act | None, doubt: ev.ProbeDoubted) -> list[ev.Event]:
    """The question, once for each doubt, and only where something goes by that temperature."""
    if context.state.alarm is not None or act is None or doubt.vessel not in act.temperatures:
        return []
    known = doubt.probe in context.state.probe_doubts
    if known and doubt.probe in context.state.probes_asked:
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
    text = f"{doubt.text} If it is, turn the heat down." if at_once and doubt.kind == JUMP else doubt.text
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
        return _trust(context, doubt, given.temp_c, "it moves again", held=on)
    if seen.follows.jump is None:
        return _trust(context, doubt, given.temp_c, f"it is back on the curve of the {name}")
    answer = context.state.probe_answers.get(doubt.probe)
    if answer != ChoiceKey.IN_POT or seen.follows.settled_for_s(given.at_s) < VOUCHED_S:
        return []
    text = f"{doubt.text.partition('. ')[0]}. The maker says it is in the {name}, stirred; it shows {given.temp_c:.1f} °C."
    return [
        *_trust(context, doubt, given.temp_c, f"the maker says it is in the {name}, stirred"),
        _deviation(context, ev.Grade.MINOR, "probe off its curve", text),
    ]


def _trust(
    context: Context, doubt: ev.ProbeDoubted, temp_c: float, why: str, held: bool = False
) -> list[ev.Event]:
    out: list[ev.Event] = [
        ev.ProbeTrusted(
            at_s=context.now_s, probe=doubt.probe, vessel=doubt.vessel, temp_c=round(temp_c, 2), why=why, held=held
        )
    ]  # fmt: skip
    alarm = context.state.alarm
    if alarm is not None and alarm.probe == doubt.probe:
        out.append(ev.AlarmCleared(at_s=context.now_s, kind=alarm.kind, how=why))
    return out


def _deviation(context: Context, grade: ev.Grade, kind: str, text: str) -> ev.Event:
    waiting = context.state.waiting
    step = waiting.step if waiting is not None else context.state.step
    return ev.DeviationNoted(at_s=context.now_s, number=0, grade=grade, kind=kind, step=step, text=text)


# --- what a person says of it --------------------------------------------------------------------------------

ANSWERS = (ChoiceKey.IN_POT, ChoiceKey.STANDS, ChoiceKey.UNKNOWN)


def answered(context: Context, given: Input) -> list[ev.Event]:
    """The answer to a question about a probe: recorded, and the question is over; what it shows counts no sooner than
    it is at rest, and after "I don't know" or "it stands still" not at all."""
    alarm = context.state.alarm
    doubt = context.state.probe_doubts.get(alarm.probe) if alarm is not None else None
    if alarm is None or doubt is None:
        return []
    if isinstance(given, TypeValue):
        if not _ask(context, doubt.vessel).low <= given.value <= _ask(context, doubt.vessel).high:
            return []
        logged = ev.TemperaturesLogged(
            at_s=context.now_s, step=context.state.step, temps_c=((doubt.vessel, given.value),), source=ev.Source.STATED
        )  # fmt: skip
        out = with_stated(context, [logged])
        over = any(isinstance(e, ev.AlarmCleared) for e in out)
        how = f"the maker measured {given.value:g} °C otherwise"
        return out if over else [*out, ev.AlarmCleared(at_s=context.now_s, kind=alarm.kind, how=how)]
    answer = next((key for key in _answers(doubt) if pressed(given, key)), None)
    if answer is None:
        return []
    return [
        _said(context, doubt, answer),
        ev.AlarmCleared(
            at_s=context.now_s, kind=alarm.kind, how=f"the maker says: {_label(context, doubt, answer)}"
        ),
    ]


def vouched(context: Context, act: Act, given: Input) -> list[ev.Event]:
    """The same said later, while the probe is still in doubt."""
    if not pressed(given, ChoiceKey.IN_POT):
        return []
    return [_said(context, doubt, ChoiceKey.IN_POT) for doubt in _unanswered(context, act)[:1]]


def _unanswered(context: Context, act: Act) -> tuple[ev.ProbeDoubted, ...]:
    """Those that were asked about, and of which nobody has said that they are right."""
    said, asked = context.state.probe_answers, context.state.probes_asked
    return tuple(
        d
        for d in doubts(context, act)
        if d.kind != STANDS and d.probe in asked and said.get(d.probe) != ChoiceKey.IN_POT
    )


def _said(context: Context, doubt: ev.ProbeDoubted, answer: ChoiceKey) -> ev.Event:
    shown = context.shown_c(doubt.probe)
    shows_c = None if shown is None else round(shown, 2)
    return ev.ProbeAnswered(
        at_s=context.now_s, probe=doubt.probe, vessel=doubt.vessel, answer=str(answer), shows_c=shows_c
    )


def with_stated(context: Context, events: Sequence[ev.Event]) -> list[ev.Event]:
    """The events; a temperature stated for a vessel whose probe is in doubt shows the probe right where the two agree,
    and is a major deviation where it counts in its stead."""
    out: list[ev.Event] = []
    for event in events:
        out.append(event)
        if not isinstance(event, ev.TemperaturesLogged) or event.source is not ev.Source.STATED:
            continue
        for vessel, temp in event.temps_c:
            doubt = next((d for d in context.state.probe_doubts.values() if d.vessel == vessel), None)
            if doubt is not None:
                out += _compared(context, doubt, temp)
    return out


def _compared(context: Context, doubt: ev.ProbeDoubted, temp_c: float) -> list[ev.Event]:
    shown, seen = context.shown_c(doubt.probe), context.watch.probes.get(doubt.probe)
    settled = seen is not None and seen.follows.settled
    if shown is not None and settled and abs(shown - temp_c) <= AGREE_K:
        why = f"{temp_c:g} °C measured otherwise agrees"
        return _trust(context, doubt, shown, why, held=doubt.kind == STANDS)
    name = context.vessel_name(doubt.vessel)
    text = f"{name}: {temp_c:g} °C stated by the maker, because {doubt.probe} is in doubt. {doubt.text.partition('. ')[0]}."
    return [_deviation(context, ev.Grade.MAJOR, "typed over a device", text)]


# --- showing -------------------------------------------------------------------------------------------------


def doubts(context: Context, act: Act) -> tuple[ev.ProbeDoubted, ...]:
    """The doubted probes of the vessels an act goes by."""
    return tuple(d for d in context.state.probe_doubts.values() if d.vessel in act.temperatures)


def only_asked(context: Context, act: Act) -> bool:
    """Whether the alarm only asks about a probe the act goes by: it cannot end meanwhile, and its time goes on."""
    alarm = context.state.alarm
    return alarm is not None and alarm.probe in {d.probe for d in doubts(context, act)}


def why_not(context: Context, act: Act) -> tuple[str, ...]:
    """What does not count at an act just now, and why."""
    out = []
    for doubt in doubts(context, act):
        name, what = context.vessel_name(doubt.vessel), doubt.text.partition(". ")[0]
        back = "it moves" if doubt.kind == STANDS else f"it is back in the {name}"
        out.append(f"{what}. It counts again when {back}; or type a temperature measured otherwise.")
    return tuple(out)


def choices(context: Context, act: Act) -> tuple[Choice, ...]:
    """What can still be said of one that was asked about: nothing a foot, Enter or a push on a pan could mean."""
    return tuple(
        Choice(ChoiceKey.IN_POT, _label(context, d, ChoiceKey.IN_POT), serious=True)
        for d in _unanswered(context, act)[:1]
    )


def _answers(doubt: ev.ProbeDoubted) -> tuple[ChoiceKey, ...]:
    return (ChoiceKey.STANDS if doubt.kind == STANDS else ChoiceKey.IN_POT, ChoiceKey.UNKNOWN)


def _label(context: Context, doubt: ev.ProbeDoubted, answer: ChoiceKey) -> str:
    if answer == ChoiceKey.UNKNOWN:
        return "I don't know"
    if answer == ChoiceKey.STANDS:
        return "Stirred, and it stands still"
    right = "set to °C and " if doubt.kind == UNIT else ""
    return f"{doubt.probe} is {right}in the {context.vessel_name(doubt.vessel)}, stirred"


def _ask(context: Context, vessel: str) -> NumberRequest:
    what = f"temperature of the {context.vessel_name(vessel)}, measured otherwise"
    return NumberRequest(what, "°C", 0.0, 110.0, 1, usual=False)


def question(context: Context, doubt: ev.ProbeDoubted, text: str) -> ActView:
    """The question as it stands on the glass."""
    first, _, rest = text.partition(". ")
    both = tuple(Choice(key, _label(context, doubt, key), serious=True) for key in _answers(doubt))
    return ActView(
        f"{first.rstrip('.')}.", Stage.ALARM, (context.live_temp(doubt.vessel),), note=rest, choices=both,
        ask=_ask(context, doubt.vessel), want=Want(Verb.CALM, ASKS[doubt.kind], doubt.vessel),
    )  # fmt: skip
