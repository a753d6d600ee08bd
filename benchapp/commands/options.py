"""What the commands' options have in common."""

from __future__ import annotations

import argparse
import math
from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.foundation.numbers import decimal
from benchapp.make.guidance_levels import LEVELS

if TYPE_CHECKING:
    from rich.console import Console

Parser = argparse.ArgumentParser
Run = Callable[[argparse.Namespace, "Console"], int]


def runs(one: Parser, run: Run) -> Parser:
    """What a command does, and where the journal is: all of them know that."""
    one.add_argument("--data", metavar="DIR", help=tr("where the journal is kept"))
    one.set_defaults(run=run)
    return one


def signs(one: Parser, run: Run, words: str = "", required: bool = True) -> Parser:
    """The same for a command that somebody signs; ``words``: who, where that is not whoever gives it."""
    default = None if required else ""
    words = words or tr("who you are; the PIN is asked for")
    one.add_argument("--by", required=required, default=default, metavar="NAME", help=words)
    return runs(one, run)


def family(one: Parser) -> Callable[[str, str], Parser]:
    """What adds a command of its own to a command, by its name and what it is for."""
    under = one.add_subparsers(dest="what", required=True, metavar="WHAT")
    return lambda name, words: under.add_parser(name, help=words, description=words)


def batch_size(one: Parser) -> None:
    """--batch-size"""
    one.add_argument(
        "--batch-size", metavar="SIZE", help=tr('grams with a unit, such as "500g"; else the usual batch')
    )


def batch_named(one: Parser) -> None:
    """The batch a command is about."""
    one.add_argument("batch", help=tr("its name, or the code on its containers"))


def substitute(one: Parser) -> None:
    """--substitute"""
    one.add_argument(
        "--substitute",
        metavar="OLD=NEW",
        help=tr("an ingredient replaced by a material of the shelf, in this batch alone"),
    )


def simulated(one: Parser) -> None:
    """--pace and --seed"""
    one.add_argument(
        "--pace",
        type=number(0, 100_000),
        metavar="N",
        help=tr("N simulated seconds a second; 0: as fast as it goes"),
    )
    one.add_argument("--seed", type=int, default=1, help=tr("another number gives other slips of the hand"))


def terminal(one: Parser) -> None:
    """--terminal and what a make in the terminal takes."""
    one.add_argument(
        "--terminal", action="store_true", help=tr("in the terminal, even where there is a display")
    )
    voice(one)


def voice(one: Parser) -> None:
    """--guidance and --voice"""
    one.add_argument(
        "--guidance",
        choices=LEVELS,
        default="normal",
        help=tr("how much is said in the terminal at each step"),
    )
    one.add_argument("--voice", action="store_true", help=tr("speak and sound in the terminal, too"))


def day(text: str) -> str:
    """An ISO date from a command line, "" for none."""
    if not text:
        return ""
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise argparse.ArgumentTypeError(tr("{text!r} is no date; write 2027-03-31", text=text)) from error


def dated(one: Parser, name: str = "--on") -> None:
    """A day that is today where none is given."""
    one.add_argument(name, type=day, default="", metavar="DATE", help=tr("today if not given"))


def number(low: float = -math.inf, high: float = math.inf) -> Callable[[str], float]:
    """What reads a number between two others, and nothing that is none."""

    def read(text: str) -> float:
        try:
            value = float(decimal(text))
        except ValueError as error:
            raise argparse.ArgumentTypeError(tr("{text!r} is no number", text=text[:40])) from error
        if not math.isfinite(value) or not low <= value <= high:
            between = "" if math.isinf(high) else tr(" between {low:g} and {high:g}", low=low, high=high)
            raise argparse.ArgumentTypeError(
                tr("{text} is no number{between}", text=text[:40], between=between)
            )
        return value

    return read
