"""due, batch-check, close-deviation, retain, release and dispatch: from a finished batch to one that has left."""

from __future__ import annotations

import argparse
import re

from rich.console import Console

from benchapp import events as ev
from benchapp.commands.desk import Parsers, command, iso_date, say, show, signed, signed_if_enrolled, workshop
from benchapp.record.facts import ReleaseFacts
from benchapp.record.release import DECISIONS, Result, checks_of, why_not
from benchapp.record.workshop import Workshop
from benchapp.service.errors import DONE, REFUSED, CommandError
from benchapp.service.labelling import label_reasons


def add_release_commands(parsers: Parsers) -> None:  # type: ignore[type-arg]
    """The commands of this family."""
    command(parsers, "due", "release checks that wait for somebody", run_due)

    one = command(parsers, "batch-check", "write down the result of a release check", run_check, by=True)
    one.add_argument("batch")
    one.add_argument("check", help="its name, as the procedure has it")
    one.add_argument("--value", type=float, help="where the check has limits")
    good = one.add_mutually_exclusive_group()
    good.add_argument("--passed", action="store_true", help="it is as it has to be")
    good.add_argument("--failed", action="store_true", help="it isn't")
    one.add_argument("--words", default="", help="what was seen")

    one = command(parsers, "close-deviation", "accept an open deviation, with the reason", run_close, by=True)
    one.add_argument("batch")
    one.add_argument("number", type=int)
    one.add_argument("--reason", required=True)

    one = command(parsers, "retain", "containers kept back with the batch", run_retain, by=True)
    one.add_argument("batch")
    one.add_argument("pieces", type=int)
    one.add_argument("--where", required=True)
    one.add_argument("--until", type=iso_date, required=True, metavar="DATE")

    one = command(parsers, "release", "where a batch stands, or the decision about it", run_release)
    one.add_argument("batch")
    one.add_argument("--decision", choices=DECISIONS)
    one.add_argument("--reason", default="")
    one.add_argument("--by", default="", metavar="NAME", help="the releaser; the PIN is asked for")

    one = command(parsers, "dispatch", "containers of a released batch leave", run_dispatch, by=True)
    one.add_argument("batch")
    one.add_argument("containers", help="7, or 1-24")
    one.add_argument("to", help="who has them, so that they can be called")
    one.add_argument("--on", type=iso_date, default="", metavar="DATE", help="today if not given")
    one.add_argument("--note", default="", help="the delivery note's number")


def run_due(args: argparse.Namespace, console: Console) -> int:
    """What is due, longest first, then what is coming."""
    with workshop(args) as shop:
        found = shop.due()
        undecided = [b.batch for b in shop.journal.waiting()]
    if not undecided:
        say(console, "No finished batch waits for a decision.")
        return DONE
    rows = [(c.due[:16].replace("T", " "), c.state, c.batch, c.check.name, _limits(c.check)) for c in found]
    if rows:
        show(console, ("due", "", "batch", "check", "has to be"), rows)
    open_batches = {c.batch for c in found}
    for batch in undecided:
        if batch not in open_batches:
            say(console, f"{batch}: every check is written down; benchapp release {batch}")
    return DONE


def run_check(args: argparse.Namespace, console: Console) -> int:
    """One result."""
    fine = True if args.passed else False if args.failed else None
    with workshop(args) as shop:
        by = signed(shop, args.by).who
        passed = shop.record_check(args.batch, args.check, args.value, args.words, fine, by)
    word = "passed" if passed else "failed: decide about the batch, or find out why first"
    say(console, f"{args.check} of {args.batch}: {word}.")
    return DONE


def run_close(args: argparse.Namespace, console: Console) -> int:
    """One deviation looked into."""
    with workshop(args) as shop:
        proof = signed(shop, args.by)
        if "releaser" not in proof.roles:
            raise CommandError(f"{proof.who} is no releaser here.")
        shop.close_deviation(args.batch, args.number, args.reason, proof.who)
    say(console, f"Deviation {args.number} of {args.batch} is closed: {args.reason}")
    return DONE


def run_retain(args: argparse.Namespace, console: Console) -> int:
    """The retained sample."""
    if args.pieces < 1:
        raise CommandError("At least one container is kept.")
    with workshop(args) as shop:
        by = signed_if_enrolled(shop, args.by)
        kept = ev.SampleRetained(at_s=0.0, pieces=args.pieces, where=args.where, until=args.until, by=by)
        shop.add_to(args.batch, kept)
    say(console, f"{args.pieces} of {args.batch} kept in {args.where} until {args.until}.")
    return DONE


def run_release(args: argparse.Namespace, console: Console) -> int:
    """Without a decision: how it stands. With one: signed."""
    with workshop(args) as shop:
        if args.decision is None:
            return _stand(shop, args.batch, console)
        if not args.by.strip():
            raise CommandError("Say which releaser you are: --by NAME.")
        label = label_reasons(shop, args.batch)
        against = shop.against(args.batch, args.decision, args.by, label)
        if against:
            raise CommandError("\n".join(against))
        notes = shop.decide(args.batch, args.decision, args.reason, signed(shop, args.by), label)
    say(console, f"Batch {args.batch}: {args.decision}.{''.join(f' Noted: {n}.' for n in notes)}")
    return DONE


def _stand(shop: Workshop, batch: str, console: Console) -> int:
    standing = shop.standing(batch)
    checks = checks_of(standing, shop.specification(batch), shop.journal.wall())
    say(
        console,
        f"Batch {batch}: {standing.decision or standing.end or 'unfinished'}, made by {standing.maker}.",
    )
    rows = [
        (c.check.name, _limits(c.check), c.due[:16].replace("T", " "), c.state, _result(c.result))
        for c in checks
    ]
    if rows:
        show(console, ("check", "has to be", "due", "", "result"), rows)
    for d in standing.deviations:
        say(
            console,
            f"deviation {d.number}, {d.grade}, {f'closed: {d.closed}' if d.closed else 'open'}: {d.text}",
        )
    for kept in standing.retained:
        say(console, f"{kept.pieces} kept in {kept.where} until {kept.until}")
    releaser = next(iter(shop.people().with_role("releaser")), None)
    against = why_not("released", releaser, standing, checks, label_reasons(shop, batch))
    for reason in against:
        say(console, f"against release: {reason}")
    return REFUSED if against else DONE


def run_dispatch(args: argparse.Namespace, console: Console) -> int:
    """Where they went."""
    match = re.fullmatch(r"(\d{1,6})(?:\s*[-–]\s*(\d{1,6}))?", args.containers.strip())
    if match is None:
        raise CommandError(f"{args.containers!r} names no containers; write 7 or 1-24.")
    first, last = int(match[1]), int(match[2] or match[1])
    with workshop(args) as shop:
        by = signed_if_enrolled(shop, args.by)
        on = args.on or shop.journal.wall()[:10]
        shop.dispatch(
            args.batch,
            ev.Dispatched(at_s=0.0, first=first, last=last, to=args.to, on=on, note=args.note, by=by),
        )
    say(console, f"{args.batch} {first} to {last} went to {args.to} on {on}.")
    return DONE


def _limits(check: ReleaseFacts) -> str:
    if check.low is None and check.high is None:
        return check.expect
    low, high = ("" if v is None else f"{v:g}" for v in (check.low, check.high))
    return f"{low} to {high}; {check.expect}"


def _result(result: Result | None) -> str:
    if result is None:
        return ""
    value = "" if result.value is None else f"{result.value:g}"
    return ", ".join(part for part in (value, result.words, result.by) if part)
