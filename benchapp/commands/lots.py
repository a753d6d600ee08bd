"""lot: deliveries as they come in, are opened, judged and counted; pack: packaging drawn for a batch."""

from __future__ import annotations

import argparse
import re

from benchapp import events as ev
from benchapp.commands.costing import money
from benchapp.commands.opening import answers
from benchapp.commands.options import Parser, dated, day, family, runs, signs
from benchapp.commands.output import ask_secret
from benchapp.foundation.language import tr, tr_noop
from benchapp.record.errors import NotAllowed
from benchapp.record.lots import STATES

#: What is written for a material that is never counted nor used up: water of the house.
ON_TAP = tr_noop("on tap")


def lot(one: Parser) -> None:
    """benchapp lot receive, open, price, judge, count, list"""
    add = family(one)
    one = add("receive", tr("a delivery came in"))
    one.add_argument("lot", help=tr("your own name for it, as you write it on the container"))
    one.add_argument("material", help=tr("the material's name or key, as the procedures have it"))
    one.add_argument("quantity", help=tr('"5 kg", "200 pieces" for packaging, "on tap" for house water'))
    one.add_argument("--name", default="", help=tr("what it is called on the container"))
    one.add_argument("--supplier", default="")
    one.add_argument("--supplier-lot", default="", metavar="LOT")
    one.add_argument("--made-in", default="", metavar="BATCH", help=tr("the batch of yours it came out of"))
    dated(one, "--received")
    one.add_argument("--expires", type=day, default="", metavar="DATE")
    one.add_argument("--code", default="", help=tr("what a barcode reader types for it"))
    one.add_argument("--document", action="append", default=[], metavar="NAME", help=tr("may be given again"))
    one.add_argument("--quarantine", action="store_true", help=tr("not to be used until it is judged usable"))
    one.add_argument(
        "--new-material", action="store_true", help=tr("it is none of those that are called alike")
    )
    signs(one, answers(lambda desk, g: desk.receive(_delivery(g), g.by, ask_secret, g.new_material)))

    one = add("open", tr("a container was opened"))
    one.add_argument("lot")
    dated(one)
    signs(one, answers(lambda desk, g: desk.open_lot(g.lot, g.on, g.by, ask_secret)))

    one = add("price", tr("what a whole delivery cost"))
    one.add_argument("lot")
    one.add_argument("price", type=money, help=tr('such as "12.50 EUR"'))
    signs(one, answers(lambda desk, g: desk.price(g.lot, g.price, g.by, ask_secret)))

    one = add("judge", tr("set what may be done with a lot"))
    one.add_argument("lot")
    one.add_argument("state", choices=STATES)
    one.add_argument("--reason", required=True)
    signs(one, answers(lambda desk, g: desk.judge(g.lot, g.state, g.reason, g.by, ask_secret)))

    one = add("count", tr("weigh or count again: this is what is there now"))
    one.add_argument("lot")
    one.add_argument("quantity")
    one.add_argument("--reason", required=True)
    signs(one, answers(lambda desk, g: desk.count(g.lot, _quantity(g.quantity), g.reason, g.by, ask_secret)))

    one = add("list", tr("what is there"))
    one.add_argument("material", nargs="?", default="", help=tr("only this one"))
    runs(one, answers(lambda desk, g: desk.stock_list(g.material)))


def pack(one: Parser) -> None:
    """benchapp pack"""
    one.add_argument("batch")
    one.add_argument("lot")
    one.add_argument("pieces", type=int, help=tr("taken out of the lot, spoiled ones included"))
    one.add_argument("--spoiled", type=int, default=0, help=tr("of them, did not leave with the product"))
    signs(one, answers(lambda desk, g: desk.pack(g.batch, g.lot, (g.pieces, g.spoiled), g.by, ask_secret)))


def _delivery(given: argparse.Namespace) -> ev.LotReceived:
    on_tap = given.quantity.strip().casefold() == ON_TAP
    quantity, unit = (0.0, "g") if on_tap else _quantity(given.quantity)
    if not quantity and not on_tap:
        raise NotAllowed(tr("A delivery is more than nothing."))
    return ev.LotReceived(
        at_s=0.0, lot=given.lot, material=given.material, name=given.name, supplier=given.supplier,
        supplier_lot=given.supplier_lot, quantity=quantity, unit=unit, received=given.received, expires=given.expires,
        code=given.code, documents=tuple(given.document), made_in=given.made_in,
        state="quarantined" if given.quarantine else "usable",
    )  # fmt: skip


def _quantity(text: str) -> tuple[float, str]:
    """A value and its unit, grams or pieces. Raises QuantityError."""
    pieces = re.fullmatch(r"\s*(\d{1,7})\s*pieces?\s*", text)
    if pieces:
        return float(pieces[1]), "pieces"
    from procedures.quantities import MASS, quantity

    return quantity(text, MASS), "g"
