"""lot: deliveries as they come in, are opened, judged and counted; pack: packaging drawn for a batch."""

from __future__ import annotations

import argparse
import re

from rich.console import Console

from benchapp.commands.opening import desk_in
from benchapp.commands.options import Family, Parser, day, runs, signs
from benchapp.commands.output import ask_secret, say, show
from benchapp.record.workshop import STATES
from benchapp.service.desk_facts import Delivery
from benchapp.service.errors import DONE
from benchapp.service.store import LotFacts


def lot(one: Parser) -> None:
    """benchapp lot receive, open, judge, count, list"""
    under = Family(one)
    one = under.add("receive", "a delivery came in")
    one.add_argument("lot", help="your own name for it, as you write it on the container")
    one.add_argument("material", help="the material's key, as the procedures name it")
    one.add_argument("quantity", help='"5 kg", or "200 pieces" for packaging')
    one.add_argument("--name", default="", help="what it is called on the container")
    one.add_argument("--supplier", default="")
    one.add_argument("--supplier-lot", default="", metavar="LOT")
    one.add_argument("--made-in", default="", metavar="BATCH", help="the batch of yours it came out of")
    one.add_argument("--received", type=day, default="", metavar="DATE", help="today if not given")
    one.add_argument("--expires", type=day, default="", metavar="DATE")
    one.add_argument("--code", default="", help="what a barcode reader types for it")
    one.add_argument("--document", action="append", default=[], metavar="NAME", help="may be given again")
    one.add_argument("--quarantine", action="store_true", help="not to be used until it is judged usable")
    signs(one, run_receive)

    one = under.add("open", "a container was opened")
    one.add_argument("lot")
    one.add_argument("--on", type=day, default="", metavar="DATE", help="today if not given")
    signs(one, run_open)

    one = under.add("judge", "set what may be done with a lot")
    one.add_argument("lot")
    one.add_argument("state", choices=STATES)
    one.add_argument("--reason", required=True)
    signs(one, run_judge)

    one = under.add("count", "weigh or count again: this is what is there now")
    one.add_argument("lot")
    one.add_argument("quantity")
    one.add_argument("--reason", required=True)
    signs(one, run_count)

    one = under.add("list", "what is there")
    one.add_argument("material", nargs="?", default="", help="only this one")
    runs(one, run_list)


def pack(one: Parser) -> None:
    """benchapp pack"""
    one.add_argument("batch")
    one.add_argument("lot")
    one.add_argument("pieces", type=int, help="taken out of the lot, spoiled ones included")
    one.add_argument("--spoiled", type=int, default=0, help="of them, did not leave with the product")
    signs(one, run_pack)


def run_receive(args: argparse.Namespace, console: Console) -> int:
    """A delivery, under a name of the workshop's own."""
    quantity, unit = _quantity(args.quantity)
    delivery = Delivery(
        args.material, args.name, args.lot, quantity, args.supplier, args.supplier_lot, args.expires, unit,
        args.received, args.code, tuple(args.document), args.quarantine, args.made_in,
    )  # fmt: skip
    with desk_in(args) as desk:
        say(console, desk.receive(delivery, args.by, ask_secret))
    return DONE


def run_open(args: argparse.Namespace, console: Console) -> int:
    """The first opening counts."""
    with desk_in(args) as desk:
        say(console, desk.open_lot(args.lot, args.on, args.by, ask_secret))
    return DONE


def run_judge(args: argparse.Namespace, console: Console) -> int:
    """Usable, quarantined, rejected or used up."""
    with desk_in(args) as desk:
        say(console, desk.judge(args.lot, args.state, args.reason, args.by, ask_secret))
    return DONE


def run_count(args: argparse.Namespace, console: Console) -> int:
    """What is there now."""
    quantity = _quantity(args.quantity)
    with desk_in(args) as desk:
        say(console, desk.count(args.lot, quantity, args.reason, args.by, ask_secret))
    return DONE


def run_list(args: argparse.Namespace, console: Console) -> int:
    """All lots, what is left of them, and why one may not be used."""
    with desk_in(args) as desk:
        stock = desk.stock(args.material)
    if not stock:
        say(console, "No lot is here. A delivery is written down with: benchapp lot receive.")
        return DONE
    rows = [(x.lot, x.material, x.left, x.expires, x.supplier, x.supplier_lot, _short(x)) for x in stock]
    show(console, ("lot", "material", "left", "expires", "supplier", "supplier's lot", "not usable"), rows)
    return DONE


def run_pack(args: argparse.Namespace, console: Console) -> int:
    """Pieces of packaging go with a batch, or into the bin."""
    with desk_in(args) as desk:
        say(console, desk.pack(args.batch, args.lot, (args.pieces, args.spoiled), args.by, ask_secret))
    return DONE


def _quantity(text: str) -> tuple[float, str]:
    """A value and its unit, grams or pieces. Raises QuantityError."""
    pieces = re.fullmatch(r"\s*(\d{1,7})\s*pieces?\s*", text)
    if pieces:
        return float(pieces[1]), "pieces"
    from procedures.quantities import MASS, quantity

    return quantity(text, MASS), "g"


def _short(x: LotFacts) -> str:
    """Why it may not be used, in a word."""
    if not x.why_not:
        return ""
    if x.state != "usable":
        return x.state
    return "expired" if "expired" in x.why_not else "empty"
