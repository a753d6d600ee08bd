"""Rest: a vessel covered, marked and left alone; it goes on when its time has passed, also while the program was closed."""

from __future__ import annotations

from benchapp.foundation.language import tr
from benchapp.make.acts.base import Act
from benchapp.make.acts.confirm import Task
from benchapp.make.acts.timed import Timed
from benchapp.make.plan import Plan
from procedures.phrases import duration
from procedures.steps import Rest

#: A longer rest is one that nobody sits beside (common practice, no source).
LONG_S = 3600.0


def acts(step: Rest, plan: Plan) -> tuple[Act, ...]:
    """Cover it, then wait."""
    name, long = plan.vessel(step.vessel).name, step.rest_s >= LONG_S
    mark = tr(" and mark it with the batch and the time") if long else ""
    note = (
        tr(
            "It rests for {duration}. The program may be closed: its time goes on.",
            duration=duration(step.rest_s),
        )
        if long
        else ""
    )
    return (
        Task("cover", step, tr("Cover the {name}{mark}.", name=name, mark=mark), yes="Covered", note=note),
        Timed(
            "rest", step, text=tr("Let the {name} rest", name=name), wait_s=step.rest_s, vessel=step.vessel
        ),
    )
