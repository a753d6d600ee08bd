"""trace and recall: from a lot to whoever has something of it, and from a container back to every lot."""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterable

from rich.console import Console

from benchapp.commands.desk import Parsers, command, say, show, workshop
from benchapp.record.tracing import (
    BackwardTrace,
    ForwardTrace,
    TracedCorrection,
    back,
    forward,
    ranges,
    recipients,
)
from benchapp.record.workshop import Workshop
from benchapp.service.errors import DONE
from benchapp.service.wording import amount


def add_tracing_commands(parsers: Parsers) -> None:  # type: ignore[type-arg]
    """trace and recall."""
    one = command(parsers, "trace", "where a lot went, or what is in a batch or a container", run_trace)
    one.add_argument("what", metavar="LOT|BATCH|CONTAINER", help="a container is BATCH/7")
    one = command(parsers, "recall", "whom to call about a lot; times itself, for drills too", run_recall)
    one.add_argument("lot")


def run_trace(args: argparse.Namespace, console: Console) -> int:
    """A lot forward, anything else back."""
    with workshop(args, existing=True) as shop:
        if shop.lots_named(args.what):
            _show_forward(forward(shop.journal, args.what), console)
        else:
            _show_back(shop, back(shop.journal, args.what), console)
    return DONE


def run_recall(args: argparse.Namespace, console: Console) -> int:
    """The list to work through with a telephone."""
    began = time.perf_counter()
    with workshop(args, existing=True) as shop:
        found = forward(shop.journal, args.lot)
        now = shop.journal.wall()
    calls = recipients(found)
    took_s = time.perf_counter() - began
    say(
        console,
        f"Recall of lot {args.lot} ({found.lot.name}), drawn up {now[:16].replace('T', ' ')} in {took_s:.2f} s",
    )
    rows = [
        (to, s.batch, f"{s.first}–{s.last}" if s.last > s.first else str(s.first), str(s.last - s.first + 1), s.on, s.note)
        for to, sents in calls.items()
        for s in sents
    ]  # fmt: skip
    if rows:
        show(console, ("call", "batch", "containers", "pieces", "sent on", "note"), rows)
    gone = sum(s.last - s.first + 1 for sents in calls.values() for s in sents)
    say(console, f"{len(calls)} to call about {gone} containers of {len(found.reached)} batches.")
    for reached in found.reached:
        state = reached.batch.decision or reached.batch.end or "unfinished"
        if reached.here:
            what = f"containers {ranges(reached.here)} are still here. Put them aside."
        else:
            what = "no container is here. What of it stands in bulk or as a lot of your own, put aside too."
        say(console, f"{reached.batch.batch} ({state}): {what}")
    _show_made(found, console)
    _show_corrections(found.corrections, console)
    return DONE


def _show_forward(found: ForwardTrace, console: Console) -> None:
    lot = found.lot
    say(console, f"Lot {lot.lot}: {lot.name} from {lot.supplier or 'nobody named'}, their lot {lot.supplier_lot or '?'}, "
                 f"{amount(lot.quantity, lot.unit)} received {lot.received}, {amount(lot.left, lot.unit)} left, {lot.state}")  # fmt: skip
    rows = [
        (
            r.batch.batch, r.batch.decision or r.batch.end or "unfinished",
            ", ".join(f"{amount(u.used, u.unit)} {u.line}" for u in r.uses),
            "; ".join(f"{ranges(range(s.first, s.last + 1))} {s.to} {s.on}" for s in r.sent), ranges(r.here),
        )
        for r in found.reached
    ]  # fmt: skip
    if rows:
        show(console, ("batch", "", "drawn", "containers sent", "still here"), rows)
    else:
        say(console, "Nothing was drawn from it.")
    _show_made(found, console)
    _show_corrections(found.corrections, console)


def _show_back(shop: Workshop, found: BackwardTrace, console: Console) -> None:
    b = found.batch
    what = f"Container {found.container} of batch {b.batch}" if found.container else f"Batch {b.batch}"
    rehearsal = " (a rehearsal: made of nothing)" if b.rehearsal else ""
    say(console, f"{what}: {b.procedure}, made by {b.maker}, begun {b.wall[:16].replace('T', ' ')}, "
                 f"{b.decision or b.end or 'unfinished'}{rehearsal}")  # fmt: skip
    for s in found.sent:
        say(console, f"{ranges(range(s.first, s.last + 1))} went to {s.to} on {s.on} {s.note}".rstrip())
    if not found.sent and not b.rehearsal:
        say(console, "No dispatch note names it.")
    rows = [
        (
            i.use.line, i.use.lot or "no lot named", "" if i.lot is None else i.lot.supplier,
            "" if i.lot is None else i.lot.supplier_lot, amount(i.use.used, i.use.unit),
            "" if i.batch == b.batch else f"by way of {i.batch}",
        )
        for i in found.inputs
    ]  # fmt: skip
    if rows:
        show(console, ("material", "lot", "supplier", "supplier's lot", "used", ""), rows)
    _show_corrections(found.corrections, console)


def _show_made(found: ForwardTrace, console: Console) -> None:
    for lot in found.made:
        say(console, f"followed through your own lot {lot.lot} ({lot.name}), made in {lot.made_in}")


def _show_corrections(corrections: Iterable[TracedCorrection], console: Console) -> None:
    for x in corrections:
        say(
            console,
            f"corrected in {x.batch}, event {x.of_n}: {x.field} was {x.old}, is {x.new} ({x.reason}; {x.by})",
        )
