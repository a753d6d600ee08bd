"""record and compare: one batch on screen, in a file or on paper; two batches side by side."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from rich.console import Console

from benchapp.commands.opening import answers, matter_in
from benchapp.commands.options import Parser, batch_named, runs
from benchapp.commands.output import put, say_all
from benchapp.foundation.language import tr, writing
from benchapp.service.errors import DONE, CommandError

if TYPE_CHECKING:
    from benchapp.record.batch_record import Record

FORMS = ("text", "json", "csv", "pdf")
PAPERS = ("a4", "letter")


def record(one: Parser) -> None:
    """benchapp record"""
    batch_named(one)
    one.add_argument("--as", dest="form", choices=FORMS, default="text")
    one.add_argument("--out", metavar="FILE", help=tr("write it there; nothing is overwritten"))
    one.add_argument("--paper", choices=PAPERS, default="a4", help=tr("of the pdf"))
    runs(one, run_record)


def compare(one: Parser) -> None:
    """benchapp compare"""
    one.add_argument("first")
    one.add_argument("second")
    runs(one, answers(lambda desk, given: desk.comparison(given.first, given.second)))


def run_record(args: argparse.Namespace, console: Console) -> int:
    """One batch's record, in the language of what is written; what stands in the way of it in the reader's own."""
    from benchapp.service.batches import Batches

    if args.form == "text" and args.out:
        raise CommandError(tr("Text goes to the screen; give --as pdf, csv or json with --out."))
    with matter_in(args, Batches) as batches:
        batch = batches.journal.named(args.batch).batch
        with writing():
            found, head = batches.record(batch), batches.journal.own.head()
            if args.form == "text":
                from benchapp.record.documents.as_text import as_text

                say_all(console, as_text(found))
                return DONE
    with writing():
        data = _document(args, found, head)
    put(data, args.out, console)
    return DONE


def _document(args: argparse.Namespace, found: Record, head: str) -> bytes:
    if args.form == "json":
        from benchapp.record.documents.as_json import as_json

        return as_json(found, head).encode()
    if args.form == "csv":
        from benchapp.record.documents.as_csv import as_csv

        return as_csv(found).encode()
    from benchapp.record.documents.as_pdf import as_pdf

    return as_pdf(found, head, args.paper)
