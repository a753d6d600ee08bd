"""After a rehearsal: what happened and when, what it did to the batch, what a master would have done. Events only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from benchapp import events as ev
from benchapp.foundation.band import Band
from benchapp.foundation.language import capitalised, tr, tr_n, tr_noop, translated
from benchapp.rehearsal.errors import RehearsalError
from benchapp.rehearsal.evidence import outcome
from benchapp.rehearsal.scenario_reading import scenario_of
from benchapp.rehearsal.scoring import Verdict, judge

#: Nothing is said of what took less, in seconds.
LEAST_TOLD_S = 60.0


class NoDebrief(RehearsalError):
    """The make was no rehearsal of a scenario, so there is no goal to hold it against."""


@dataclass(frozen=True, slots=True)
class DebriefLine:
    """One line of the timeline: the make's seconds since the scenario began, words, and "good", "bad" or ""."""

    after_s: float
    text: str
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Debrief:
    """A rehearsal looked back on. ``effects`` are sentences, each with its figures; ``worst`` is the one of them that says
    what the formula has become, "" where it is as it was meant."""

    batch: str
    maker: str
    title: str
    goal: str
    verdict: Verdict
    timeline: tuple[DebriefLine, ...]
    effects: tuple[str, ...]
    master: str
    worst: str = ""


def debrief(events: Sequence[ev.Event]) -> Debrief:
    """The debrief of a make. Raises NoDebrief for a make without a scenario, ScenarioInvalid for one kept by
    another version."""
    scenario = scenario_of(events)
    if scenario is None:
        raise NoDebrief(
            tr("That make rehearsed no scenario. benchapp scenarios lists what can be rehearsed.")
        )
    first = events[0]
    assert isinstance(first, ev.MakeStarted)
    verdict = judge(scenario, events)
    start_s = verdict.begun_at_s
    frame = [] if start_s is None else [e for e in events if e.at_s >= start_s]
    off = _off(frame, first)
    return Debrief(
        batch=first.batch, maker=first.maker, title=scenario.title, goal=scenario.goal, verdict=verdict,
        timeline=_timeline(frame, start_s or 0.0, verdict), effects=tuple(_effects(frame, first)),
        master=scenario.master, worst=off[0] if off else "",
    )  # fmt: skip


def _timeline(frame: Sequence[ev.Event], start_s: float, verdict: Verdict) -> tuple[DebriefLine, ...]:
    good = [(g.at_s, g.told, "good") for g in verdict.good if g.at_s is not None]
    bad = [(b.at_s, b.told, "bad") for b in verdict.bad if b.at_s is not None]
    known = _said_already(frame, {at for at, _, _ in (*good, *bad)})
    plain = [(e.at_s, text, "") for e in frame if e not in known and (text := sentence(e))]
    return tuple(
        DebriefLine(at - start_s, text, mark) for at, text, mark in sorted((*plain, *good, *bad), key=_when)
    )


def _said_already(frame: Sequence[ev.Event], decided_at_s: set[float]) -> list[ev.Event]:
    """What would tell a fact again: that a weight which was found too much was accepted is its weight and its deviation, too;
    and where that decided the verdict, the sign says it."""
    accepted = {e.at_s for e in frame if isinstance(e, ev.RemedyChosen) and e.remedy is ev.Remedy.ACCEPT}
    again = [e for e in frame if e.at_s in accepted and isinstance(e, ev.WeightTaken | ev.DeviationNoted)]
    chosen = [e for e in frame if e.at_s in decided_at_s and isinstance(e, ev.RemedyChosen)]
    return [*again, *chosen]


def _when(one: tuple[float, str, str]) -> tuple[float, bool]:
    return one[0], bool(one[2])


def sentence(event: ev.Event) -> str:
    """An event that tells something of a rehearsal as one sentence; "" for the others."""
    match event:
        case ev.LotRefused():
            return event.why
        case ev.ProbeDoubted() | ev.DeviceLost():
            return event.text
        case ev.ScenarioStruck(says=""):
            return " ".join(translated(INCIDENTS[what]) for what in event.what)
        case ev.MakeHeld():
            return tr("Held. {reason}", reason=event.reason).strip()
        case ev.HoldEnded():
            return tr("Taken up again after {held_s:.1f} min.", held_s=event.held_s / 60)
        case ev.PhTaken(in_band=True):
            return tr("pH {ph:.2f}, good.", ph=event.ph)
        case ev.LotTaken(lot=""):
            return tr("{line} taken, its lot is not known.", line=_plain(event.line))
        case ev.SteppedBack():
            return tr(
                "Back at the wait: {why}{how}", why=event.why, how="" if event.why.endswith(".") else "."
            )
        case _:
            words = _SENTENCES.get(type(event))
            return "" if words is None else tr(words, **_given(event))


