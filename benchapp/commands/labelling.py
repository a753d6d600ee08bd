"""approve-label and label: the label of a procedure, a batch held against it, and labels printed for containers."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from rich.console import Console

from benchapp.commands.opening import desk_in
from benchapp.commands.options import Parser, batch_named, signs
from benchapp.commands.output import ask_secret, put, say, say_all
from benchapp.commands.procedure_named import procedure_named
from benchapp.foundation.language import tr, writing
from benchapp.record.label import Label, label_from
from benchapp.service.desk import Desk
from benchapp.service.errors import DONE, REFUSED, CommandError
from benchapp.service.labels import draft_of
from benchapp.service.release import container_numbers
from benchapp.service.signing import signed_if_enrolled


def approve_label(one: Parser) -> None:
    """benchapp approve-label"""
    one.add_argument("procedure")
    one.add_argument("--draft", metavar="FILE", help=tr("write a draft there, to be filled in"))
    one.add_argument("--text", metavar="FILE", help=tr("the filled-in draft to approve"))
    signs(one, run_approve, tr("who approves; the PIN is asked for"), required=False)


def label(one: Parser) -> None:
    """benchapp label"""
    batch_named(one)
    one.add_argument("--out", metavar="FILE", help=tr("print labels into this PDF; without it, only compare"))
    one.add_argument("--containers", metavar="N-M", help=tr("which; all that were filled if not given"))
    one.add_argument(
        "--size", type=size_mm, default=(60.0, 90.0), metavar="MM×MM", help=tr("60x90 if not given")
    )
    signs(one, run_label, tr("who prints; needed with --out"), required=False)


def size_mm(text: str) -> tuple[float, float]:
    """Width and height in millimetres, such as 60x90."""
    match = re.fullmatch(r"(\d{2,3}(?:\.\d)?)\s*[x×]\s*(\d{2,3}(?:\.\d)?)(?:\s*mm)?", text.strip())
    if match is None:
        raise argparse.ArgumentTypeError(
            tr("{text!r} is no size; write width x height in mm, such as 60x90", text=text)
        )
    return float(match[1]), float(match[2])


def run_approve(args: argparse.Namespace, console: Console) -> int:
    """A draft without --text; an approval with it."""
    procedure = procedure_named(args, args.procedure)
    if args.text is None:
        text, doubts = draft_of(procedure)
        put(text.encode(), args.draft, console)
        for doubt in doubts if args.draft else ():
            say(console, tr("Before you approve it: {doubt}", doubt=doubt))
        return DONE
    filled_in = _read(args.text)
    with desk_in(args) as desk:
        say(console, desk.approve(procedure, filled_in, args.by, ask_secret))
    return DONE


def _read(file: str) -> Label:
    try:
        return label_from(Path(file).read_text("utf-8-sig"))
    except (OSError, UnicodeDecodeError) as error:
        raise CommandError(
            tr("{file} cannot be read as a label ({error}). Check its name.", file=file, error=error)
        ) from error
    except ValueError as error:
        raise CommandError(f"{file}: {error}") from error


def run_label(args: argparse.Namespace, console: Console) -> int:
    """The comparison; and, with --out, one label for each container."""
    with desk_in(args) as desk:
        batch = desk.journal.named(args.batch).batch
        reasons = desk.against_label(batch)
        for reason in reasons:
            say(console, tr("out of specification: {reason}", reason=reason))
        if not reasons and args.out:
            return _print(args, console, desk, batch)
    if not reasons:
        say(console, tr("Batch {batch} is what its approved label says.", batch=batch))
    return REFUSED if reasons else DONE


def _print(args: argparse.Namespace, console: Console, desk: Desk, batch: str) -> int:
    from benchapp.record.documents.label_pdf import LabelledBatch, labels_pdf

    order = desk.printable(batch, container_numbers(args.containers) if args.containers else None)
    by = signed_if_enrolled(desk.journal, args.by, ask_secret)
    with writing():  # what is printed; all else is said to whoever prints
        data = labels_pdf(order.label, LabelledBatch(order.code, order.made), order.numbers, args.size)
    said: list[str] = []
    # Counted before they are there: labels nobody can account for are worse than some that are looked for.
    put(data, args.out, console, lambda: said.append(desk.printed(order, by)))
    say_all(console, said)
    return DONE
