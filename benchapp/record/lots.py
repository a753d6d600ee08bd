"""Lots: what was received, what state it is in, how much is left, and whether it may be used today."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from benchapp import events as ev
from benchapp.foundation.days import day_of
from benchapp.foundation.language import tr, tr_noop

#: Fields of events that name a lot something was drawn from.
LOT_FIELDS = ("lot", "water_lot")
#: Below this, in grams or pieces, a lot counts as empty: no bench scale of a workshop shows less.
NOTHING = 0.005
#: States a lot can be judged to be in.
STATES = ("usable", "quarantined", "rejected", tr_noop("used up"))


@dataclass(frozen=True, slots=True)
class Lot:
    """One delivery of one material as it stands now. ``left`` and ``quantity`` in ``unit`` ("g" or "pieces");
    dates are ISO, "" unknown. ``why`` is the reason for ``state``; ``used_at`` and ``counted_at`` are where in
    the journal it was used and counted last, so that the newest can be told."""

    lot: str
    material: str
    name: str
    supplier: str
    supplier_lot: str
    unit: str
    quantity: float
    left: float
    received: str
    expires: str = ""
    opened: str = ""
    code: str = ""
    documents: tuple[str, ...] = ()
    state: str = "usable"
    why: str = ""
    made_in: str = ""
    used_at: int = 0
    counted_at: int = 0

    @property
    def on_tap(self) -> bool:
        """A source that is not counted and never empty: house water, by name."""
        return self.quantity == 0

    def days_left(self, today: str) -> int | None:
        """How many days its date is away from an ISO date, less than 0 where it is past; None where it has none, or one that
        nobody can read, as an older program took any correction."""
        day = day_of(self.expires)
        return None if day is None else (day - date.fromisoformat(today)).days


def received(event: ev.LotReceived) -> Lot:
    """The lot as it came in."""
    return Lot(
        lot=event.lot, material=event.material, name=event.name, supplier=event.supplier,
        supplier_lot=event.supplier_lot, unit=event.unit, quantity=event.quantity, left=event.quantity,
        received=event.received, expires=event.expires, opened=event.opened, code=event.code,
        documents=event.documents, state=event.state, made_in=event.made_in,
    )  # fmt: skip


def pieces_problem(used: ev.PiecesUsed) -> str:
    """ "" or why nobody can have used pieces so."""
    if 0 <= used.spoiled <= used.pieces and used.pieces:
        return ""
    return tr("At least one piece is used, and no more are spoiled than used.")


def after(lot: Lot, event: ev.Event, at: int) -> Lot:
    """The lot after it was opened, judged or counted, ``at`` this place in the journal; unchanged by anything else."""
    if isinstance(event, ev.LotOpened):
        return replace(lot, opened=lot.opened or event.on)
    if isinstance(event, ev.LotJudged):
        return replace(lot, state=event.state, why=event.reason)
    if isinstance(event, ev.LotCounted):
        return replace(lot, left=event.quantity, counted_at=at)
    return lot


def drawn(lot: Lot, amounts: Iterable[tuple[float, int]]) -> Lot:
    """The lot after each amount of it was used or spoiled at its place in the journal (negative: that had been
    recorded wrongly). A count made later stands. A lot can go below nothing: then more was weighed out of it than
    the book knew, and it wants counting."""
    left, used_at = lot.left, lot.used_at
    for amount, at in amounts:
        left = left if at <= lot.counted_at or lot.on_tap else round(left - amount, 4)
        used_at = max(used_at, at)
    return replace(lot, left=left, used_at=used_at)


@dataclass(frozen=True)
class LotBook:
    """All lots by their name."""

    lots: Mapping[str, Lot] = field(default_factory=dict)

    @classmethod
    def of(cls, lots: Iterable[Lot]) -> LotBook:
        """A book of these lots."""
        return cls({lot.lot: lot for lot in lots})

    def hindrance(self, lot: str, today: str) -> str:
        """In a word why this lot may not be used on ``today`` (an ISO date), "" where it may."""
        known = self.lots.get(lot)
        if known is None:
            return "unknown"
        if known.state in ("rejected", "quarantined"):
            return known.state
        if known.state == "used up" or (known.left < NOTHING and not known.on_tap):
            return "used up" if known.state == "used up" else "empty"
        days = known.days_left(today)
        if days is None:
            return "date unreadable" if known.expires else ""
        return "expired" if days < 0 else ""

    def usable(self, lot: str, today: str) -> str:
        """ "" or the one sentence why this lot may not be used on ``today`` (an ISO date)."""
        known, why = self.lots.get(lot), self.hindrance(lot, today)
        if known is None:
            return tr("No lot {lot} was ever received here. Receive it first, or take another.", lot=lot)
        what = tr("Lot {lot} of {name}", lot=known.lot, name=known.name)
        match why:
            case "rejected":
                because = _because(known.why)
                return tr("{what} was rejected{because}. Take another lot.", what=what, because=because)
            case "quarantined":
                return tr(
                    "{what} is in quarantine{because}. Take another lot, or have it judged usable.",
                    what=what,
                    because=_because(known.why),
                )
            case "used up":  # no count undoes what was judged
                return tr(
                    "{what} is empty by the book{because}. Take another lot, or have it judged usable.",
                    what=what,
                    because=_because(known.why),
                )
            case "empty":
                return tr(
                    "{what} is empty by the book. Take another lot, or count this one again.", what=what
                )
            case "expired":
                return tr("{what} expired on {expires}. Take another lot.", what=what, expires=known.expires)
            case "date unreadable":
                return tr(
                    "{what} keeps until {expires!r}, which is no date. Take another lot, or receive what is left under "
                    "another name.",
                    what=what,
                    expires=known.expires,
                )
        return ""

    def of_material(self, material: str) -> tuple[Lot, ...]:
        """Every lot of a material, newest delivery first."""
        found = [x for x in self.lots.values() if x.material == material]
        return tuple(sorted(found, key=lambda x: (x.received, x.lot), reverse=True))


def _because(why: str) -> str:
    return f" ({why})" if why else ""