def _given(event: ev.Event) -> dict[str, Any]:
    """What stands in the places of its sentence: its fields, with a name in place of a key."""
    _, found = ev.to_fields(event)
    found |= {name: _plain(found[name]) for name in _KEYS if isinstance(found.get(name), str)}
    if isinstance(event, ev.RemedyChosen):
        found["remedy"] = _REMEDIES[event.remedy]
    if isinstance(event, ev.LotTaken):
        found["how"] = _TAKEN.get(event.how, event.how)
    return found


def _plain(key: str) -> str:
    words = key.replace("-", " ")
    return words[:1].upper() + words[1:]


#: What is told of each thing that can be made to happen, where its scenario says nothing of it.
INCIDENTS: dict[str, str] = {
    "pour on": tr_noop("Far more ran in than was wanted."), "tare": tr_noop("Somebody tared the scale."),
    "probe out": tr_noop("A thermometer probe slipped out of the liquid."), "set temperature": tr_noop("A vessel changed its temperature."),
    "cold bath": tr_noop("A vessel stood in cold water."), "bath dry": tr_noop("The bath had boiled dry."),
    "power cut": tr_noop("A scale lost its power."), "wrong lot": tr_noop("The wrong lot was in hand."),
    "too much dosed": tr_noop("Far too much was dosed."), "called away": tr_noop("You were called away."),
}  # fmt: skip
_REMEDIES = {
    ev.Remedy.ACCEPT: tr_noop("accepted as it was"), ev.Remedy.REMOVE: tr_noop("some of it was to be taken out"),
    ev.Remedy.KEEP_FORMULA: tr_noop("the rest was to become more, to keep the formula"),
}  # fmt: skip
#: How a lot came into the hand, where the record's word would not say it.
_TAKEN = {"remembered": tr_noop("the next in the store")}
#: The fields of events that hold the key of a line or a vessel.
_KEYS = ("line", "water", "vessel", "origin", "into")
#: What is told of each kind of event, its own fields in the places.
_SENTENCES: dict[type[ev.Event], str] = {
    ev.ScenarioStruck: tr_noop("You were told: {says}"),
    ev.MakeResumed: tr_noop("The program was started again."),
    ev.WeightTaken: tr_noop("{line}: {net_g:g} g, {source} (should be {low_g:g} to {high_g:g} g)."),
    ev.OverpourFound: tr_noop("{line}: {net_g:g} g in the vessel, {high_g:g} g was the most."),
    ev.RemedyChosen: tr_noop("{line}: {remedy}."),
    ev.MaterialRemoved: tr_noop("{removed_g:g} g of {line} taken out, waste."),
    ev.LotTaken: tr_noop("Lot {lot} taken for {line}, {how}."),
    ev.AlarmRaised: tr_noop("Alarm: {text}"),
    ev.AlarmCleared: tr_noop("Alarm ended: {how}."),
    ev.ProbeTrusted: tr_noop("{probe} counts again: {why}."),
    ev.BurstUnknown: tr_noop("Burst {number}: {why}"),
    ev.DeviationNoted: tr_noop("Deviation, {grade}: {text}"),
    ev.DeviceReturned: tr_noop("The {device} speaks again."),
    ev.ScaleDoubted: tr_noop("The {device} is doubted: {why}."),
    ev.ScaleReconciled: tr_noop(
        "The {device} is known again: it shows {found_g:g} g, {expected_g:g} g stood there."
    ),
    ev.DilutionMade: tr_noop("{solution_g:g} g of {line} diluted with {water_g:g} g of {water}."),
    ev.PhTaken: tr_noop("pH {ph:.2f}, not good."),
    ev.MassMoved: tr_noop("{origin} poured into {into}: {mass_g:g} g."),
    ev.BandEntered: tr_noop("{vessel} reached its temperature: {temp_c:.1f} °C."),
    ev.BandLeft: tr_noop("{vessel} left its temperature: {temp_c:.1f} °C."),
    ev.StepSkipped: tr_noop("The step was left out: {reason}"),
    ev.StepFinished: tr_noop("The step was done."),
    ev.SteppedAside: tr_noop("While it waited, something later was weighed."),
}


