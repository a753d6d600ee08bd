"""The steps of a made-up make: each begins where something of it happened, and those of which nothing is told share the time between."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from benchapp import events as ev
from procedures.model import Procedure


def stepped(procedure: Procedure, events: Sequence[ev.Event], pace: float) -> list[ev.Event]:
    """These events, with the beginning and the end of every step up to the last of them; all of it so many times as slow."""
    begun = sorted(_begun(procedure, events))
    marks: list[ev.Event] = []
    for (at_s, key), after in zip(begun, [*begun[1:], None], strict=True):
        marks.append(ev.StepBegan(at_s=at_s, step=key))
        if after is not None or isinstance(events[-1], ev.MakeFinished):
            marks.append(ev.StepFinished(at_s=events[-1].at_s if after is None else after[0], step=key))
    whole = [*(e for e in events if e.at_s == 0.0), *marks, *(e for e in events if e.at_s > 0.0)]
    return [replace(e, at_s=round(e.at_s * pace, 1)) for e in sorted(whole, key=lambda e: e.at_s)]


def _begun(procedure: Procedure, events: Sequence[ev.Event]) -> Iterator[tuple[float, str]]:
    """When each step began."""
    told: dict[str, list[float]] = {}
    for event in events:
        if getattr(event, "step", ""):
            told.setdefault(event.step, []).append(event.at_s)
    at_s, waiting = 0.0, list[str]()
    for key in (step.key for step in procedure.steps):
        if key not in told:
            waiting.append(key)
            continue
        first_s = min(told[key]) - 10.0
        if first_s > at_s:
            yield from _between(at_s, first_s, waiting)
            waiting = []
        yield first_s, key
        at_s = max(at_s, *told[key])


def _between(from_s: float, to_s: float, keys: Sequence[str]) -> Iterator[tuple[float, str]]:
    for n, key in enumerate(keys):
        yield from_s + (to_s - from_s) * n / len(keys), key
