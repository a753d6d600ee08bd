"""Finished makes like one that is being made, and how long each of their steps went on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from benchapp.calculations.until_done import PastMake
from benchapp.events.step_times import KINDS, StepTimes
from benchapp.foundation.language import tr
from benchapp.record.errors import JournalDamaged, JournalTooNew
from benchapp.record.journal import Journal

Told = TypeVar("Told")

#: So many finished makes are looked through, and how far their size may be off (relative).
LOOKED_AT, SIZE_SHARE = 50, 0.1
#: So many of them say how long one takes, the newest.
NEWEST = 5


def makes_alike(journal: Journal, procedure: str, batch_g: float, rehearsal: bool, most: int) -> list[str]:
    """The newest finished makes of a procedure in about that size: rehearsals apart from the others."""
    found = journal.finished(procedure, rehearsal, LOOKED_AT)
    return [b.batch for b in found if abs(b.batch_g - batch_g) <= SIZE_SHARE * batch_g][:most]


def past_makes(
    journal: Journal, procedure: str, batch_g: float, rehearsal: bool, unread: dict[str, str] | None = None
) -> tuple[PastMake, ...]:
    """How the time of the newest such makes went, the newest first; see ``told_by`` for those that cannot be read."""
    alike = makes_alike(journal, procedure, batch_g, rehearsal, NEWEST)

    def time_of(batch: str) -> PastMake:
        times = StepTimes.of(s.event for s in journal.of_kinds(KINDS, batch))
        return PastMake(times.seconds, frozenset(times.left_out))

    return tuple(told_by(alike, time_of, {} if unread is None else unread).values())


def told_by(batches: Sequence[str], read: Callable[[str], Told], unread: dict[str, str]) -> dict[str, Told]:
    """What each of some earlier makes tells; a sentence goes into ``unread`` for one whose events cannot be read. It
    only foretells: what is damaged there must not stop another batch."""
    told = {}
    for batch in batches:
        try:
            told[batch] = read(batch)
        except (JournalDamaged, JournalTooNew) as error:
            unread[batch] = tr(
                "The earlier batch {batch} cannot be read and foretells nothing. {why} benchapp verify shows where.",
                batch=batch,
                why=str(error),
            )
    return told
