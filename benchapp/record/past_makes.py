"""Finished makes like one that is being made, and how long each of their steps went on."""

from __future__ import annotations

from benchapp.calculations.until_done import PastMake
from benchapp.events.step_times import KINDS, StepTimes
from benchapp.record.journal import Journal

#: So many finished makes are looked through, and how far their size may be off (relative).
LOOKED_AT, SIZE_SHARE = 50, 0.1
#: So many of them say how long one takes, the newest.
NEWEST = 5


def makes_alike(journal: Journal, procedure: str, batch_g: float, rehearsal: bool, most: int) -> list[str]:
    """The newest finished makes of a procedure in about that size: rehearsals apart from the others."""
    found = journal.finished(procedure, rehearsal, LOOKED_AT)
    return [b.batch for b in found if abs(b.batch_g - batch_g) <= SIZE_SHARE * batch_g][:most]


def past_makes(journal: Journal, procedure: str, batch_g: float, rehearsal: bool) -> tuple[PastMake, ...]:
    """How the time of the newest such makes went, the newest first."""
    alike = makes_alike(journal, procedure, batch_g, rehearsal, NEWEST)
    written = journal.of_batches(KINDS, alike)
    times = (StepTimes.of(s.event for s in written[batch]) for batch in alike)
    return tuple(PastMake(t.seconds, frozenset(t.left_out)) for t in times)
