"""Temperatures as curves: one per vessel, with the bands of the steps they passed through."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.record.batch_events import BatchEvents
from benchapp.record.facts import ProcedureFacts
from benchapp.record.stored_event import StoredEvent


@dataclass(frozen=True, slots=True)
class Curve:
    """One vessel's temperature: (seconds since the make began, °C), in order of time."""

    vessel: str
    points: tuple[tuple[float, float], ...]
    source: str


@dataclass(frozen=True, slots=True)
class BandSpan:
    """Limits in °C that held from one time to another, seconds since the make began; None: no limit."""

    step: str
    from_s: float
    to_s: float
    low_c: float | None
    high_c: float | None


@dataclass(frozen=True, slots=True)
class StepTime:
    """When a step began and ended. ``skipped`` is the reason it was left out."""

    key: str
    title: str
    kind: str
    begun: str
    ended: str
    from_s: float
    to_s: float
    skipped: str = ""


def step_times(stored: BatchEvents, facts: ProcedureFacts) -> tuple[StepTime, ...]:
    """Every step that was begun or skipped; one that is still open ends with the last event of the make."""
    open_steps: dict[str, StoredEvent] = {}
    found: list[StepTime] = []

    def close(key: str, begun: StoredEvent, ended: StoredEvent, skipped: str = "") -> None:
        found.append(
            StepTime(key, facts.step(key), facts.kind(key), begun.wall, ended.wall, begun.event.at_s,
                     ended.event.at_s, skipped)
        )  # fmt: skip

    for s in stored.of(ev.StepBegan, ev.StepFinished, ev.StepSkipped, ev.StepPutOff):
        e = s.event
        if isinstance(e, ev.StepBegan):
            open_steps.setdefault(e.step, s)
        elif isinstance(e, ev.StepPutOff):
            open_steps.pop(e.step, None)  # it begins again when its turn comes
        elif isinstance(e, ev.StepFinished):
            close(e.step, open_steps.pop(e.step, s), s)
        elif isinstance(e, ev.StepSkipped):
            close(e.step, open_steps.pop(e.step, s), s, e.reason)
    for key, begun in open_steps.items():
        close(key, begun, stored.last)
    return tuple(sorted(found, key=lambda t: (t.from_s, t.key)))


def curves(stored: BatchEvents, facts: ProcedureFacts) -> tuple[Curve, ...]:
    """One curve per vessel, in the order they were first measured."""
    points: dict[str, list[tuple[float, float]]] = {}
    source: dict[str, ev.Source] = {}
    for e in stored.events(ev.TemperaturesLogged):
        for vessel, temp in e.temps_c:
            points.setdefault(vessel, []).append((e.at_s, temp))
            source[vessel] = e.source
    return tuple(Curve(facts.vessel(v), tuple(p), str(source[v])) for v, p in points.items())


def band_spans(steps: Sequence[StepTime], facts: ProcedureFacts) -> tuple[BandSpan, ...]:
    """The temperature limits of each step that has any."""
    spans = []
    for t in steps:
        plan = facts.steps.get(t.key)
        if plan is not None and plan.unit == "°C" and (plan.low is not None or plan.high is not None):
            spans.append(BandSpan(t.title, t.from_s, t.to_s, plan.low, plan.high))
    return tuple(spans)
