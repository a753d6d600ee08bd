"""The workshop's shell: what is known of lots, people and batches, read from the journal and written to it."""

from __future__ import annotations

from dataclasses import replace

from sqlalchemy import select

from benchapp import events as ev
from benchapp.record.journal import Journal
from benchapp.record.lots import LotBook
from benchapp.record.projections import lot_of_row
from benchapp.record.tables import LOT

#: Lots that were used up are in the book as far back as this many, so that an old code can still be told.
USED_UP_KEPT = 500


class Workshop:
    """One journal, asked and added to as the workshop speaks. Every method raises RecordError."""

    def __init__(self, journal: Journal) -> None:
        self.journal = journal

    def lots(self) -> LotBook:
        """The book of lots as it stands: all that are not used up, and the last of those that are."""
        live = select(LOT).where(LOT.c.state != "used up")
        gone = select(LOT).where(LOT.c.state == "used up").order_by(LOT.c.used_at.desc()).limit(USED_UP_KEPT)
        with self.journal.reading() as c:
            return LotBook.of(lot_of_row(row) for query in (live, gone) for row in c.execute(query))

    def add(self, *events: ev.Event) -> None:
        """Write what belongs to no batch."""
        self.journal.append(ev.WORKSHOP, events)

    def add_to(self, batch: str, *events: ev.Event) -> None:
        """Write what belongs to a batch, at the make's last moment. Raises NoSuchBatch."""
        last = self.journal.last(batch)
        at_s = self.journal.stored(batch)[-1].event.at_s if last is None else last.event.at_s
        self.journal.append(batch, [replace(e, at_s=at_s) for e in events])
