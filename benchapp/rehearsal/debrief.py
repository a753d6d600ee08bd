"""After a rehearsal: what happened and when, what it did to the batch, what a master would have done. Events only."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from benchapp import events as ev
from benchapp.foundation.band import Band
from benchapp.rehearsal.errors import RehearsalError
from benchapp.rehearsal.evidence import outcome
from benchapp.rehearsal.scenario_reading import scenario_of
from benchapp.rehearsal.scoring import Verdict, judge


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
    """A rehearsal looked back on. ``effects`` are sentences, each with its figures."""

    batch: str
    maker: str
    title: str
    goal: str
    verdict: Verdict
    timeline: tuple[DebriefLine, ...]
    effects: tuple[str, ...]
    master: str


def debrief(events: Sequence[ev.Event]) -> Debrief:
    """The debrief of a make. Raises NoDebrief for a make without a scenario, ScenarioInvalid for one kept by
    another version."""
    scenario = scenario_of(events)
    if scenario is None:
        raise NoDebrief("That make rehearsed no scenario. benchapp scenarios lists what can be rehearsed.")
    first = events[0]
    assert isinstance(first, ev.MakeStarted)
    verdict = judge(scenario, events)
    start_s = verdict.begun_at_s
    frame = [] if start_s is None else [e for e in events if e.at_s >= start_s]
    return Debrief(
        batch=first.batch, maker=first.maker, title=scenario.title, goal=scenario.goal, verdict=verdict,
        timeline=_timeline(frame, start_s or 0.0, verdict), effects=tuple(_effects(frame, first)),
        master=scenario.master,
    )  # fmt: skip


def _timeline(frame: Sequence[ev.Event], start_s: float, verdict: Verdict) -> tuple[DebriefLine, ...]:
    good = [(g.at_s, g.says, "good") for g in verdict.good if g.at_s is not None]
    bad = [(b.at_s, b.says, "bad") for b in verdict.bad if b.at_s is not None]
    plain = [(e.at_s, text, "") for e in frame if (text := sentence(e))]
    return tuple(
        DebriefLine(at - start_s, text, mark) for at, text, mark in sorted((*plain, *good, *bad), key=_when)
    )


def _when(one: tuple[float, str, str]) -> tuple[float, bool]:
    return one[0], bool(one[2])


def sentence(event: ev.Event) -> str:
    """An event that tells something of a rehearsal as one sentence; "" for the others."""
    words = _SENTENCES.get(type(event))
    return "" if words is None else words(event)


def _plain(key: str) -> str:
    words = key.replace("-", " ")
    return words[:1].upper() + words[1:]


#: What is told of each thing that can be made to happen, where its scenario says nothing of it.
INCIDENTS: dict[str, str] = {
    "pour on": "Far more ran in than was wanted.", "tare": "Somebody tared the scale.",
    "probe out": "A thermometer probe slipped out of the liquid.", "set temperature": "A vessel changed its temperature.",
    "cold bath": "A vessel stood in cold water.", "bath dry": "The bath had boiled dry.",
    "power cut": "A scale lost its power.", "wrong lot": "The wrong lot was in hand.",
    "too much dosed": "Far too much was dosed.", "called away": "You were called away.",
}  # fmt: skip
#: What is told of each kind of event.
_SENTENCES: dict[type[ev.Event], Callable[[Any], str]] = {
    ev.ScenarioStruck: lambda event: event.says or " ".join(INCIDENTS[what] for what in event.what),
    ev.MakeResumed: lambda event: "The program was started again.",
    ev.WeightTaken: lambda event: (
        f"{_plain(event.line)}: {event.net_g:g} g, {event.source} (band {event.low_g:g} to {event.high_g:g} g)."
    ),
    ev.OverpourFound: lambda event: (
        f"{_plain(event.line)}: {event.net_g:g} g in the vessel, {event.high_g:g} g was the most."
    ),
    ev.RemedyChosen: lambda event: f"Remedy for {_plain(event.line)}: {event.remedy}. {event.reason}".strip(),
    ev.MaterialRemoved: lambda event: f"{event.removed_g:g} g of {_plain(event.line)} taken out, waste.",
    ev.LotRefused: lambda event: event.why,
    ev.LotTaken: lambda event: f"Lot {event.lot or 'unknown'} taken for {_plain(event.line)}, {event.how}.",
    ev.AlarmRaised: lambda event: f"Alarm: {event.text}",
    ev.AlarmCleared: lambda event: f"Alarm ended: {event.how}.",
    ev.ProbeDoubted: lambda event: event.text,
    ev.ProbeTrusted: lambda event: f"{event.probe} counts again: {event.why}.",
    ev.BurstUnknown: lambda event: f"Burst {event.number}: {event.why}",
    ev.DeviationNoted: lambda event: f"Deviation, {event.grade}: {event.text}",
    ev.DeviceLost: lambda event: event.text,
    ev.DeviceReturned: lambda event: f"The {event.device} speaks again.",
    ev.ScaleDoubted: lambda event: f"The {event.device} is doubted: {event.why}.",
    ev.ScaleReconciled: lambda event: (
        f"The {event.device} agrees again: {event.found_g:g} g, {event.expected_g:g} g expected."
    ),
    ev.MakeHeld: lambda event: f"Held. {event.reason}".strip(),
    ev.HoldEnded: lambda event: f"Taken up again after {event.held_s / 60:.1f} min.",
    ev.DilutionMade: lambda event: (
        f"{event.solution_g:g} g of {_plain(event.line)} diluted with {event.water_g:g} g of {_plain(event.water)}."
    ),
    ev.PhTaken: lambda event: f"pH {event.ph:.2f}, {'in' if event.in_band else 'outside'} its band.",
    ev.MassMoved: lambda event: (
        f"{_plain(event.origin)} poured into {_plain(event.into)}: {event.mass_g:g} g."
    ),
    ev.BandEntered: lambda event: f"{_plain(event.vessel)} came into the band at {event.temp_c:.1f} °C.",
    ev.BandLeft: lambda event: f"{_plain(event.vessel)} fell out of the band at {event.temp_c:.1f} °C.",
    ev.StepSkipped: lambda event: f"The step was left out: {event.reason}",
    ev.StepFinished: lambda event: "The step was done.",
    ev.SteppedAside: lambda event: "While it waited, something later was weighed.",
    ev.SteppedBack: lambda event: f"Back at the wait: {event.why}{'' if event.why.endswith('.') else '.'}",
}


def _effects(frame: Sequence[ev.Event], started: ev.MakeStarted) -> list[str]:
    """What it did to the batch: shares, pH, temperature, time, waste."""
    if not frame:
        return []
    out: list[str] = []
    batch_g = next((e.batch_g for e in reversed(frame) if isinstance(e, ev.TargetsRevised)), started.batch_g)
    for e in frame:
        if isinstance(e, ev.WeightTaken) and not Band(e.low_g, e.high_g).holds(e.net_g) and e.target_g > 0:
            share, meant = 100 * e.net_g / batch_g, 100 * e.target_g / batch_g
            out.append(f"{_plain(e.line)}: {share:.2f} % of the batch where {meant:.2f} % was meant.")
    if batch_g != started.batch_g:
        out.append(f"The batch became {batch_g:.1f} g instead of {started.batch_g:.1f} g.")
    readings = [e for e in frame if isinstance(e, ev.PhTaken) and e.of == ""]
    if readings:
        out.append(f"pH {readings[0].ph:.2f} first, {readings[-1].ph:.2f} in the end.")
    temps = [t for e in frame if isinstance(e, ev.TemperaturesLogged) for _, t in e.temps_c]
    if temps:
        out.append(f"Between {min(temps):.1f} and {max(temps):.1f} °C.")
    held_s = sum(e.held_s for e in frame if isinstance(e, ev.HoldEnded))
    out.append(
        f"{(frame[-1].at_s - frame[0].at_s) / 60:.1f} min in all, {held_s / 60:.1f} min of them on hold."
    )
    waste_g = sum(e.removed_g for e in frame if isinstance(e, ev.MaterialRemoved))
    samples_g = sum(e.mass_g for e in frame if isinstance(e, ev.SampleTaken))
    out.append(f"{waste_g:.1f} g of waste and {samples_g:.1f} g of samples.")
    grades = [
        e.grade.value for e in frame if isinstance(e, ev.DeviationNoted) and e.grade is not ev.Grade.NOTE
    ]
    out.append(f"Deviations that would keep it from leaving: {len(grades)}.")
    return out


def debrief_lines(found: Debrief) -> list[str]:
    """A debrief as plain lines."""
    out = [
        f"{found.title} · {found.batch} · {found.maker}",
        f"Goal: {found.goal}",
        verdict_words(found.verdict),
    ]
    out += [f"  {why}" for why in found.verdict.why]
    out.append("What happened:")
    marks = {"good": "+", "bad": "!", "": " "}
    out += [f"  {minutes(line.after_s)} {marks[line.mark]} {line.text}" for line in found.timeline]
    out.append("What it did to the batch:")
    out += [f"  {text}" for text in found.effects]
    return [*out, f"What a master would have done: {found.master}"]


def verdict_words(verdict: Verdict) -> str:
    """The verdict in a sentence."""
    return f"{outcome(verdict).capitalize()}."


def minutes(seconds: float) -> str:
    """Seconds as m:ss."""
    whole = int(max(seconds, 0.0))
    return f"{whole // 60:3d}:{whole % 60:02d}"
