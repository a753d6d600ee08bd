"""master: which version of a procedure is approved for batches that leave, and what two versions differ in."""

from __future__ import annotations

import argparse
from pathlib import Path

from rich.console import Console

from benchapp.commands.opening import desk_in
from benchapp.commands.options import Parser, family, runs, signs
from benchapp.commands.output import ask_secret, say, show_sheet
from benchapp.record.errors import NoSuchBatch
from benchapp.service.errors import DONE
from procedures.reading import read_procedure
from procedures.shelf import find


def master(one: Parser) -> None:
    """benchapp master"""
    word = family(one)
    listed = word("list", "the approved versions of a procedure")
    listed.add_argument("procedure")
    runs(listed, run_list)
    compared = word("compare", "two versions side by side")
    for name in ("one", "other"):
        compared.add_argument(name, help="a name, a file, NAME@VERSION or a batch")
    runs(compared, run_compare)
    approved = word("approve", "approve a procedure as it stands, or the version of a good trial")
    approved.add_argument("procedure", help="a name, a file, or the batch of a trial")
    _reasoned(approved, "why it is changed; not needed for the first version")
    signs(approved, run_approve, "the releaser who approves; the PIN is asked for")
    withdrawn = word("withdraw", "nothing that leaves is made by it any more")
    withdrawn.add_argument("procedure")
    _reasoned(withdrawn, "why")
    signs(withdrawn, run_withdraw, "the releaser; the PIN is asked for")


def _reasoned(one: Parser, what: str) -> None:
    one.add_argument("--reason", default="", help=what)


def run_list(args: argparse.Namespace, console: Console) -> int:
    """Every approved version, and how the file as it stands now compares."""
    with desk_in(args) as desk:
        show_sheet(console, desk.versions(args.procedure))
    return DONE


def run_compare(args: argparse.Namespace, console: Console) -> int:
    """What differs, field by field."""
    with desk_in(args) as desk:
        show_sheet(console, desk.compared(args.one, args.other))
    return DONE


def run_approve(args: argparse.Namespace, console: Console) -> int:
    """A batch's version where a batch of that name was made, else the procedure."""
    with desk_in(args) as desk:
        try:
            batch = desk.journal.named(args.procedure).batch
        except NoSuchBatch:
            name = args.procedure
            procedure = read_procedure(find(Path(name) if name.endswith(".toml") else name)).procedure
            say(console, desk.approve_master(procedure, args.reason, args.by, ask_secret))
        else:
            say(console, desk.approve_trial(batch, args.reason, args.by, ask_secret))
    return DONE


def run_withdraw(args: argparse.Namespace, console: Console) -> int:
    """The version that counts."""
    with desk_in(args) as desk:
        say(console, desk.withdraw_master(args.procedure, args.reason, args.by, ask_secret))
    return DONE
