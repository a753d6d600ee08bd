"""approve-label and label: the label of a procedure, a batch held against it, and labels printed for containers."""

from __future__ import annotations

import argparse
import json
import re
from dataclasses import asdict
from datetime import datetime
from pathlib import Path

from rich.console import Console

from benchapp import events as ev
from benchapp.commands.desk import Parsers, command, say, signed_if_enrolled, workshop
from benchapp.commands.documents import put
from benchapp.make.law import LOST_PERCENT
from benchapp.record.batch_record import Record
from benchapp.record.errors import RecordError
from benchapp.record.label import FORM, Label, differences, label_from, label_of
from benchapp.record.workshop import Workshop
from benchapp.service.errors import DONE, REFUSED, CommandError
from benchapp.service.labelling import approved_label, label_reasons
from benchapp.service.procedure_facts import procedure_facts, record_in
from procedures.reading import read_procedure
from procedures.shelf import find


def add_label_commands(parsers: Parsers) -> None:  # type: ignore[type-arg]
    """The commands of this family."""
    one = command(parsers, "approve-label", "draft a procedure's label, or approve one", run_approve)
    one.add_argument("procedure")
    one.add_argument("--draft", metavar="FILE", help="write a draft there, to be filled in")
    one.add_argument("--text", metavar="FILE", help="the filled-in draft to approve")
    one.add_argument("--by", default="", metavar="NAME", help="who approves; the PIN is asked for")

    one = command(parsers, "label", "hold a batch against its approved label, or print labels", run_label)
    one.add_argument("batch", help="its name, or the code on its containers")
    one.add_argument("--out", metavar="FILE", help="print labels into this PDF; without it, only compare")
    one.add_argument("--containers", metavar="N-M", help="which; all that were filled if not given")
    one.add_argument("--size", type=size_mm, default=(60.0, 90.0), metavar="MM×MM", help="60x90 if not given")
    one.add_argument("--by", default="", metavar="NAME", help="who prints; needed with --out")


def size_mm(text: str) -> tuple[float, float]:
    """Width and height in millimetres, such as 60x90."""
    match = re.fullmatch(r"(\d{2,3}(?:\.\d)?)\s*[x×]\s*(\d{2,3}(?:\.\d)?)(?:\s*mm)?", text.strip())
    if match is None:
        raise argparse.ArgumentTypeError(f"{text!r} is no size; write width x height in mm, such as 60x90")
    return float(match[1]), float(match[2])


def run_approve(args: argparse.Namespace, console: Console) -> int:
    """A draft without --text; an approval with it."""
    facts = procedure_facts(read_procedure(find(args.procedure)).procedure)
    draft, doubts = label_of(facts)
    if args.text is None:
        text = json.dumps({"form": FORM, **asdict(draft)}, indent=2, ensure_ascii=False) + "\n"
        put(text.encode(), args.draft, console)
        if args.draft:
            for doubt in doubts:
                say(console, f"Before you approve it: {doubt}")
        return DONE
    label = _read(args.text)
    grams = {key: x.percent for key, x in facts.lines.items() if x.percent}
    against = differences(label, facts, grams, LOST_PERCENT)
    if against:
        raise CommandError("\n".join(("This label does not say what the procedure makes:", *against)))
    with workshop(args) as shop:
        by = signed_if_enrolled(shop, args.by, "releaser")
        shop.add(ev.LabelApproved(at_s=0.0, procedure=facts.key, text=label.to_text(), by=by))
    say(console, f"The label of {facts.key} is approved by {by}. Check your own market's current law.")
    return DONE


def _read(file: str) -> Label:
    try:
        return label_from(Path(file).read_text("utf-8-sig"))
    except (OSError, UnicodeDecodeError) as error:
        raise CommandError(f"{file} cannot be read as a label ({error}). Check its name.") from error
    except ValueError as error:
        raise CommandError(f"{file}: {error}") from error


def run_label(args: argparse.Namespace, console: Console) -> int:
    """The comparison; and, with --out, one label for each container."""
    with workshop(args) as shop:
        batch = shop.journal.named(args.batch).batch
        record = record_in(shop.journal, batch)
        found = approved_label(shop, record.procedure)
        if found is None:
            raise CommandError(f"No label is approved for {record.procedure}. Begin with: benchapp approve-label {record.procedure}.")  # fmt: skip
        reasons = label_reasons(shop, batch)
        for reason in reasons:
            say(console, f"out of specification: {reason}")
        if reasons or not args.out:
            if not reasons:
                say(console, f"Batch {batch} is what its approved label says.")
            return REFUSED if reasons else DONE
        return _print(args, console, shop, record, *found)


def _print(
    args: argparse.Namespace, console: Console, shop: Workshop, record: Record, label: Label, approved: str
) -> int:  # fmt: skip
    from benchapp.record.documents.label_pdf import LabelledBatch, labels_pdf

    if record.rehearsal:
        raise CommandError("A rehearsal makes no product: there is nothing to label.")
    if record.outcome != "finished":
        raise CommandError(
            f"Batch {record.batch} is {record.outcome}; labels are printed once it is finished."
        )
    numbers = _numbers(args.containers, len(record.containers))
    by = signed_if_enrolled(shop, args.by)
    made = datetime.fromisoformat(record.ended).date()
    put(labels_pdf(label, LabelledBatch(record.code, made), numbers, args.size), args.out, console)
    try:
        shop.add_to(record.batch, ev.LabelsPrinted(at_s=0.0, pieces=len(numbers), approved=approved, by=by))
    except RecordError:
        Path(args.out).expanduser().unlink()  # labels nobody can account for are worse than none
        raise
    say(console, f"{len(numbers)} labels for {record.batch}. Spoiled ones are kept with the record.")
    return DONE


def _numbers(text: str | None, filled: int) -> range:
    if text is None:
        return range(1, filled + 1)
    match = re.fullmatch(r"(\d{1,6})(?:\s*[-–]\s*(\d{1,6}))?", text.strip())
    if match is None:
        raise CommandError(f"{text!r} names no containers; write 7 or 1-24.")
    first, last = int(match[1]), int(match[2] or match[1])
    if not 1 <= first <= last <= filled:
        raise CommandError(f"Containers 1 to {filled} were filled; {text} is not among them.")
    return range(first, last + 1)
