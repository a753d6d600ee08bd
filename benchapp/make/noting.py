"""What stands beside every decision: deviations get their numbers, an unchecked device is noted once, and what ends
a step ends what was out of its limits."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from benchapp import events as ev
from benchapp.events.grades import UNCHECKED, grade_of
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Context
from benchapp.make.excursions import closed


def noted(context: Context, events: list[ev.Event]) -> list[ev.Event]:
    """These events, with a note the first time a value of an unchecked device counts."""
    out: list[ev.Event] = []
    for event in closed(context, events):
        out.append(event)
        for device in _speakers(context, event):
            out += _unchecked(context, device, out)
    number = len(context.state.deviations)
    for place, event in enumerate(out):
        if isinstance(event, ev.DeviationNoted):
            number += 1
            out[place] = dataclasses.replace(event, number=number)
    return out


def _speakers(context: Context, event: ev.Event) -> tuple[str, ...]:
    """The devices a measured value of this event came from."""
    if isinstance(event, ev.WeightTaken | ev.PhTaken):
        return (event.device,) if event.device else ()
    if isinstance(event, ev.TemperaturesLogged) and event.source is ev.Source.MEASURED:
        here = {v for v, _ in event.temps_c}
        probes = {p for p, v in context.state.probes.items() if v in here}
        return tuple(d for d, p in context.plan.probes if p in probes)
    return ()


def _unchecked(context: Context, device: str, pending: Sequence[ev.Event]) -> list[ev.Event]:
    started = context.state.started
    if started is not None and started.rehearsal:
        return []  # nobody can put a known weight on a simulated scale
    facts = next((d for d in context.plan.devices if d.name == device), None)
    kind = f"{UNCHECKED} {device}"
    said = any(isinstance(e, ev.DeviationNoted) and e.kind == kind for e in pending)
    if facts is None or facts.checked or device in context.state.noted_unchecked or said:
        return []
    text = tr("The {device} has not been checked against a known value before this make.", device=device)
    return [
        ev.DeviationNoted(
            at_s=context.now_s,
            number=0,
            grade=grade_of(UNCHECKED),
            kind=kind,
            step=context.state.step,
            text=text,
        )
    ]
