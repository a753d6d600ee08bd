"""The lots a batch drew from, as the workshop's book knows them."""

from __future__ import annotations

from sqlalchemy import select

from benchapp import events as ev
from benchapp.record.batch_events import BatchEvents
from benchapp.record.journal import Journal
from benchapp.record.lot_index import lot_of_row
from benchapp.record.lots import Lot
from benchapp.record.tables import LOT


def lots_of(journal: Journal, stored: BatchEvents) -> dict[str, Lot]:
    """Every lot named in the batch's events, by its name, as written and as corrected; a lot the book does not know is
    left out."""
    kinds = (ev.LotTaken, ev.WeightTaken, ev.TrialDosed, ev.PiecesUsed)
    versions = (stored, stored.standing) if stored.corrected else (stored,)
    names = {e.lot for x in versions for s in x.of(*kinds) if isinstance(e := s.event, kinds) and e.lot}
    with journal.reading() as c:
        rows = c.execute(select(LOT).where(LOT.c.lot.in_(sorted(names)))).all()
    return {r.lot: lot_of_row(r) for r in rows}
