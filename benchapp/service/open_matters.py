"""What wants something done, a matter each: what it is about, how it stands, and where it is settled."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING

from benchapp.foundation.language import capitalised, tr, tr_n, translated
from benchapp.make.waits import IN_MONTHS, late

if TYPE_CHECKING:
    from benchapp.record.elsewhere import Conflict
    from benchapp.record.release import DueCheck
    from benchapp.service.desk import Desk
    from procedures.model import Procedure

#: Where what it is about ends, in a sentence.
_FIRST = re.compile(r"[:.] ")


class SettledAt(StrEnum):
    """Where somebody goes to settle a matter."""

    BATCH = "batch"
    BENCH_CHECK = "bench check"
    LOTS = "lots"
    COPIES = "copies"
    UPKEEP = "upkeep"
    BENCHES = "benches"


@dataclass(frozen=True, slots=True)
class OpenMatter:
    """One: ``what`` it is about and how it stands, each with batches and days as the record writes them; ``batch`` where it
    is settled on the page of one; ``more`` in a list that has the room. ``grave``: it is due now; else it is only to be
    known in time. ``calls``: it comes before all that is only due. ``late``: it was due on an earlier day."""

    what: str
    said: str
    settled_at: SettledAt
    batch: str = ""
    grave: bool = True
    more: str = ""
    calls: bool = False
    late: bool = False


def open_matters(desk: Desk, conflicts: Sequence[Conflict] = (), copies: str = "") -> tuple[OpenMatter, ...]:
    """Everything of a workshop that wants something done, the most urgent first. ``conflicts``: what benches did that does not
    go together; ``copies``: what is wrong with the copies of the journal, "" where nothing is."""
    return (
        *_complaints(desk),
        *(conflict(one) for one in conflicts),
        *_checks(desk),
        *(() if not copies else (OpenMatter(tr("Copies of all records"), copies, SettledAt.COPIES),)),
        *_care(desk),
        *_lots_near_their_date(desk),
    )


def conflict(one: Conflict) -> OpenMatter:
    """What benches did that does not go together: one about a lot is settled among the lots."""
    if one.lot:
        what = tr("Lot {lot}", lot=one.lot)
        return OpenMatter(what, one.said.removeprefix(f"{what}: "), SettledAt.LOTS, calls=True)
    first, rest = _parted(one.said)
    return OpenMatter(first, rest, SettledAt.BENCHES, calls=True)


def unread(said: str) -> OpenMatter:
    """An earlier make that should foretell the unfinished one, and cannot be read."""
    first, rest = _parted(said)
    return OpenMatter(first, rest, SettledAt.UPKEEP, grave=False)


def _parted(said: str) -> tuple[str, str]:
    """What it is about, and how it stands."""
    first, *rest = _FIRST.split(said, maxsplit=1)
    return first.rstrip("."), capitalised("".join(rest))


def _complaints(desk: Desk) -> Iterator[OpenMatter]:
    """Those that nobody has answered, the serious ones first."""
    still = sorted((c for c in desk.complaints() if c.answer is None), key=lambda c: not c.received.serious)
    for c in still:
        said = tr("{weight} {number}, not answered", weight=translated(c.weight), number=c.name)
        yield OpenMatter(c.batch, said, SettledAt.BATCH, c.batch, calls=True)


def _checks(desk: Desk) -> Iterator[OpenMatter]:
    """The release checks that are due of each batch, that which waits longest first."""
    due: dict[str, list[DueCheck]] = {}
    for c in desk.records.due():
        if c.state == "due":
            due.setdefault(c.batch, []).append(c)
    for batch, checks in due.items():
        days, n = max(c.late_days for c in checks), len(checks)
        said = tr_n("{n} check due", "{n} checks due", n=n)
        if days:
            said = tr_n("{n} check, {late}", "{n} checks, {late}", n=n, late=late(days))
        names = ", ".join(c.check.name for c in checks)
        yield OpenMatter(batch, said, SettledAt.BATCH, batch, more=names, late=days > 0)


def _care(desk: Desk) -> Iterator[OpenMatter]:
    """What is to be calibrated or cleaned by today."""
    for c in desk.care():
        if c.is_due(desk.journal.today()):
            where = SettledAt.BENCH_CHECK if c.task == "calibration" else SettledAt.UPKEEP
            task = translated(c.task)
            days = (date.fromisoformat(desk.journal.today()) - date.fromisoformat(c.due)).days
            said = late(days) if days >= IN_MONTHS else tr("due since {day}", day=c.due)
            yield OpenMatter(tr("{equipment}: {task}", equipment=c.equipment, task=task), said, where)


def _lots_near_their_date(desk: Desk) -> tuple[OpenMatter, ...]:
    """All lots with something in them that are past their date or soon will be, as one matter."""
    near, today = desk.near_their_date(), desk.journal.today()
    if not near:
        return ()
    over = [x for x in near if x.expires < today]
    soon = near[len(over) :]
    parts = [tr_n("{n} past its date", "{n} past their date", n=len(over))] if over else []
    if soon:
        parts.append(
            tr_n("{n} to be used by {day}", "{n} to be used by {day}", n=len(soon), day=soon[-1].expires)
        )
    what = tr_n("{n} expiring lot", "{n} expiring lots", n=len(near))
    if len(near) == 1:
        what = tr("{name}, lot {lot}", name=near[0].name, lot=near[0].lot)
        day = near[0].expires
        parts = [tr("past its date since {day}", day=day) if over else tr("to be used by {day}", day=day)]
    return (OpenMatter(what, ", ".join(parts), SettledAt.LOTS, grave=bool(over)),)


def running_short(desk: Desk, procedures: Sequence[Procedure]) -> tuple[OpenMatter, ...]:
    """For which of these too little is there, for a batch of the usual size, and of what."""
    lacking = ((p.name, desk.short_of(p)) for p in procedures)
    return tuple(
        OpenMatter(tr("Too little for {name}", name=name), ", ".join(short), SettledAt.LOTS, grave=False)
        for name, short in lacking
        if short
    )
