"""An event as it lies on disk, and where in the journal it stands."""

from __future__ import annotations

from typing import Any, NamedTuple, Protocol

from sqlalchemy import Row

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


class EventRow(Protocol):
    """A row of EVENT."""

    seq: int
    batch: str
    n: int
    kind: str
    text: str
    hash: str


def stored_of(row: EventRow | Row[Any]) -> StoredEvent:
    """A row of EVENT as what it holds. Raises JournalDamaged or JournalTooNew."""
    wall, event = read(row.text)
    return StoredEvent(row.seq, row.batch, row.n, wall, event, row.hash)
