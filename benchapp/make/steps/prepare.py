"""Prepare and clean up: tasks one after the other, a sanitiser's contact time, what to wear."""

from __future__ import annotations

from dataclasses import replace

from benchapp.events.grades import CONTACT_CUT
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Act
from benchapp.make.acts.confirm import Task
from benchapp.make.acts.timed import Timed
from benchapp.make.plan import Plan
from procedures.steps import CleanUp, Prepare


def acts(step: Prepare, plan: Plan) -> tuple[Act, ...]:
    """What to wear first, then the tasks, then the sanitiser."""
    wear = (tr("Put on: {names}.", names=", ".join(step.wear)),) if step.wear else ()
    tasks = (*wear, *step.tasks)
    if step.contact_s <= 0:
        return tuple(_tasks(step, tasks))
    with_what = step.sanitiser or tr("the sanitiser")
    tasks = (*tasks, tr("Wet surfaces, vessels and tools with {with_what}.", with_what=with_what))
    *out, last = _tasks(step, tasks)
    wet = replace(last, key="sanitise", yes=tr("All wet"))
    text = tr("Leave {with_what} wet", with_what=with_what)
    return (*out, wet, Timed("contact", step, text=text, wait_s=step.contact_s, kind=CONTACT_CUT))


def clean_up(step: CleanUp, plan: Plan) -> tuple[Act, ...]:
    """The tasks."""
    return tuple(_tasks(step, step.tasks))


def _tasks(step: Prepare | CleanUp, tasks: tuple[str, ...]) -> list[Task]:
    return [Task(f"task {n}", step, text, items=tasks, done=n) for n, text in enumerate(tasks)]
