"""What the workshop has on hand, in the words of a make."""

from __future__ import annotations

from datetime import datetime

from benchapp.make.inputs import LotOnHand
from benchapp.record.journal import Journal
from benchapp.record.workshop import Workshop


def lots_on_hand(journal: Journal) -> tuple[LotOnHand, ...]:
    """Every lot that is in the store today, those used last first; with the reason where one may not be used."""
    book = Workshop(journal).lots()
    today = datetime.now().astimezone().date().isoformat()
    lots = sorted(book.lots.values(), key=lambda x: (-x.used_at, x.received, x.lot))
    return tuple(
        LotOnHand(x.lot, x.material, x.name, x.left, x.expires, x.code, book.usable(x.lot, today))
        for x in lots
        if x.unit == "g"
    )