def _effects(frame: Sequence[ev.Event], started: ev.MakeStarted) -> list[str]:
    """What it did to the batch: shares, pH, temperature, time, waste."""
    if not frame:
        return []
    out = _masses(frame, started)
    readings = [e for e in frame if isinstance(e, ev.PhTaken) and e.of == ""]
    if readings:
        out.append(tr("pH {ph:.2f} first, {ph_2:.2f} in the end.", ph=readings[0].ph, ph_2=readings[-1].ph))
    temps = [t for e in frame if isinstance(e, ev.TemperaturesLogged) for _, t in e.temps_c]
    if temps:
        out.append(tr("Between {temps:.1f} and {temps_2:.1f} °C.", temps=min(temps), temps_2=max(temps)))
    out += _minutes(frame)
    waste_g = sum(e.removed_g for e in frame if isinstance(e, ev.MaterialRemoved))
    samples_g = sum(e.mass_g for e in frame if isinstance(e, ev.SampleTaken))
    if waste_g:
        out.append(tr("{waste_g:.1f} g of waste.", waste_g=waste_g))
    if samples_g:
        out.append(tr("{samples_g:.1f} g of samples.", samples_g=samples_g))
    grades = [
        e.grade.value for e in frame if isinstance(e, ev.DeviationNoted) and e.grade is not ev.Grade.NOTE
    ]
    if grades:
        out.append(
            tr_n(
                "{n} open deviation: a real batch could not leave so.",
                "{n} open deviations: a real batch could not leave so.",
                n=len(grades),
            )
        )
    return out


def _minutes(frame: Sequence[ev.Event]) -> list[str]:
    """How long it took, and how much of it was a hold; nothing of what was over within a minute."""
    took_s = frame[-1].at_s - frame[0].at_s
    held_s = sum(e.held_s for e in frame if isinstance(e, ev.HoldEnded))
    if held_s >= LEAST_TOLD_S:
        return [
            tr("{took:.1f} min in all, {held:.1f} min of them on hold.", took=took_s / 60, held=held_s / 60)
        ]
    return [tr("It took {took:.1f} min.", took=took_s / 60)] if took_s >= LEAST_TOLD_S else []


def _batch_g(frame: Sequence[ev.Event], started: ev.MakeStarted) -> float:
    """How large the batch became in the end, in grams."""
    return next((e.batch_g for e in reversed(frame) if isinstance(e, ev.TargetsRevised)), started.batch_g)


def _off(frame: Sequence[ev.Event], started: ev.MakeStarted) -> list[str]:
    """Shares that are not what was meant."""
    batch_g = _batch_g(frame, started)
    return [
        tr(
            "{plain}: {share:.2f} %, not {meant:.2f} %.",
            plain=_plain(e.line),
            share=100 * e.net_g / batch_g,
            meant=100 * e.target_g / batch_g,
        )
        for e in frame
        if isinstance(e, ev.WeightTaken) and e.target_g > 0 and not Band(e.low_g, e.high_g).holds(e.net_g)
    ]


def _masses(frame: Sequence[ev.Event], started: ev.MakeStarted) -> list[str]:
    """Shares that are not what was meant, and a batch that became larger."""
    batch_g, out = _batch_g(frame, started), _off(frame, started)
    if batch_g != started.batch_g:
        out.append(
            tr(
                "The batch became {batch_g:.1f} g instead of {batch_g_2:.1f} g.",
                batch_g=batch_g,
                batch_g_2=started.batch_g,
            )
        )
    return out


def debrief_lines(found: Debrief) -> list[str]:
    """A debrief as plain lines."""
    out = [
        f"{translated(found.title)} · {found.batch} · {found.maker}",
        tr("Goal: {goal}", goal=found.goal),
        f"{capitalised(outcome(found.verdict))}.",
    ]
    out += [f"  {why}" for why in found.verdict.why]
    out.append(tr("What happened:"))
    marks = {"good": "+", "bad": "!", "": " "}
    out += [f"  {elapsed(line.after_s):>11} {marks[line.mark]} {line.text}" for line in found.timeline]
    out.append(tr("What it did to the batch:"))
    out += [f"  {text}" for text in found.effects]
    return [*out, tr("Better: {master}", master=found.master)]


def verdict_of(found: Debrief) -> str:
    """What was practised, and whether its goal was reached."""
    return tr("{title}: {how}", title=found.title, how=outcome(found.verdict))


def elapsed(seconds: float) -> str:
    """How long after the beginning: 28 s, 1 min 05 s."""
    whole = int(max(seconds, 0.0))
    if whole < 60:
        return f"{whole} s"
    return tr("{minutes} min {seconds:02d} s", minutes=whole // 60, seconds=whole % 60)
