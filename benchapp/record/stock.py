"""What is written about lots: a delivery, what becomes of it, and the pieces that went with a batch."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.foundation.name_likeness import look_alike
from benchapp.record.errors import NotAllowed, no_lot
from benchapp.record.lots import NOTHING, STATES, pieces_problem
from benchapp.record.workshop import Workshop


def receive(shop: Workshop, lot: ev.LotReceived) -> None:
    """A delivery, under a name not used before."""
    if shop.lots_named(lot.lot):
        raise NotAllowed(tr("There is a lot {lot} already. Give this delivery another name.", lot=lot.lot))
    if not lot.lot.strip() or "/" in lot.lot:
        raise NotAllowed(tr("A lot needs a name, without a slash."))
    if not lot.material.strip():
        raise NotAllowed(tr("Say which material it is."))
    if shop.journal.last(lot.lot) is not None:  # trace and recall could not tell which is meant
        raise NotAllowed(tr("{lot} is a batch's name. Give the lot one of its own.", lot=lot.lot))
    alike = next((x for x in shop.lots().lots if look_alike(x, lot.lot)), "")
    if alike:
        raise NotAllowed(
            tr(
                "{lot} looks like lot {alike}. Add something that tells the two apart.",
                lot=lot.lot,
                alike=alike,
            )
        )
    on_tap = lot.quantity == 0 and lot.unit == "g" and lot.supplier.strip()
    if not lot.quantity >= NOTHING and not on_tap:
        raise NotAllowed(
            tr(
                "A delivery is more than nothing. What comes on tap needs the place it comes from: "
                "--supplier."
            )
        )
    shop.add(lot)


def about_lot(shop: Workshop, event: ev.LotOpened | ev.LotPriced | ev.LotJudged | ev.LotCounted) -> None:
    """A lot opened, priced, judged or counted."""
    if not shop.lots_named(event.lot):
        raise no_lot(event.lot)
    if isinstance(event, ev.LotJudged) and event.state not in STATES:
        raise NotAllowed(tr("A lot is judged one of {names}.", names=", ".join(STATES)))
    if isinstance(event, ev.LotCounted) and not event.quantity >= 0:
        raise NotAllowed(tr("A count is nothing or more."))
    shop.add(event)


def require_unit(shop: Workshop, lot: str, unit: str) -> None:
    """Refuse a lot that is kept in another unit, "g" or "pieces"."""
    known = shop.lots().lots.get(lot)
    if known is not None and known.unit != unit:
        raise NotAllowed(tr("Lot {lot} is kept in {unit}.", lot=lot, unit=known.unit))


def use_pieces(shop: Workshop, batch: str, used: ev.PiecesUsed) -> None:
    """Packaging or labels drawn for a batch."""
    if not shop.lots_named(used.lot):
        raise no_lot(used.lot)
    if problem := pieces_problem(used):
        raise NotAllowed(problem)
    shop.add_to(batch, used)
