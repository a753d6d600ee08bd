"""The store: deliveries received, opened, judged and counted, packaging drawn, and what is there."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from benchapp import events as ev
from benchapp.foundation.language import Name, alphabetical, tr
from benchapp.make.inputs import LotOnHand
from benchapp.record import stock
from benchapp.record.bench_identity import own_lot
from benchapp.record.journal import Journal
from benchapp.record.lots import Lot
from benchapp.record.workshop import Workshop
from benchapp.service.desk_facts import StoredLot
from benchapp.service.errors import CommandError
from benchapp.service.matter import Matter, Sheet
from benchapp.service.signing import Pin, signed_if_enrolled
from benchapp.service.wording import amount

#: A lot's date is said so many days ahead.
SOON_DAYS = 30


class LotDesk(Matter):
    """What the workshop has on hand."""

    def stock_list(self, material: str = "") -> Sheet:
        """All lots, or those of one material by its key or name, and in a word why one may not be used."""
        book, today, wanted = self.records.lots(), self.journal.today(), material.strip().casefold()
        rows = tuple(
            (
                Name(x.lot),
                Name(x.material),
                _left(x),
                x.expires,
                Name(x.supplier),
                Name(x.supplier_lot),
                book.hindrance(x.lot, today),
            )
            for x, _ in self._stock()
            if not wanted or wanted in (x.material.casefold(), x.name.casefold())
        )
        if not rows and book.lots and material:
            return Sheet(
                (tr("No lot of {material} is here. All there are: benchapp lot list.", material=material),)
            )
        if not rows:
            return Sheet((tr("No lot is here. A delivery is written down with: benchapp lot receive."),))
        titles = ("lot", "material", "left", "expires", "supplier", tr("supplier's lot"), tr("not usable"))
        return Sheet((), titles, rows)

    def lots(self) -> tuple[StoredLot, ...]:
        """Every lot with something in it, by its material's name."""
        book, today = self.records.lots(), self.journal.today()
        return tuple(
            StoredLot(
                x.lot, x.name, x.left, x.unit, x.expires, x.supplier, _is_near(x, today), why, book.hindrance(x.lot, today),
                None if x.on_tap else x.left / x.quantity, x.days_left(today), x.quantity,
            )
            for x, why in self._stock()
            if x.left > 0 or x.on_tap
        )  # fmt: skip

    def near_their_date(self) -> tuple[Lot, ...]:
        """Lots with something in them that are past their date, or will be within so many days, the soonest first."""
        today = self.journal.today()
        near = (x for x, _ in self._stock() if x.left > 0 and _is_near(x, today))
        return tuple(sorted(near, key=lambda x: (x.expires, alphabetical(x.name), x.lot)))

    def _stock(self) -> list[tuple[Lot, str]]:
        """Every lot by name, the oldest first, with the sentence why it may not be used, or ""."""
        book, today = self.records.lots(), self.journal.today()
        lots = sorted(book.lots.values(), key=lambda x: (alphabetical(x.name), x.received, x.lot))
        return [(x, book.usable(x.lot, today)) for x in lots]

    def receive(self, d: ev.LotReceived, by: str, pin: Pin, new: bool = False) -> str:
        """A delivery onto the books, of today where it has no date; the sentences that say how it went.
        ``new``: it is none of those that are called alike. Raises CommandError."""
        if d.made_in:
            self.journal.batch(d.made_in)
        d = replace(d, received=self.day_gone_by(d.received), lot=own_lot(self.journal, d.lot.strip()))
        d, known = self._named(d, new)
        unheard_of = not known and not self.records.lots().of_material(d.material)
        who = signed_if_enrolled(self.journal, by, pin)
        d = replace(d, name=d.name or d.material, by=who)
        stock.receive(self.records, d)
        return " ".join(self._received(d, unheard_of))

    def _received(self, d: ev.LotReceived, unheard_of: bool) -> Iterator[str]:
        what = (
            tr("{amount} of {name} received", amount=amount(d.quantity, d.unit), name=d.name)
            if d.quantity
            else tr("{name} on tap", name=d.name)
        )
        yield tr("Lot {lot}: {what}.", lot=d.lot, what=what)
        if d.state == "quarantined":
            yield tr("It is in quarantine until it is judged usable.")
        if unheard_of:
            yield tr(
                "It is the first lot of {material}: see that a procedure names that material so.",
                material=d.material,
            )
        if d.expires and d.expires < self.journal.today():
            yield tr("It is past its date since {day}: no make takes it.", day=d.expires)
        if not d.expires and d.quantity and d.unit == "g":
            yield tr("No expiry date is known for it; the container or the certificate has one.")

    def _named(self, d: ev.LotReceived, new: bool) -> tuple[ev.LotReceived, bool]:
        """The delivery under its material's key, and whether a procedure or the shelf names it; packaging and one's own
        products are in neither. Raises CommandError where the material was mistyped, or is counted and not weighed."""
        if d.made_in:
            return d, False
        from benchapp.service.approved_elsewhere import arrived_texts
        from benchapp.service.materials import key_called, material_meant, new_material, on_the_shelf

        lots = self.records.lots().lots.values()
        folder = self.journal.path.parent
        shelf = on_the_shelf(folder, arrived_texts(self.journal, folder))
        counted = {x.material: x.name for x in lots if x.unit == "pieces"}
        if d.unit == "pieces":
            if key_called(d.material, shelf):
                raise CommandError(tr('{name} is weighed: write its mass, like "1 kg".', name=d.material))
            # Under the key it has had so far, whatever its capitals.
            return replace(d, material=key_called(d.material, counted) or d.material), False
        if key_called(d.material, counted):
            raise CommandError(tr('{name} is counted: write pieces, like "200 pieces".', name=d.material))
        book = {x.material: x.name for x in lots if x.unit != "pieces"}
        key, name = new_material(d.material) if new else material_meant(d.material, {**book, **shelf})
        return replace(d, material=key, name=d.name or name), key in shelf

    def open_lot(self, lot: str, on: str, by: str, pin: Pin) -> str:
        """A container was opened, on an ISO date or today; the first opening counts."""
        on = self.day_gone_by(on)
        self.require_lot(lot)
        signed_if_enrolled(self.journal, by, pin)
        stock.about_lot(self.records, ev.LotOpened(at_s=0.0, lot=lot, on=on))
        return tr("Lot {lot} is open.", lot=lot)

    def judge(self, lot: str, state: str, reason: str, by: str, pin: Pin) -> str:
        """Usable, quarantined, rejected or used up, by a releaser."""
        _why(reason)
        self.require_lot(lot)
        who = signed_if_enrolled(self.journal, by, pin, "releaser")
        stock.about_lot(self.records, ev.LotJudged(at_s=0.0, lot=lot, state=state, reason=reason, by=who))
        return tr("Lot {lot} is {state} from now on.", lot=lot, state=state)

    def count(self, lot: str, quantity: tuple[float, str], reason: str, by: str, pin: Pin) -> str:
        """What is there now, as a value and its unit."""
        _why(reason)
        self.require_lot(lot)
        value, unit = quantity
        known = self.records.lots().lots.get(lot)
        stock.require_unit(self.records, lot, unit)
        if known is not None and known.on_tap:
            raise CommandError(tr("Lot {lot} is on tap: nothing of it is counted.", lot=lot))
        who = signed_if_enrolled(self.journal, by, pin)
        stock.about_lot(self.records, ev.LotCounted(at_s=0.0, lot=lot, quantity=value, reason=reason, by=who))
        book = "" if known is None else tr("; the book had {amount}", amount=amount(known.left, unit))
        said = tr("Lot {lot}: {amount} now{book}.", lot=lot, amount=amount(value, unit), book=book)
        if known is None or not 0 < known.quantity < value:
            return said
        more = tr(
            "That is more than the {amount} received: count again, or receive what is another lot under its own name.",
            amount=amount(known.quantity, unit),
        )
        return f"{said} {more}"

    def pack(self, batch: str, lot: str, pieces: tuple[int, int], by: str, pin: Pin) -> str:
        """Pieces of packaging go with a batch: how many were taken, and how many of them were spoiled."""
        self.journal.everywhere.batch(batch)
        self.require_lot(lot)
        book = self.records.lots()
        known = book.lots.get(lot)
        taken, spoiled = pieces
        if known is not None and known.unit != "pieces":
            raise CommandError(tr("Lot {lot} is kept in {unit}, not in pieces.", lot=lot, unit=known.unit))
        why = book.usable(lot, self.journal.today()) if known else ""
        if why:
            raise CommandError(why)
        if known is not None and taken > known.left:
            has = amount(known.left, known.unit)
            raise CommandError(tr("Lot {lot} has {amount} by the book: count it first.", lot=lot, amount=has))
        who = signed_if_enrolled(self.journal, by, pin)
        material = known.material if known else ""
        used = ev.PiecesUsed(at_s=0.0, lot=lot, material=material, pieces=taken, spoiled=spoiled, by=who)
        stock.use_pieces(self.records, batch, used)
        return tr(
            "{taken} pieces of lot {lot} for {batch}, {spoiled} of them spoiled.",
            taken=taken,
            lot=lot,
            batch=batch,
            spoiled=spoiled,
        )


def _why(reason: str) -> None:
    if not reason.strip():
        raise CommandError(tr("Say why."))


def _is_near(lot: Lot, today: str) -> bool:
    """Whether its date is past, or will be within so many days."""
    days = lot.days_left(today)
    return days is not None and days <= SOON_DAYS


def _left(lot: Lot) -> str:
    return tr("on tap") if lot.on_tap else amount(lot.left, lot.unit)


def lots_on_hand(journal: Journal) -> tuple[LotOnHand, ...]:
    """Every lot that is in the store today, in the words of a make, those used last first; with the reason where one
    may not be used."""
    book, today = Workshop(journal).lots(), journal.today()
    lots = sorted(book.lots.values(), key=lambda x: (-x.used_at, x.received, x.lot))
    return tuple(
        LotOnHand(
            x.lot,
            x.material,
            x.name,
            math.inf if x.on_tap else x.left,
            x.expires,
            x.code,
            book.usable(x.lot, today),
        )
        for x in lots
    )
