"""The journal as the desk of a workshop reads it: what every bench wrote, as far as it is here. What is written goes into the own
journal."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, Executable, select

from benchapp import events as ev
from benchapp.record.batch_events import BatchEvents, batch_events
from benchapp.record.journal import Journal
from benchapp.record.lots import LOT_FIELDS
from benchapp.record.sqlite import SqliteFile, transaction
from benchapp.record.stored_event import StoredEvent, stored_of
from benchapp.replication.all_indexes import (
    CHAIN_PLACES,
    EVENTS_OF_ALL,
    NAMED_LOT,
    NUMBERS,
    PLACES,
    of_the_workshop,
)
from benchapp.replication.others import OthersFile


class AllChains(Journal):
    """Everything that is asked is asked of all chains. ``look`` works out what came since; ``ordered`` brings events of several
    chains into an order in which none comes before what was known where it was written."""

    def __init__(
        self,
        own: Journal,
        others: OthersFile,
        look: Callable[[], object],
        ordered: Callable[[list[StoredEvent]], list[StoredEvent]],
    ) -> None:
        self._own, self._look, self._ordered = own, look, ordered
        self.path, self.wall, self.store, self.elsewhere = own.path, own.wall, own.store, own.elsewhere
        self.guards_restored, self.all_chains = own.guards_restored, None
        journal = str(own.path).replace("'", "''")
        self._file = SqliteFile(others.path, (f"ATTACH DATABASE '{journal}' AS journal", EVENTS_OF_ALL))

    def close(self) -> None:
        """Let go of the files; the own journal stays open."""
        self._file.close()

    @property
    def own(self) -> Journal:
        """The chain of this bench."""
        return self._own

    def reading(self) -> contextlib.AbstractContextManager[Connection]:
        """A connection on which the events are those of all chains, and the indexes those over all. Raises RecordError."""
        return transaction(self._file.engine, self._file.why)

    def append(self, batch: str, events: Sequence[ev.Event], taken_up: int | None = None) -> int:
        """Write into the own journal, and know of it at once."""
        taken = self._own.append(batch, events, taken_up)
        self._look()
        return taken

    def of_kinds(self, kinds: Iterable[type[ev.Event]], batch: str | None = None) -> list[StoredEvent]:
        """All events of these kinds, of one batch or of all, none before what was known where it was written."""
        if batch != ev.WORKSHOP:
            return self._ordered(super().of_kinds(kinds, batch))
        return self._ordered(self._found(of_the_workshop([kind.__name__ for kind in kinds])))

    def _found(self, query: Executable) -> list[StoredEvent]:
        """Events with their lots called as they are called here."""
        with self.reading() as c:
            found = [stored_of(row) for row in c.execute(query).all()]
            calls = _lots_called(c)
        return [
            s._replace(event=_renamed(s.event, calls[s.seq // PLACES])) if s.seq // PLACES in calls else s
            for s in found
        ]

    def of_batches(
        self, kinds: Iterable[type[ev.Event]], batches: Sequence[str]
    ) -> dict[str, list[StoredEvent]]:
        """The same of several batches."""
        found = super().of_batches(kinds, batches)
        return {batch: self._ordered(stored) for batch, stored in found.items()}

    def by_kind(self, batch: str) -> BatchEvents:
        """The same of one batch, read at once: places among all chains are in no index. It begins and ends as the bench that made it
        wrote it. Raises NoSuchBatch and JournalTooNew."""
        found = self.stored(batch)
        made = [s for s in found if s.n < NUMBERS] or found
        return batch_events(self._ordered(found), (made[0], made[-1]))

    def newest(self) -> StoredEvent | None:
        """The last event of this bench."""
        return self._own.newest()

    def head(self) -> str:
        """The head of the own chain: there is none over all."""
        return self._own.head()


def _lots_called(c: Connection) -> dict[int, dict[str, str]]:
    """By the rank of a bench and what it writes, what a lot is called here, where that is otherwise."""
    found: dict[int, dict[str, str]] = {}
    named = select(CHAIN_PLACES.c.places, NAMED_LOT.c.written, NAMED_LOT.c.called).where(
        CHAIN_PLACES.c.bench == NAMED_LOT.c.bench
    )
    for places, written, called in c.execute(named):
        found.setdefault(places // PLACES, {})[written] = called
    return found


def _renamed(event: ev.Event, calls: Mapping[str, str]) -> ev.Event:
    """The event with its lots as ``calls`` has them."""
    names = ("old", "new") if isinstance(event, ev.Corrected) and event.field in LOT_FIELDS else LOT_FIELDS
    changes: dict[str, Any] = {
        key: calls[name] for key in names if (name := getattr(event, key, "")) in calls
    }
    return replace(event, **changes) if changes else event
