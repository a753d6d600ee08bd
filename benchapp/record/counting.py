"""Which of a batch's events count: what a maker said and took back does not."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp import events as ev
from benchapp.record.stored_event import StoredEvent

#: What a person said or did not do after all. Deviations and temperatures happened beside it, and stay.
_TAKEN_BACK = (
    ev.Confirmed, ev.NumberTaken, ev.LookJudged, ev.LotTaken, ev.WeightTaken, ev.PhTaken, ev.StepFinished,
)  # fmt: skip


def parted(stored: Sequence[StoredEvent]) -> tuple[list[StoredEvent], list[StoredEvent]]:
    """What counts, and what the maker said and took back: everything said since that act last began."""
    gone: set[int] = set()
    began: dict[tuple[str, str], int] = {}
    for place, s in enumerate(stored):
        e = s.event
        if isinstance(e, ev.ActBegan):
            began[e.step, e.act] = place
        elif isinstance(e, ev.ActTakenBack):
            since = began.get((e.step, e.act), place)
            gone |= {i for i in range(since, place) if isinstance(stored[i].event, _TAKEN_BACK)}
    kept = [s for i, s in enumerate(stored) if i not in gone]
    return kept, [s for i, s in enumerate(stored) if i in gone]
