"""The journal as the desk of a workshop reads it: what every bench wrote, as far as it is here. What is written goes into the own
journal."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterable, Sequence

from sqlalchemy import Connection

from benchapp import events as ev
from benchapp.record.batch_events import BatchEvents, batch_events
from benchapp.record.journal import Journal
from benchapp.record.sqlite import SqliteFile, transaction
from benchapp.record.stored_event import StoredEvent, stored_of
from benchapp.replication.all_indexes import EVENTS_OF_ALL, of_the_workshop
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
        with self.reading() as c:
            found = c.execute(of_the_workshop([kind.__name__ for kind in kinds])).all()
        return self._ordered([stored_of(row) for row in found])

    def of_batches(
        self, kinds: Iterable[type[ev.Event]], batches: Sequence[str]
    ) -> dict[str, list[StoredEvent]]:
        """The same of several batches."""
        found = super().of_batches(kinds, batches)
        return {batch: self._ordered(stored) for batch, stored in found.items()}

    def by_kind(self, batch: str) -> BatchEvents:
        """The same of one batch, read at once: places among all chains are in no index. Raises NoSuchBatch and JournalTooNew."""
        return batch_events(self.stored(batch))

    def newest(self) -> StoredEvent | None:
        """The last event of this bench."""
        return self._own.newest()

    def head(self) -> str:
        """The head of the own chain: there is none over all."""
        return self._own.head()
