"""The deviations of a batch: those the make noted, and what follows from its events as they stand now.

A weighing without a known lot and a correction of what happened in the make are deviations too. They are not written down a second
time: they follow from the events, and have numbers behind the last one the make gave, in the order they were written.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from math import isfinite

from benchapp import events as ev
from benchapp.events.grades import CORRECTED, CORRECTED_OUT, LOT_UNKNOWN, grade_of
from benchapp.foundation.band import Band
from benchapp.foundation.language import number, tr
from benchapp.record.batch_events import BatchEvents
from benchapp.record.correction_words import word_of
from benchapp.record.facts import ProcedureFacts
from benchapp.record.parts import Whole
from benchapp.record.stored_event import StoredEvent

#: Grades of deviations that keep a batch from leaving while they are open.
BLOCKING = (ev.Grade.MINOR, ev.Grade.MAJOR)


@dataclass(frozen=True, slots=True)
class Deviation:
    """A deviation of a batch; ``closed`` is the reason it was accepted with, "" while it is open. ``n``, ``wall`` and
    ``at_s`` are those of the event that brought it about."""

    number: int
    grade: ev.Grade
    kind: str
    text: str
    closed: str = ""
    closed_by: str = ""
    closed_at: str = ""
    step: str = ""
    n: int = 0
    wall: str = ""
    at_s: float = 0.0

    @property
    def blocks(self) -> bool:
        """Whether it keeps its batch from leaving: open, and more than a note."""
        return blocks(self.grade, self.closed)


def blocks(grade: str, closed: str) -> bool:
    """Whether a deviation of that grade keeps its batch from leaving; ``closed``: "" while nobody has accepted it."""
    return is_grave(grade) and not closed


def blocking(found: Iterable[Deviation]) -> tuple[Deviation, ...]:
    """Those that keep their batch from leaving until they are judged."""
    return tuple(d for d in found if d.blocks)


def is_grave(grade: str) -> bool:
    """Whether a deviation of that grade keeps its batch from leaving while it is open: more than a note."""
    return grade in BLOCKING


def how_it_stands(grade: str, closed_by: str, why: str) -> str:
    """Who accepted a deviation and why; where nobody did, that it is open, or noted: a note waits for nobody."""
    if closed_by:
        return tr("accepted by {closed_by}: {closed_why}", closed_by=closed_by, closed_why=why)
    return "open" if is_grave(grade) else "noted"


def deviations_in(stored: BatchEvents, facts: ProcedureFacts) -> tuple[Deviation, ...]:
    """Every deviation of a batch by its number, from all that counts of its events."""
    noted = [
        Deviation(e.number, e.grade, e.kind, e.text, step=e.step, n=s.n, wall=s.wall, at_s=e.at_s)
        for s, e in stored.each(ev.DeviationNoted)
    ]
    found = [*_with_unknown_lots(noted, stored, facts)]
    number = max((d.number for d in found), default=0)
    found += [replace(d, number=number + i) for i, d in enumerate(_corrections(stored, facts), 1)]
    closed = {e.number: (e, s.wall) for s, e in stored.each(ev.DeviationClosed)}
    return tuple(
        replace(d, closed=c[0].reason, closed_by=c[0].by, closed_at=c[1])
        if (c := closed.get(d.number))
        else d
        for d in found
    )


def _with_unknown_lots(
    noted: list[Deviation], stored: BatchEvents, facts: ProcedureFacts
) -> Iterator[Deviation]:
    """The deviations noted, of which the one about unknown lots names every such weighing; one is added where the make
    noted none."""
    started = stored.first.event
    real = isinstance(started, ev.MakeStarted) and not started.rehearsal
    written, now = _without_lot(stored), _without_lot(stored.standing)
    names = dict.fromkeys(facts.line(e.line) for s in now if isinstance(e := s.event, ev.WeightTaken))
    text = (
        tr("No lot is on the books for {names}: the batch cannot be traced to it.", names=", ".join(names))
        if names
        else tr("Every lot that was unknown is named by a correction.")
    )
    known = False
    for d in noted:
        if d.kind == LOT_UNKNOWN and written and not known:
            d, known = replace(d, text=text), True
        yield d
    if written and real and not known and not any(d.kind == LOT_UNKNOWN for d in noted):
        s, number = written[0], max((d.number for d in noted), default=0) + 1
        step = getattr(s.event, "step", "")
        yield Deviation(number, grade_of(LOT_UNKNOWN), LOT_UNKNOWN, text, step=step, n=s.n, wall=s.wall, at_s=s.event.at_s)  # fmt: skip


def _without_lot(stored: BatchEvents) -> list[StoredEvent]:
    lots = stored.lots
    return [s for s in stored.of(ev.WeightTaken) if not lots[s.n].lot]


def _corrections(stored: BatchEvents, facts: ProcedureFacts) -> Iterator[Deviation]:
    """A deviation for each correction of what happened in a make that is over; while it goes on, the make has the numbers."""
    end = stored.end
    if end is None or not stored.of(ev.Corrected):
        return
    written, now = ({s.n: s.event for s in x.all()} for x in (stored, stored.standing))
    for s, e in stored.each(ev.Corrected):
        if e.n <= end.n:
            out = _outside(written.get(e.n), now.get(e.n), facts, stored.standing.wholes.get(e.n))
            kind = CORRECTED_OUT if out else CORRECTED
            what = _what(now.get(e.n), facts)
            text = tr(
                "Event {n}{what}: {field} corrected from {old} to {new}{out}. {reason} ({by})",
                n=e.n,
                what=what,
                field=word_of(e.field),
                old=e.old or tr("nothing"),
                new=e.new,
                out=out,
                reason=e.reason,
                by=e.by,
            )
            step = getattr(now.get(e.n), "step", "")
            yield Deviation(0, grade_of(kind), kind, text, step=step, n=s.n, wall=s.wall, at_s=e.at_s)


def _what(event: ev.Event | None, facts: ProcedureFacts) -> str:
    if isinstance(event, ev.WeightTaken | ev.LateDropFound | ev.MaterialRemoved | ev.TrialDosed):
        return f", {facts.line(event.line)}"
    if isinstance(event, ev.BottleFilled):
        return tr(", container {number}", number=event.number)
    return tr(", pH") if isinstance(event, ev.PhTaken) else ""


def _outside(was: ev.Event | None, now: ev.Event | None, facts: ProcedureFacts, whole: Whole | None) -> str:
    """The limits that a corrected value lies outside of, in words; "" where it is within them, or has none."""
    if now is None or was is None:
        return ""
    step = facts.steps.get(getattr(now, "step", ""))
    band, value = Band.of(None, None), 0.0
    if whole is not None:
        band, value = whole.band, whole.grams
    elif isinstance(now, ev.WeightTaken):
        band, value = Band.of(now.low_g, now.high_g), now.net_g
    elif isinstance(now, ev.BottleFilled):
        band, value = Band.of(now.low_g, None), now.net_g
    elif isinstance(now, ev.PhTaken) and step is not None:
        band, value = Band.of(step.low, step.high), now.ph
    elif isinstance(now, ev.MakeFinished) and step is not None:
        band, value = Band.of(step.low, step.high), now.yield_percent
    if band.holds(value):
        return ""
    low, high = (number(x) if isfinite(x) else "" for x in (band.low, band.high))
    return (
        tr(", outside {low} to {high}", low=low, high=high)
        if low and high
        else tr(", below {low}", low=low)
        if low
        else tr(", above {high}", high=high)
    )
