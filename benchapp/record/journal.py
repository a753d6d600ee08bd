"""The journal: append-only events of all makes, hash-chained, on disk before anything is shown as recorded."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Executable, Select, func, select
from sqlalchemy.exc import DatabaseError

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop
from benchapp.foundation.text_files import said_as
from benchapp.record.batch_events import BatchEvents
from benchapp.record.batch_lists import BatchLists
from benchapp.record.chain import GENESIS
from benchapp.record.elsewhere import Elsewhere
from benchapp.record.errors import JournalDamaged, JournalUnavailable, RecordError, TakenUpElsewhere, no_batch
from benchapp.record.journal_schema import made_ready, make_indexes_anew
from benchapp.record.projections import PROJECTED, Projector
from benchapp.record.sqlite import SqliteFile, transaction
from benchapp.record.stored_event import EventPosition, StoredEvent, chained, stored_of
from benchapp.record.tables import EVENT

#: The journal's name in its folder.
JOURNAL = "journal.sqlite"
#: Rows fetched at a time where there may be very many.
PART = 5000


class Journal(BatchLists):
    """The events of every make in one SQLite file in ``folder``.

    ``wall`` gives the wall clock as ISO 8601 with zone. Raises JournalUnavailable, JournalDamaged or
    JournalTooNew when the file cannot be used. An older file is brought up to date; it stays beside the new one.
    """

    def __init__(self, folder: Path, wall: Callable[[], str]) -> None:
        self.path = folder / JOURNAL
        self.wall = wall
        no_folder = tr_noop("The folder {folder} cannot be made ({strerror}). Choose another with --data.")
        with said_as(JournalUnavailable, no_folder, folder=folder):
            folder.mkdir(parents=True, exist_ok=True)
        self.elsewhere = Elsewhere()  # what the other benches know
        self.all_chains: Callable[[], Journal] | None = (
            None  # what they wrote, and this one; None on a bench alone
        )
        self.store = SqliteFile(self.path)
        try:
            #: Guards that were missing when this journal was opened.
            self.guards_restored = made_ready(self.store)
            if self.guards_restored:
                self.append(ev.WORKSHOP, [ev.GuardsRestored(at_s=0.0, guards=self.guards_restored)])
        except DatabaseError as error:
            self.close()
            raise self.store.why(error) from error
        except RecordError:
            self.close()
            raise

    def today(self) -> str:
        """The wall's date as ISO 8601."""
        return self.wall()[:10]

    def rebuild_indexes(self, differed: bool = False) -> None:
        """Make every index anew from the chain; that they ``differed`` from it stays in the record. Raises
        RecordError."""
        with self.writing() as c:
            make_indexes_anew(c)
        if differed:
            self.append(ev.WORKSHOP, [ev.GuardsRestored(at_s=0.0, guards=(tr("the indexes"),))])

    def close(self) -> None:
        """Let go of the file."""
        self.store.close()

    @property
    def own(self) -> Journal:
        """What this bench wrote itself."""
        return self

    @property
    def everywhere(self) -> Journal:
        """What every bench of the workshop wrote, as far as it is here; what is written goes into the own journal. On a
        bench alone this journal itself."""
        return self if self.all_chains is None else self.all_chains()

    # --- writing -------------------------------------------------------------------------------------

    def append(self, batch: str, events: Sequence[ev.Event], taken_up: int | None = None) -> int:
        """Write events of one batch, all or none, and return only when they are on disk.

        ``taken_up`` is where, in the batch, whoever writes last took it up (0: began it); raises TakenUpElsewhere
        if somebody else has done so since. Returns where it was taken up last, these events included.
        """
        if not events:
            return taken_up or 0
        with self.writing() as c:
            return self.append_within(c, batch, events, taken_up)

    def append_within(
        self, c: Connection, batch: str, events: Sequence[ev.Event], taken_up: int | None = None
    ) -> int:
        """The same in a transaction of ``writing`` that looked at something before; on disk when that ends."""
        wall = self.wall()
        last = c.execute(select(EVENT.c.seq, EVENT.c.hash).order_by(EVENT.c.seq.desc()).limit(1)).first()
        seq, prev = (last.seq, last.hash) if last else (0, GENESIS)
        n, latest = (c.execute(found).scalar() or 0 for found in _ends_of(batch))
        if taken_up is not None and latest != taken_up:
            raise TakenUpElsewhere(
                tr(
                    "Batch {batch} was taken up in another window and goes on there. Close this one.",
                    batch=batch,
                )
            )
        rows = []
        for event in events:
            seq, n = seq + 1, n + 1
            latest = n if isinstance(event, ev.MakeResumed) else latest
            rows.append(chained(seq, batch, n, wall, event, prev))
            prev = rows[-1]["hash"]
        c.execute(EVENT.insert(), rows)
        projector = Projector(c)
        for row, event in zip(rows, events, strict=True):
            if row["kind"] in PROJECTED:
                projector.take(EventPosition(row["seq"], batch, row["n"], wall), event)
        projector.flush()
        return int(latest)

    @contextlib.contextmanager
    def writing(self) -> Iterator[Connection]:
        """A transaction no other writer can come between. Raises RecordError."""
        if gone := self.store.gone():
            raise JournalUnavailable(gone)
        with transaction(self.store.writer, self.store.why) as c:
            yield c

    def reading(self) -> contextlib.AbstractContextManager[Connection]:
        """A connection that sees one instant of the journal. Raises RecordError."""
        return transaction(self.store.engine, self.store.why)

    # --- reading -------------------------------------------------------------------------------------

    def events(self, batch: str) -> list[ev.Event]:
        """All events of a batch, in order. Raises NoSuchBatch."""
        return [s.event for s in self.stored(batch)]

    def stored(self, batch: str) -> list[StoredEvent]:
        """All events of a batch with their wall times and hashes. Raises NoSuchBatch."""
        found = self._found(select(EVENT).where(EVENT.c.batch == batch).order_by(EVENT.c.n))
        if not found:
            raise no_batch(batch)
        return found

    def by_kind(self, batch: str) -> BatchEvents:
        """The same as it is now, each kind fetched and read from its text when it is asked for. Raises NoSuchBatch, and
        JournalTooNew or JournalDamaged at once where it holds a kind that this version does not know."""
        with self.reading() as c:
            spans = {kind: (first, last) for kind, first, last in c.execute(_spans_of(batch))}
        if not spans:
            raise no_batch(batch)
        whole = (min(first for first, _ in spans.values()), max(last for _, last in spans.values()))
        strange = (spans[kind][0] for kind in spans.keys() - ev.KINDS.keys())
        ends = {s.seq: s for s in self._found(select(EVENT).where(EVENT.c.seq.in_({*whole, *strange})))}
        if not spans.keys() <= ev.KINDS.keys():  # the texts can be read: only their rows say otherwise
            raise JournalDamaged(tr("An event in the journal is filed as what it is not. Restore a backup."))

        def read(kind: type[ev.Event]) -> list[StoredEvent]:
            within = EVENT.c.seq.between(*spans[kind.__name__])  # so that no other batch is looked at
            query = _of_kinds((kind,), batch).where(within)
            with self.reading() as c:
                parts = c.execute(query).partitions(PART)
                return [ends.get(row[0]) or stored_of(row) for part in parts for row in part]

        return BatchEvents((ev.KINDS[kind] for kind in spans), read, (ends[whole[0]], ends[whole[1]]))

    def of_kinds(self, kinds: Iterable[type[ev.Event]], batch: str | None = None) -> list[StoredEvent]:
        """All events of these kinds, of one batch or of all, in order."""
        return self._found(_of_kinds(kinds, batch))

    def of_batches(
        self, kinds: Iterable[type[ev.Event]], batches: Sequence[str]
    ) -> dict[str, list[StoredEvent]]:
        """The same of each of some batches, by one question."""
        found: dict[str, list[StoredEvent]] = {batch: [] for batch in batches}
        if not found:
            return {}  # the database would look through everything for none
        for stored in self._found(_of_kinds(kinds, None).where(EVENT.c.batch.in_(batches))):
            found[stored.batch].append(stored)
        return found

    def of_kinds_within(
        self, c: Connection, kinds: Iterable[type[ev.Event]], batch: str
    ) -> list[StoredEvent]:
        """The same of one batch, as a transaction sees it."""
        return [stored_of(r) for r in c.execute(_of_kinds(kinds, batch))]

    def at(self, batch: str, n: int) -> StoredEvent | None:
        """Event ``n`` of a batch."""
        query = select(EVENT).where(EVENT.c.batch == batch, EVENT.c.n == n)
        found = self._found(query) if abs(n) < 2**63 else ()  # SQLite is asked for no larger number
        return found[0] if found else None

    def started(self, batch: str) -> ev.MakeStarted | None:
        """How a batch was begun; None where nothing was, or not a make."""
        first = self.at(batch, 1)
        return first.event if first is not None and isinstance(first.event, ev.MakeStarted) else None

    def last(self, batch: str) -> StoredEvent | None:
        """The last event of a batch, None when nothing is recorded under that name."""
        found = self._found(select(EVENT).where(EVENT.c.batch == batch).order_by(EVENT.c.n.desc()).limit(1))
        return found[0] if found else None

    def newest(self) -> StoredEvent | None:
        """The last event of all, None in an empty journal."""
        found = self._found(select(EVENT).order_by(EVENT.c.seq.desc()).limit(1))
        return found[0] if found else None

    def _found(self, query: Executable) -> list[StoredEvent]:
        with self.reading() as c:
            return [stored_of(r) for r in c.execute(query).all()]

    def head(self) -> str:
        """The hash of the last event; what a printed record can be held against."""
        with self.reading() as c:
            found = c.execute(select(EVENT.c.hash).order_by(EVENT.c.seq.desc()).limit(1)).scalar()
        return str(found) if found else GENESIS


