"""verify, backup and correct: keeping the record, and saying openly what in it was wrong."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from rich.console import Console

from benchapp.commands.desk import Parsers, command, say, signed_if_enrolled, workshop
from benchapp.events import GuardsRestored
from benchapp.record.verifying import Verification, verify
from benchapp.service.errors import DONE, NO_RECORD, CommandError


def add_keeping_commands(parsers: Parsers) -> None:  # type: ignore[type-arg]
    """verify, backup, correct."""
    one = command(parsers, "verify", "whether anything in the record was altered", run_verify)
    one.add_argument("batch", nargs="?", help="only this one; everything if none is named")
    one.add_argument("--rebuild", action="store_true", help="make the indexes anew from the chain first")
    one.add_argument("--head", default="", metavar="HASH", help="a head printed on paper or kept elsewhere")

    one = command(parsers, "backup", "a copy of the whole journal, while others may write", run_backup)
    one.add_argument("file", type=Path)

    one = command(parsers, "correct", "say that something written was wrong; it stays", run_correct, by=True)
    one.add_argument("batch", help='the batch, or "workshop" for what belongs to none')
    one.add_argument("event", type=int, help="its number in the batch")
    one.add_argument("field")
    one.add_argument("new", help="what it is")
    one.add_argument("--reason", required=True)


def run_verify(args: argparse.Namespace, console: Console) -> int:
    """Exit 0 where everything is as it was written, 6 where it isn't."""
    if args.head and not re.fullmatch(r"[0-9a-f]{64}", args.head):
        raise CommandError(
            "A head is 64 signs of 0 to 9 and a to f. Copy the one you kept whole: nothing was held against it."
        )
    with workshop(args, existing=True) as shop:
        if args.rebuild:
            shop.journal.rebuild_indexes()
        found = verify(shop.journal, args.batch, args.head)
        put_back = shop.journal.of_kinds([GuardsRestored])
    what = f"Batch {args.batch}" if args.batch else "The journal"
    for finding in found.findings:
        say(console, f"ALTERED {finding.batch}, event {finding.n} (place {finding.seq}): {finding.what}.")
    for guard in found.guards:
        say(console, f"ALTERED the guard {guard} against alteration was taken off this file or changed.")
    for s in put_back:
        say(
            console,
            f"The guards against alteration had been taken off and were put back on {s.wall[:16].replace('T', ' ')}.",
        )
    if found.pages:
        say(console, f"DAMAGED {found.pages}. Restore a backup.")
    for line in found.indexes:
        say(console, f"index differs from the chain (nothing recorded is altered): {line}")
    if found.indexes:
        say(console, "To make the indexes anew from the chain: benchapp verify --rebuild.")
    _say_head(found, console)
    if found.sound:
        say(console, f"{what}: {found.events} events, each as it was written and bound to the one before.")
    say(console, f"head {found.head}")
    if not args.head:
        say(console, "Whoever owns the file can write the whole chain anew. Keep this head elsewhere, on paper or with "
                     "somebody else, and hold the journal against it: benchapp verify --head HASH.")  # fmt: skip
    return DONE if found.sound else NO_RECORD


def _say_head(found: Verification, console: Console) -> None:
    if found.head_at is not None:
        at = found.head_at
        say(
            console, f"The head given is in the chain: event {at.n} of {at.batch}, place {at.seq}, {at.what}."
        )
    elif found.asked:
        say(console, "ALTERED the head given is not in this chain: the journal was written anew, cut off or put back "
                     "to an older copy since, or the head is another journal's.")  # fmt: skip


def run_backup(args: argparse.Namespace, console: Console) -> int:
    """Never over a file that is there."""
    if args.file.exists():
        raise CommandError(f"{args.file} is there already; a backup is never written over another.")
    with workshop(args, existing=True) as shop:
        head = shop.journal.head()
        shop.journal.store.backup(args.file)
    say(console, f"{args.file} is written. It holds the head {head}, or a later one.")
    say(
        console,
        "To restore: put it as journal.sqlite into an empty folder and name that with --data; then verify.",
    )
    return DONE


def run_correct(args: argparse.Namespace, console: Console) -> int:
    """A new event that names the old."""
    with workshop(args) as shop:
        by = signed_if_enrolled(shop, args.by, "maker", "releaser")
        old = shop.correct(args.batch, args.event, args.field, args.new, args.reason, by)
    say(
        console,
        f"{args.batch}, event {args.event}: {args.field} was {old}, is {args.new}. Both stand in the record.",
    )
    return DONE
