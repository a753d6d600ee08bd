"""What a person says of a probe in doubt, what is measured otherwise, and how the question stands on the glass."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.acts.base import Act, Context, pressed
from benchapp.make.inputs import Input, TypeValue
from benchapp.make.probes import ASKS, STANDS, deviation, trust
from benchapp.make.state import UNIT
from benchapp.make.view_model import ActView, Choice, NumberRequest, Want
from benchapp.make.vocabulary import ChoiceKey, Stage, Verb

#: Two thermometers agree within so many kelvin.
AGREE_K = 1.5


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
        how = tr("the maker measured {value:g} °C otherwise", value=given.value)
        return out if over else [*out, ev.AlarmCleared(at_s=context.now_s, kind=alarm.kind, how=how)]
    answer = next((choice for choice in _answers(context, doubt) if pressed(given, choice.key)), None)
    if answer is None:
        return []
    return [
        *(_said(context, d, answer.key) for d in context.state.doubted_with(doubt.probe)),
        ev.AlarmCleared(
            at_s=context.now_s, kind=alarm.kind, how=tr("the maker says: {label}", label=answer.label)
        ),
    ]


def vouched(context: Context, act: Act) -> list[ev.Event]:
    """That it is in its vessel, said later, while the probe is still in doubt."""
    first = _unanswered(context, act)[:1]
    together = [d for doubt in first for d in context.state.doubted_with(doubt.probe)]
    return [_said(context, doubt, ChoiceKey.IN_POT) for doubt in together]


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
        why = tr("{temp_c:g} °C measured otherwise agrees", temp_c=temp_c)
        return trust(context, doubt, shown, why, held=doubt.kind == STANDS)
    name = context.vessel_name(doubt.vessel)
    text = tr(
        "{name}: {temp_c:g} °C stated by the maker, because {probe} is in doubt. {partition}.",
        name=name,
        temp_c=temp_c,
        probe=doubt.probe,
        partition=doubt.text.partition(". ")[0],
    )
    return [deviation(context, ev.Grade.MAJOR, tr_noop("typed over a device"), text)]


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
        back = tr("it moves") if doubt.kind == STANDS else tr("it is back in the {name}", name=name)
        out.append(
            tr(
                "{what}. It counts again when {back}; or type a temperature measured otherwise.",
                what=what,
                back=back,
            )
        )
    return tuple(out)


def choices(context: Context, act: Act) -> tuple[Choice, ...]:
    """What can still be said of one that was asked about: nothing a foot, Enter or a push on a pan could mean."""
    return tuple(_in_pot(context, d) for d in _unanswered(context, act)[:1])


def _in_pot(context: Context, doubt: ev.ProbeDoubted) -> Choice:
    right = tr("set to °C and ") if doubt.kind == UNIT else ""
    said = tr(
        "{probe} is {right}in the {vessel_name}, stirred",
        probe=doubt.probe,
        right=right,
        vessel_name=context.vessel_name(doubt.vessel),
    )
    return Choice(ChoiceKey.IN_POT, said, serious=True)


def _answers(context: Context, doubt: ev.ProbeDoubted) -> tuple[Choice, ...]:
    stands = Choice(ChoiceKey.STANDS, tr("Stirred, and it stands still"), serious=True)
    right = stands if doubt.kind == STANDS else _in_pot(context, doubt)
    return right, Choice(ChoiceKey.UNKNOWN, tr("I don't know"), serious=True)


def _ask(context: Context, vessel: str) -> NumberRequest:
    what = tr("temperature of the {vessel_name}, measured otherwise", vessel_name=context.vessel_name(vessel))
    return NumberRequest(what, "°C", 0.0, 110.0, 1, usual=False)


def question(context: Context, doubt: ev.ProbeDoubted, text: str) -> ActView:
    """The question as it stands on the glass."""
    first, _, rest = text.partition(". ")
    return ActView(
        f"{first.rstrip('.')}.", Stage.ALARM, (context.live_temp(doubt.vessel),), note=rest, choices=_answers(context, doubt),
        ask=_ask(context, doubt.vessel), want=Want(Verb.CALM, ASKS[doubt.kind], doubt.vessel),
    )  # fmt: skip
