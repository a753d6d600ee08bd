"""How long a make took: at work, waiting for heat or cold, away; from the times of its events."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.events.step_times import KINDS, StepTimes
from benchapp.record.batch_events import BatchEvents
from benchapp.record.facts import ProcedureFacts

#: Kinds of step in which nobody's hands are needed unless they weigh ahead.
WAITING = ("heat", "cool")
FILLING = "fill"


@dataclass(frozen=True, slots=True)
class MakeTimes:
    """Seconds of one make. ``filling_s`` is part of ``worked_s``: it goes by the containers, the rest hardly by the size."""

    worked_s: float = 0.0
    waited_s: float = 0.0
    away_s: float = 0.0  # held, or the program was not running
    filling_s: float = 0.0


def times_of(stored: BatchEvents, facts: ProcedureFacts) -> MakeTimes:
    """Every stretch between two events by what was going on in it: what is weighed beside a wait is work."""
    times = StepTimes.of(s.event for s in stored.of(*KINDS))
    waited = filling = 0.0
    for steps, seconds in times.seconds.items():
        kinds = [facts.steps[step].kind if step in facts.steps else "" for step in steps]
        waited += seconds if len(kinds) == 1 and kinds[0] in WAITING else 0.0
        filling += seconds if kinds == [FILLING] else 0.0
    return MakeTimes(sum(times.seconds.values()) - waited, waited, times.away_s, filling)
