"""record and compare: one batch on screen, in a file or on paper; two batches side by side."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from rich.console import Console

from benchapp.commands.desk import Parsers, command, say, show, workshop
from benchapp.record.batch_record import Record
from benchapp.record.comparison import Pair, compare
from benchapp.record.documents.as_csv import as_csv
from benchapp.record.documents.as_json import as_json
from benchapp.record.documents.plain_text import span
from benchapp.record.lines import RecordLine
from benchapp.record.workshop import Workshop
from benchapp.service.errors import DONE, CommandError
from benchapp.service.procedure_facts import record_in

FORMS = ("text", "json", "csv", "pdf")
PAPERS = ("a4", "letter")


def add_document_commands(parsers: Parsers) -> None:  # type: ignore[type-arg]
    """The commands of this family."""
    one = command(parsers, "record", "one batch's record, on screen, in a file or on paper", run_record)
    one.add_argument("batch", help="its name, or the code on its containers")
    one.add_argument("--as", dest="form", choices=FORMS, default="text")
    one.add_argument("--out", metavar="FILE", help="write it there; nothing is overwritten")
    one.add_argument("--paper", choices=PAPERS, default="a4", help="of the pdf")

    one = command(parsers, "compare", "two batches side by side", run_compare)
    one.add_argument("first")
    one.add_argument("second")


def run_record(args: argparse.Namespace, console: Console) -> int:
    """One batch's record."""
    with workshop(args) as shop:
        record, head = of_batch(shop, args.batch), shop.journal.head()
    if args.form == "text" and not args.out:
        _record(record, console)
        return DONE
    if args.form == "json":
        data = as_json(record, head).encode()
    elif args.form == "csv":
        data = as_csv(record).encode()
    elif args.form == "pdf":
        from benchapp.record.documents.as_pdf import as_pdf

        data = as_pdf(record, head, args.paper)
    else:
        raise CommandError("Text goes to the screen; give --as pdf, csv or json with --out.")
    put(data, args.out, console)
    return DONE


def of_batch(shop: Workshop, name: str) -> Record:
    """The record of a batch, by its name or its code. Raises NoSuchBatch."""
    return record_in(shop.journal, shop.journal.named(name).batch)


def put(data: bytes, out: str | None, console: Console) -> None:
    """Into a new file, or to a reader behind a pipe. Raises CommandError where neither will do."""
    if out is None:
        if data.startswith(b"%PDF") and sys.stdout.isatty():
            raise CommandError("A PDF is no text for a terminal. Name a file: --out record.pdf")
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
        return
    try:
        write_whole(Path(out).expanduser(), data)
    except FileExistsError as error:
        raise CommandError(f"{out} is there already. Name another file, or put that one away.") from error
    except OSError as error:
        raise CommandError(f"{out} cannot be written ({error.strerror}). Choose another place.") from error
    say(console, f"Written: {out}")


def write_whole(path: Path, data: bytes) -> None:
    """A new file, whole or not at all, whatever happens meanwhile. Raises FileExistsError, and any other OSError."""
    if path.exists():
        raise FileExistsError(path)
    unfinished = path.with_name(f"{path.name}.unfinished")
    with unfinished.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    unfinished.rename(path)


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


def run_compare(args: argparse.Namespace, console: Console) -> int:
    """Two batches side by side."""
    with workshop(args) as shop:
        first, second = of_batch(shop, args.first), of_batch(shop, args.second)
    if first.procedure_sha256 != second.procedure_sha256:
        say(console, "They were made by different procedures, or by different versions of one.")
    rows = [(p.group, p.what, _value(p, p.first), _value(p, p.second), _difference(p)) for p in compare(first, second)]  # fmt: skip
    show(console, ("", "", first.batch, second.batch, "difference"), rows)
    return DONE


def _value(pair: Pair, value: float | None) -> str:
    if value is None:
        return "–"
    return span(value) if pair.unit == "s" else f"{round(value, 2):g} {pair.unit}".strip()


def _difference(pair: Pair) -> str:
    found = pair.difference
    if found is None:
        return ""
    sign = "−" if found < 0 else "+"
    text = span(abs(found)) if pair.unit == "s" else f"{round(abs(found), 2):g} {pair.unit}".strip()
    return "same" if round(found, 2) == 0 else sign + text