def _ends_of(batch: str) -> tuple[Select[Any], Select[Any]]:
    """The number of a batch's last event, and of the last at which it was taken up. Each is looked up in an index,
    however long the batch is: the second among what was taken up since it began."""
    of_batch = EVENT.c.batch == batch
    began = select(EVENT.c.seq).where(of_batch, EVENT.c.n == 1).scalar_subquery()
    resumed = (EVENT.c.kind == ev.MakeResumed.__name__) & (EVENT.c.seq >= began)
    return select(func.max(EVENT.c.n)).where(of_batch), select(func.max(EVENT.c.n)).where(resumed, of_batch)


def _spans_of(batch: str) -> Select[Any]:
    """Each kind of event in a batch, and where in the journal its first and its last stand."""
    first, last = func.min(EVENT.c.seq), func.max(EVENT.c.seq)
    return select(EVENT.c.kind, first, last).where(EVENT.c.batch == batch).group_by(EVENT.c.kind)


def _of_kinds(kinds: Iterable[type[ev.Event]], batch: str | None) -> Select[Any]:
    query = select(EVENT).where(EVENT.c.kind.in_([k.__name__ for k in kinds]))
    if batch is not None:
        query = query.where(EVENT.c.batch == batch)
    return query.order_by(EVENT.c.seq)
