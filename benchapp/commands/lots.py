"""lot: deliveries as they come in, are opened, judged and counted; and packaging drawn for a batch."""

from __future__ import annotations

import argparse
import re

from rich.console import Console

from benchapp import events as ev
from benchapp.commands.desk import Parsers, command, family, iso_date, say, show, signed_if_enrolled, workshop
from benchapp.record.workshop import STATES
from benchapp.service.errors import DONE, CommandError
from benchapp.service.wording import amount
from procedures.quantities import MASS, quantity


def add_lot_commands(parsers: Parsers) -> None:  # type: ignore[type-arg]
    """lot receive, open, judge, count, list, and pack."""
    under = family(parsers, "lot", "deliveries: receive, open, judge, count, list")
    one = command(under, "receive", "a delivery came in", run_receive, by=True)
    one.add_argument("lot", help="your own name for it, as you write it on the container")
    one.add_argument("material", help="the material's key, as the procedures name it")
    one.add_argument("quantity", help='"5 kg", or "200 pieces" for packaging')
    one.add_argument("--name", default="", help="what it is called on the container")
    one.add_argument("--supplier", default="")
    one.add_argument("--supplier-lot", default="", metavar="LOT")
    one.add_argument("--made-in", default="", metavar="BATCH", help="the batch of yours it came out of")
    one.add_argument("--received", type=iso_date, default="", metavar="DATE", help="today if not given")
    one.add_argument("--expires", type=iso_date, default="", metavar="DATE")
    one.add_argument("--code", default="", help="what a barcode reader types for it")
    one.add_argument("--document", action="append", default=[], metavar="NAME", help="may be given again")
    one.add_argument("--quarantine", action="store_true", help="not to be used until it is judged usable")

    one = command(under, "open", "a container was opened", run_open, by=True)
    one.add_argument("lot")
    one.add_argument("--on", type=iso_date, default="", metavar="DATE", help="today if not given")

    one = command(under, "judge", "set what may be done with a lot", run_judge, by=True)
    one.add_argument("lot")
    one.add_argument("state", choices=STATES)
    one.add_argument("--reason", required=True)

    one = command(under, "count", "weigh or count again: this is what is there now", run_count, by=True)
    one.add_argument("lot")
    one.add_argument("quantity")
    one.add_argument("--reason", required=True)

    one = command(under, "list", "what is there", run_list)
    one.add_argument("material", nargs="?", help="only this one")

    one = command(parsers, "pack", "packaging or labels drawn for a batch", run_pack, by=True)
    one.add_argument("batch")
    one.add_argument("lot")
    one.add_argument("pieces", type=int, help="taken out of the lot, spoiled ones included")
    one.add_argument("--spoiled", type=int, default=0, help="of them, did not leave with the product")


def run_receive(args: argparse.Namespace, console: Console) -> int:
    """A delivery, under a name of the workshop's own."""
    value, unit = _quantity(args.quantity)
    with workshop(args) as shop:
        if args.made_in:
            shop.journal.batch(args.made_in)
        new = not shop.lots().of_material(args.material)
        by = signed_if_enrolled(shop, args.by)
        shop.receive(
            ev.LotReceived(
                at_s=0.0, lot=args.lot, material=args.material, name=args.name or args.material,
                supplier=args.supplier, supplier_lot=args.supplier_lot, quantity=value, unit=unit,
                received=args.received or shop.journal.wall()[:10], expires=args.expires, code=args.code,
                documents=tuple(args.document), state="quarantined" if args.quarantine else "usable", by=by,
                made_in=args.made_in,
            )
        )  # fmt: skip
    held = " It is in quarantine until it is judged usable." if args.quarantine else ""
    say(console, f"Lot {args.lot}: {amount(value, unit)} of {args.material} received.{held}")
    if new:
        say(console, f"It is the first lot of {args.material}: see that a procedure names that material so.")
    if not args.expires:
        say(console, "No expiry date is known for it; the container or the certificate has one.")
    return DONE


def run_open(args: argparse.Namespace, console: Console) -> int:
    """The first opening counts."""
    with workshop(args) as shop:
        signed_if_enrolled(shop, args.by)
        shop.about_lot(ev.LotOpened(at_s=0.0, lot=args.lot, on=args.on or shop.journal.wall()[:10]))
    say(console, f"Lot {args.lot} is open.")
    return DONE


def run_judge(args: argparse.Namespace, console: Console) -> int:
    """Usable, quarantined, rejected or used up."""
    with workshop(args) as shop:
        by = signed_if_enrolled(shop, args.by, "releaser")
        shop.about_lot(ev.LotJudged(at_s=0.0, lot=args.lot, state=args.state, reason=args.reason, by=by))
    say(console, f"Lot {args.lot} is {args.state} from now on.")
    return DONE


def run_count(args: argparse.Namespace, console: Console) -> int:
    """What is there now."""
    value, unit = _quantity(args.quantity)
    with workshop(args) as shop:
        by = signed_if_enrolled(shop, args.by)
        known = shop.lots().lots.get(args.lot)
        if known is not None and known.unit != unit:
            raise CommandError(f"Lot {args.lot} is kept in {known.unit}.")
        shop.about_lot(ev.LotCounted(at_s=0.0, lot=args.lot, quantity=value, reason=args.reason, by=by))
    book = "" if known is None else f"; the book had {amount(known.left, unit)}"
    say(console, f"Lot {args.lot}: {amount(value, unit)} now{book}.")
    return DONE


def run_list(args: argparse.Namespace, console: Console) -> int:
    """All lots, what is left of them, and why one may not be used."""
    with workshop(args) as shop:
        book, today = shop.lots(), shop.journal.wall()[:10]
    lots = sorted(book.lots.values(), key=lambda x: (x.material, x.received, x.lot))
    if args.material:
        lots = [x for x in lots if x.material == args.material]
    if not lots:
        say(console, "No lot is here. A delivery is written down with: benchapp lot receive.")
        return DONE
    rows = [
        (x.lot, x.material, amount(x.left, x.unit), x.expires, x.supplier, x.supplier_lot,
         "" if not book.usable(x.lot, today) else x.state if x.state != "usable" else _short(book.usable(x.lot, today)))
        for x in lots
    ]  # fmt: skip
    show(console, ("lot", "material", "left", "expires", "supplier", "supplier's lot", "not usable"), rows)
    return DONE


def run_pack(args: argparse.Namespace, console: Console) -> int:
    """Pieces of packaging go with a batch, or into the bin."""
    with workshop(args) as shop:
        by = signed_if_enrolled(shop, args.by)
        known = shop.lots().lots.get(args.lot)
        used = ev.PiecesUsed(
            at_s=0.0, lot=args.lot, material=known.material if known else "", pieces=args.pieces,
            spoiled=args.spoiled, by=by,
        )  # fmt: skip
        if known is not None and known.unit != "pieces":
            raise CommandError(f"Lot {args.lot} is kept in {known.unit}, not in pieces.")
        why = shop.lots().usable(args.lot, shop.journal.wall()[:10]) if known else ""
        if why:
            raise CommandError(why)
        shop.use_pieces(args.batch, used)
    say(console, f"{args.pieces} pieces of lot {args.lot} for {args.batch}, {args.spoiled} of them spoiled.")
    return DONE


def _quantity(text: str) -> tuple[float, str]:
    pieces = re.fullmatch(r"\s*(\d{1,7})\s*pieces?\s*", text)
    return (float(pieces[1]), "pieces") if pieces else (quantity(text, MASS), "g")


def _short(why: str) -> str:
    return "expired" if "expired" in why else "empty"
