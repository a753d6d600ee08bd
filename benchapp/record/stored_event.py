"""An event as it lies on disk, and where in the journal it stands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

from benchapp import events as ev
from benchapp.record.chain import link, read, text_of


class EventPosition(NamedTuple):
    """Where an event stands: in the whole journal, in its batch, and when it was written."""

    seq: int
    batch: str
    n: int
    wall: str


class StoredEvent(NamedTuple):
    """One event as it lies on disk."""

    seq: int
    batch: str
    n: int
    wall: str
    event: ev.Event
    hash: str

    @property
    def position(self) -> EventPosition:
        """Where it stands."""
        return EventPosition(self.seq, self.batch, self.n, self.wall)


def chained(seq: int, batch: str, n: int, wall: str, event: ev.Event, prev: str) -> dict[str, Any]:
    """An event as the row of EVENT that follows the one with hash ``prev``."""
    text = text_of(batch, n, wall, event)
    return {
        "seq": seq, "batch": batch, "n": n, "kind": type(event).__name__, "text": text, "prev": prev,
        "hash": link(prev, text),
    }  # fmt: skip


def stored_of(row: Sequence[Any]) -> StoredEvent:
    """A whole row of EVENT as what it holds. Raises JournalDamaged or JournalTooNew."""
    seq, batch, n, _, text, _, digest = (
        row  # by their places: by name takes a third of the time of reading an event
    )
    wall, event = read(text)
    return StoredEvent(seq, batch, n, wall, event, digest)
