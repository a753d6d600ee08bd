"""cost: what a batch cost, and would cost in another size; needs: what planned batches need, and what runs out first."""

from __future__ import annotations

import argparse
import re
from typing import TYPE_CHECKING

from benchapp.commands.opening import answers
from benchapp.commands.options import Parser, batch_named, day, number, runs
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import decimal
from benchapp.service.errors import CommandError

if TYPE_CHECKING:
    from benchapp.service.desk import Desk
    from benchapp.service.needs import Sized


def cost(one: Parser) -> None:
    """benchapp cost"""
    batch_named(one)
    one.add_argument("--hourly", type=number(0, 100_000), metavar="N", help=tr("what an hour of work costs"))
    one.add_argument(
        "--batch-size", metavar="SIZE", help=tr('the same formula in another size, such as "900g"')
    )
    runs(one, answers(lambda desk, g: desk.cost(g.batch, g.hourly, _size(g.batch_size)), existing=True))


def needs(one: Parser) -> None:
    """benchapp needs"""
    one.add_argument(
        "plan",
        nargs="+",
        metavar="PROCEDURE[:SIZE[:TIMES]]",
        help=tr("such as oat-hand-lotion:500g:3, in their order"),
    )
    one.add_argument(
        "--until", type=day, default="", metavar="DATE", help=tr("what keeps until then; today if not given")
    )
    runs(one, answers(lambda desk, g: desk.needs([_sized(desk, text) for text in g.plan], g.until)))


def money(text: str) -> tuple[float, str]:
    """An amount and its currency, such as "12.50 EUR"."""
    match = re.fullmatch(r"\s*(\d{1,9}(?:[.,]\d{1,4})?)\s*([A-Za-z]{3})\s*", text)
    if match is None:
        raise argparse.ArgumentTypeError(
            tr(
                '{text!r} is no price; write the amount and the currency in three letters, such as "12.50 EUR"',
                text=text,
            )
        )
    return float(decimal(match[1])), match[2].upper()


def _size(text: str | None) -> float | None:
    from procedures.quantities import MASS, some

    return None if text is None else some(text, MASS)


def _sized(desk: Desk, text: str) -> Sized:
    """One part of a plan. Raises CommandError, ProcedureError and QuantityError."""
    from benchapp.service.needs import Sized

    match = re.fullmatch(r"(.+?)(?::([^:]+))?(?::(\d{1,3}))?", text)
    name, size, times = match.groups() if match else (text, None, None)
    procedure = desk.procedure_named(name)
    batch_g = _size(size) or procedure.default_batch_g
    if not procedure.batch_g.holds(batch_g):
        least, most = procedure.batch_g.low, procedure.batch_g.high
        raise CommandError(
            tr(
                "{name} is made in {least:g} to {most:g} g, not in {batch_g:g} g.",
                name=procedure.name,
                least=least,
                most=most,
                batch_g=batch_g,
            )
        )
    if times is not None and int(times) == 0:
        raise CommandError(
            tr("{text}: no batch at all needs nothing. Write how many, such as :2.", text=text)
        )
    return Sized(procedure, batch_g, int(times or 1))
