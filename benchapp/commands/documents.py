"""record and compare: one batch on screen, in a file or on paper; two batches side by side."""

from __future__ import annotations

import argparse

from rich.console import Console

from benchapp.commands.opening import answers, desk_in
from benchapp.commands.options import Parser, runs
from benchapp.commands.output import put, say, show
from benchapp.record.batch_record import Record
from benchapp.record.lines import RecordLine
from benchapp.service.errors import DONE, CommandError

FORMS = ("text", "json", "csv", "pdf")
PAPERS = ("a4", "letter")


def record(one: Parser) -> None:
    """benchapp record"""
    one.add_argument("batch", help="its name, or the code on its containers")
    one.add_argument("--as", dest="form", choices=FORMS, default="text")
    one.add_argument("--out", metavar="FILE", help="write it there; nothing is overwritten")
    one.add_argument("--paper", choices=PAPERS, default="a4", help="of the pdf")
    runs(one, run_record)


def compare(one: Parser) -> None:
    """benchapp compare"""
    one.add_argument("first")
    one.add_argument("second")
    runs(one, answers(lambda desk, given: desk.comparison(given.first, given.second)))


def run_record(args: argparse.Namespace, console: Console) -> int:
    """One batch's record."""
    with desk_in(args) as desk:
        found, head = desk.record(args.batch), desk.journal.head()
    if args.form == "text" and not args.out:
        _record(found, console)
        return DONE
    if args.form == "json":
        from benchapp.record.documents.as_json import as_json

        data = as_json(found, head).encode()
    elif args.form == "csv":
        from benchapp.record.documents.as_csv import as_csv

        data = as_csv(found).encode()
    elif args.form == "pdf":
        from benchapp.record.documents.as_pdf import as_pdf

        data = as_pdf(found, head, args.paper)
    else:
        raise CommandError("Text goes to the screen; give --as pdf, csv or json with --out.")
    put(data, args.out, console)
    return DONE


def _record(r: Record, console: Console) -> None:
    if r.rehearsal:
        say(console, "REHEARSAL — not a batch record")
    kind = " (rehearsal)" if r.rehearsal else ""
    say(console, f"Batch {r.batch}{kind}: {r.batch_g:g} g of {r.product}, {r.outcome}, {r.decision}")
    say(console, f"code on its containers {r.code}; made by {r.maker}, {r.begun} to {r.ended}")
    say(console, f"procedure {r.procedure}, sha256 {r.procedure_sha256}")
    if r.product_g is not None:
        say(console, f"product {r.product_g:.1f} g, yield {r.yield_percent:.1f} %")
    for device in r.devices:
        checked = f"checked {device['checked']}" if device["checked"] else "not checked before this make"
        say(console, f"{device['kind']} {device['name']}: {checked}")
    for title, lines in (
        ("Weighings", r.weighings), ("Transfers, losses, samples, waste", r.moves),
        ("Temperatures, pH, density", r.readings), ("Judged", r.looks), ("Containers", r.containers),
        ("Holds, waits and interruptions", r.waits), ("Taken back; does not count", r.taken_back),
    ):  # fmt: skip
        if lines:
            show(console, ("when", "what", "lot", "value", "band", "where from"), [_row(x) for x in lines], title)  # fmt: skip
    if r.deviations:
        rows = [
            (str(d["number"]), d["grade"], d["kind"], d["text"], d["closed_why"] if d["closed"] else "open")
            for d in r.deviations
        ]
        show(console, ("no", "grade", "kind", "what", "accepted"), rows, "Deviations")
    if r.mass is not None:
        m = r.mass
        say(
            console,
            f"went in {m.went_in_g:g} g: product {m.product_g:g}, samples {m.samples_g:g}, water lost {m.water_lost_g:g}, "
            f"left in vessels {m.left_in_vessels_g:g}, not found again {m.unaccounted_g:g} g (computed)",
        )  # fmt: skip
    for c in r.corrections:
        say(console, f"corrected: event {c['of_n']}, {c['field']} {c['old']} to {c['new']}: {c['reason']} ({c['by']})")  # fmt: skip
    for s in r.signatures:
        say(console, f"signed {s['who']}, {s['meaning']}, {s['wall']}")
    say(console, f"head {r.head}")


def _row(x: RecordLine) -> tuple[str, ...]:
    value = "" if x.value is None else f"{x.value:g} {x.unit}"
    if x.now != x.value:
        value += f" (corrected: {x.now:g} {x.unit})"
    band = "–".join("" if v is None else f"{v:g}" for v in (x.low, x.high))
    return x.wall[11:19], x.what, x.lot, value, "" if band == "–" else band, f"{x.source} {x.device}".strip()
