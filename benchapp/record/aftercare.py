"""What is to be calibrated and cleaned, and when it was last; complaints and what became of them. Pure folds."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from benchapp import events as ev
from benchapp.foundation.days import day_of
from benchapp.foundation.language import tr
from benchapp.record.bench_identity import numbered
from benchapp.record.corrections import as_they_stand
from benchapp.record.stored_event import StoredEvent

TASKS = ("calibration", "cleaning")
#: The longest that anything is left between two times: a hundred years, by which a plan that was mistyped is seen.
MOST_DAYS = 36_525
#: The events the folds are made of.
CARE = (ev.CarePlanned, ev.CareDone, ev.Corrected)
COMPLAINTS = (ev.ComplaintReceived, ev.ComplaintAnswered, ev.Corrected)


@dataclass(frozen=True, slots=True)
class Care:
    """One task on one piece of equipment. ``due`` is an ISO date, "" where it is done only when somebody thinks of it."""

    equipment: str
    task: str
    due: str
    log: tuple[ev.CareDone, ...]

    def is_due(self, today: str) -> bool:
        """Whether it has to be done by that day."""
        return bool(self.due) and self.due <= today


def care_in(stored: Sequence[StoredEvent]) -> tuple[Care, ...]:
    """Every task that was planned or done, by equipment, from events of the workshop as they stand. It is due so many days after it last passed; at once where it
    never did, or failed since."""
    plans: dict[tuple[str, str], tuple[int, str]] = {}
    logs: dict[tuple[str, str], list[ev.CareDone]] = {}
    for s in as_they_stand(stored):
        e = s.event
        if isinstance(e, ev.CarePlanned):
            plans[e.equipment, e.task] = (e.every_days, s.wall[:10])
        elif isinstance(e, ev.CareDone):
            logs.setdefault((e.equipment, e.task), []).append(e)
    keys = sorted(plans.keys() | logs.keys())
    return tuple(_care(key, *plans.get(key, (0, "")), tuple(logs.get(key, ()))) for key in keys)


def _care(key: tuple[str, str], every_days: int, planned: str, log: tuple[ev.CareDone, ...]) -> Care:
    dated = [
        (day, done) for done in log if (day := day_of(done.on))
    ]  # an older program took any correction of a day
    on, last = max(dated, key=lambda one: one[0], default=(None, None))
    due = ""
    if every_days and on is not None and last is not None and last.passed:
        due = (on + timedelta(days=min(every_days, MOST_DAYS))).isoformat()
    elif every_days:
        due = planned if last is None else last.on
    return Care(*key, due, log)


@dataclass(frozen=True, slots=True)
class Complaint:
    """A complaint about a batch, as it stands, and what was answered last."""

    batch: str
    received: ev.ComplaintReceived
    answer: ev.ComplaintAnswered | None

    @property
    def name(self) -> str:
        """What it is called in its batch."""
        return complaint_name({"number": self.received.number, "bench": self.received.bench})

    @property
    def weight(self) -> str:
        """What it is, in words."""
        return complaint_weight({"serious": self.received.serious, "effect": self.received.effect})


def complaint_name(row: Mapping[str, Any]) -> str:
    """What a complaint is called in its batch, by its fields: ``E-1`` is the first that the bench E wrote down."""
    return numbered(row["bench"], row["number"])


def complaint_weight(row: Mapping[str, Any]) -> str:
    """What a complaint is, in words, by its fields."""
    if row["serious"]:
        return tr("serious undesirable effect")
    return tr("undesirable effect") if row["effect"] else "complaint"


def complaints_in(stored: Sequence[StoredEvent]) -> tuple[Complaint, ...]:
    """Every complaint as it stands, in the order in which they came."""
    stored = as_they_stand(stored)
    answers = {
        (s.batch, s.event.bench, s.event.number): s.event
        for s in stored
        if isinstance(s.event, ev.ComplaintAnswered)
    }
    return tuple(
        Complaint(s.batch, s.event, answers.get((s.batch, s.event.bench, s.event.number)))
        for s in stored
        if isinstance(s.event, ev.ComplaintReceived)
    )
