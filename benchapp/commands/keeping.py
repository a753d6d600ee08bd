"""verify, backup and correct: keeping the record, and saying openly what in it was wrong."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from rich.console import Console

from benchapp.commands.opening import answers, desk_in
from benchapp.commands.options import Parser, runs, signs
from benchapp.commands.output import ask_secret, say
from benchapp.events import GuardsRestored
from benchapp.record.verifying import Verification
from benchapp.record.verifying import verify as verify_journal
from benchapp.service.errors import DONE, NO_RECORD, CommandError


def verify(one: Parser) -> None:
    """benchapp verify"""
    one.add_argument("batch", nargs="?", help="only this one; everything if none is named")
    one.add_argument("--rebuild", action="store_true", help="make the indexes anew from the chain first")
    one.add_argument("--head", default="", metavar="HASH", help="a head printed on paper or kept elsewhere")
    runs(one, run_verify)


def backup(one: Parser) -> None:
    """benchapp backup"""
    one.add_argument("file", type=Path)
    runs(one, run_backup)


def correct(one: Parser) -> None:
    """benchapp correct"""
    one.add_argument("batch", help='the batch, or "workshop" for what belongs to none')
    one.add_argument("event", type=int, help="its number in the batch")
    one.add_argument("field")
    one.add_argument("new", help="what it is")
    one.add_argument("--reason", required=True)
    signs(
        one,
        answers(lambda desk, g: desk.correct(g.batch, g.event, (g.field, g.new), g.reason, g.by, ask_secret)),
    )


def run_verify(args: argparse.Namespace, console: Console) -> int:
    """Exit 0 where everything is as it was written, 6 where it isn't."""
    if args.head and not re.fullmatch(r"[0-9a-f]{64}", args.head):
        raise CommandError(
            "A head is 64 signs of 0 to 9 and a to f. Copy the one you kept whole: nothing was held against it."
        )
    with desk_in(args, existing=True) as desk:
        if args.rebuild:
            desk.journal.rebuild_indexes()
        found = verify_journal(desk.journal, args.batch, args.head)
        put_back = desk.journal.of_kinds([GuardsRestored])
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
    with desk_in(args, existing=True) as desk:
        head = desk.journal.head()
        desk.journal.store.backup(args.file)
    say(console, f"{args.file} is written. It holds the head {head}, or a later one.")
    say(
        console,
        "To restore: put it as journal.sqlite into an empty folder and name that with --data; then verify.",
    )
    return DONE
