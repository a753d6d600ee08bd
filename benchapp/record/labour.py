"""How long a make took: at work, waiting for heat or cold, away; from the times of its events."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.record.batch_events import BatchEvents
from benchapp.record.facts import ProcedureFacts

#: Kinds of step in which nobody's hands are needed unless they weigh ahead.
WAITING = ("heat", "cool")
FILLING = "fill"
_KINDS = (
    ev.MakeStarted, ev.StepBegan, ev.StepFinished, ev.StepSkipped, ev.SteppedAside, ev.SteppedBack, ev.MakeHeld,
    ev.HoldEnded, ev.MakeResumed, ev.MakeFinished, ev.MakeAbandoned,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class MakeTimes:
    """Seconds of one make. ``filling_s`` is part of ``worked_s``: it goes by the containers, the rest hardly by the size."""

    worked_s: float = 0.0
    waited_s: float = 0.0
    away_s: float = 0.0  # held, or the program was not running
    filling_s: float = 0.0


def times_of(stored: BatchEvents, facts: ProcedureFacts) -> MakeTimes:
    """Every stretch between two events by what was going on in it."""
    worked = waited = away = filling = 0.0
    kind, before, aside, held = "", None, False, False
    for s in stored.of(*_KINDS):
        e = s.event
        if before is not None:
            stretch = max(e.at_s - before, 0.0)
            gone = min(e.gap_s, stretch) if isinstance(e, ev.MakeResumed) else stretch if held else 0.0
            away, stretch = away + gone, stretch - gone
            if kind in WAITING and not aside:
                waited += stretch
            else:
                worked += stretch
                filling += stretch if kind == FILLING else 0.0
        before = e.at_s
        if isinstance(
            e, ev.StepBegan | ev.SteppedBack
        ):  # back at a wait, whatever was begun and done beside it
            kind = facts.steps[e.step].kind if e.step in facts.steps else ""
        elif isinstance(e, ev.StepFinished | ev.StepSkipped):
            kind = ""
        if isinstance(e, ev.SteppedAside | ev.SteppedBack):
            aside = isinstance(e, ev.SteppedAside)
        elif isinstance(e, ev.MakeHeld | ev.HoldEnded):
            held = isinstance(e, ev.MakeHeld)
    return MakeTimes(worked, waited, away, filling)
