"""What one chain says of one batch, as rows of the record's indexes and as amounts at their places: the record's own projector
over that batch alone."""

from __future__ import annotations

from datetime import datetime
from typing import Any, NamedTuple

from sqlalchemy import Connection, Table, select

from benchapp.record.draws import Draw
from benchapp.record.errors import JournalDamaged, JournalTooNew
from benchapp.record.lot_index import LotIndex
from benchapp.record.projections import PROJECTED, Projector
from benchapp.record.stored_event import EventPosition, stored_of
from benchapp.record.tables import BATCH, CORRECTION, DISPATCH, EVENT, USE

#: What comes of an event that is not in the form this version knows.
NO_FORM = (KeyError, TypeError, ValueError, AttributeError)
#: The indexes of which each batch has rows of its own.
OF_A_BATCH = (BATCH, USE, DISPATCH, CORRECTION)


class BatchProjection(NamedTuple):
    """``drawn``: place, lot, amount each; ``rows`` of each index; where the batch holds what this version cannot read, 0
    nowhere."""

    drawn: list[tuple[int, str, float]]
    rows: dict[Table, list[dict[str, Any]]]
    unreadable_at: int = 0


class _DrawLog(LotIndex):
    """The index of lots, which also writes down each amount at its place."""

    def __init__(self, c: Connection) -> None:
        super().__init__(c, empty=True)
        self.drawn: list[tuple[int, str, float]] = []

    def draw(self, at: EventPosition, draw: Draw) -> None:
        """Something was taken out of a lot."""
        super().draw(at, draw)
        if draw.lot and (draw.used or draw.spoiled):
            self.drawn.append((at.seq, draw.lot, round(draw.used + draw.spoiled, 4)))


def projection_of(batch: str, c: Connection, into: Connection) -> BatchProjection:
    """A batch of the chain of ``c``; ``into`` is scratch room with the indexes' tables."""
    log = _DrawLog(into)
    projector = Projector(into, c, empty=True, whole=True, lots=log)
    query = select(EVENT).where(EVENT.c.batch == batch, EVENT.c.kind.in_(PROJECTED)).order_by(EVENT.c.n)
    unreadable_at = 0
    for row in c.execute(query):
        try:
            stored = stored_of(row)
            projector.take(stored.position, stored.event)
        except (JournalTooNew, JournalDamaged, *NO_FORM):
            unreadable_at = row.seq
            break
    projector.flush()
    rows = {table: _rows(into, table, batch) for table in OF_A_BATCH}
    for line in rows[BATCH]:
        line["seq"] = _instant(line["wall"])  # places in different chains say nothing of before and after
    return BatchProjection(log.drawn, rows, unreadable_at)


def _rows(c: Connection, table: Table, batch: str) -> list[dict[str, Any]]:
    return [dict(row._mapping) for row in c.execute(select(table).where(table.c.batch == batch))]


def _instant(wall: str) -> int:
    """A wall time as milliseconds, so that batches of all benches have one order."""
    return round(datetime.fromisoformat(wall).timestamp() * 1000)
