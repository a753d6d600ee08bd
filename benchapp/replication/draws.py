"""What a batch drew from which lot, each amount at its place: the record's own projector over the batch, its index of lots written
along."""

from __future__ import annotations

from typing import NamedTuple

from sqlalchemy import Connection, select

from benchapp.record.errors import JournalDamaged, JournalTooNew
from benchapp.record.lot_index import Draw, LotIndex
from benchapp.record.projections import PROJECTED, Projector
from benchapp.record.stored_event import EventPosition, stored_of
from benchapp.record.tables import EVENT

#: What comes of an event that is not in the form this version knows.
NO_FORM = (KeyError, TypeError, ValueError, AttributeError)


class Draws(NamedTuple):
    """What a batch drew: place, lot, amount each; and where it holds what this version cannot read, 0 nowhere."""

    amounts: list[tuple[int, str, float]]
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


def draws_of(batch: str, c: Connection, into: Connection) -> Draws:
    """What a batch of the chain of ``c`` drew; ``into`` is scratch room with the indexes' tables."""
    log = _DrawLog(into)
    projector = Projector(into, c, empty=True, whole=True, lots=log)
    query = select(EVENT).where(EVENT.c.batch == batch, EVENT.c.kind.in_(PROJECTED)).order_by(EVENT.c.n)
    for row in c.execute(query):
        try:
            stored = stored_of(row)
            projector.take(stored.position, stored.event)
        except (JournalTooNew, JournalDamaged, *NO_FORM):
            return Draws(log.drawn, row.seq)
    return Draws(log.drawn)
