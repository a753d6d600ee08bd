"""What the commands of the workshop's desk share: the journal, who signs, dates, tables."""

from __future__ import annotations

import argparse
import contextlib
import getpass
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date

from rich.console import Console
from rich.table import Table
from rich.text import Text

from benchapp.commands.making import journal_in
from benchapp.record.journal import JOURNAL
from benchapp.record.people import Proof
from benchapp.record.workshop import Workshop
from benchapp.runtime.settings import data_folder
from benchapp.service.errors import CommandError
from benchapp.service.specification import release_specification
from benchapp.terminal.words import clean

Parsers = argparse._SubParsersAction
Run = Callable[[argparse.Namespace, Console], int]


@contextlib.contextmanager
def workshop(args: argparse.Namespace, existing: bool = False) -> Iterator[Workshop]:
    """The workshop of a data folder, its journal closed afterwards. ``existing``: an empty one is not begun, as a
    mistyped folder would look like a workshop in which nothing ever happened."""
    folder = data_folder(args.data)
    if existing and not (folder / JOURNAL).is_file():
        raise CommandError(f"There is no journal in {folder}. Name the folder it is in with --data.")
    with journal_in(folder) as journal:
        yield Workshop(journal, release_specification)


# --- who signs ---------------------------------------------------------------------------------------------


def ask_secret(prompt: str) -> str:
    """A PIN, not shown; from a pipe, one line. Never from the command line, where others could read it."""
    if sys.stdin.isatty():
        return getpass.getpass(prompt)
    return sys.stdin.readline().rstrip("\n")


def signed(shop: Workshop, by: str) -> Proof:
    """The proof that it is ``by``, asking for the PIN. Raises CommandError with the sentence why not."""
    if not shop.people().signing():
        raise CommandError(
            "Nobody is enrolled here who could sign. Begin with: benchapp person enrol NAME --role releaser."
        )
    proof = shop.prove(by, ask_secret(f"PIN of {by}: "))
    if isinstance(proof, str):
        raise CommandError(proof)
    return proof


def signed_if_enrolled(shop: Workshop, by: str, *roles: str) -> str:
    """Who it is: proved by PIN once anybody is enrolled, and with one of ``roles`` where they are given; taken at
    their word before."""
    if not by.strip():
        raise CommandError("Say who you are: --by NAME.")
    if not shop.people().signing():
        return by.strip()
    proof = signed(shop, by)
    if roles and not set(roles) & set(proof.roles):
        raise CommandError(f"This takes a {' or a '.join(roles)}; {proof.who} is {', '.join(proof.roles)}.")
    return proof.who


# --- what is given and shown -------------------------------------------------------------------------------


def iso_date(text: str) -> str:
    """An ISO date from a command line, "" for none."""
    if not text:
        return ""
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no date; write 2027-03-31") from error


def say(console: Console, text: str) -> None:
    """One line."""
    console.print(clean(text), markup=False, highlight=False, soft_wrap=not console.is_terminal)


def show(console: Console, titles: Sequence[str], rows: Iterable[Sequence[str]], title: str = "") -> None:
    """A table."""
    table = Table(title=title or None)
    for name in titles:
        table.add_column(name)
    for row in rows:
        table.add_row(*(Text(clean(cell)) for cell in row))
    console.print(table)


def command(parsers: Parsers, name: str, words: str, run: Run, by: bool = False) -> argparse.ArgumentParser:  # type: ignore[type-arg]
    """A command with what all of them have: where the journal is and, where it writes, who it is."""
    one: argparse.ArgumentParser = parsers.add_parser(name, help=words, description=words)
    if by:
        one.add_argument("--by", required=True, metavar="NAME", help="who you are; the PIN is asked for")
    one.add_argument("--data", metavar="DIR", help="where the journal is kept")
    one.set_defaults(run=run)
    return one


def family(parsers: Parsers, name: str, words: str) -> Parsers:  # type: ignore[type-arg]
    """A command that has commands of its own."""
    one = parsers.add_parser(name, help=words, description=words)
    under: Parsers = one.add_subparsers(dest="what", required=True, metavar="WHAT")  # type: ignore[type-arg]
    return under
