"""What stands in the cells of the printed record: a time, a value with its limits, where it comes from, corrections."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from reportlab.platypus import Paragraph

from benchapp.foundation.language import capitalised, tr
from benchapp.foundation.numbers import decimals_of_step
from benchapp.record.batch_record import Record
from benchapp.record.correction_words import in_words
from benchapp.record.documents.page import Note, cell
from benchapp.record.documents.plain_text import clock, elapsed, number, padded
from benchapp.record.lines import Correction, RecordLine


def when(wall: str, at_s: float) -> Paragraph:
    """Time of day, and beneath it the time since the make began."""
    return cell(clock(wall), small=elapsed(at_s))


def where_from(x: RecordLine) -> Paragraph:
    """The source, in words and in type; the device and whether it was checked."""
    if x.source == "measured" and x.device:
        return cell(x.device, small=tr("measured, checked") if x.checked else tr("measured, unchecked"))
    return cell(x.source, said=x.source == "stated")


def amendments(found: Sequence[Correction]) -> str:
    """Corrections in words."""
    return " ".join(capitalised(in_words(c)) for c in found)


def value(x: RecordLine, digits: int | None = None) -> Paragraph:
    """The value as it stands, flagged where it lies outside its limits; rows_of_lines says what was written."""
    text = f"{padded(x.now, digits)} {x.unit}".strip()
    return cell(text, True, tr("outside its limits") if x.outside else "", x.outside, x.source == "stated")


def rows_of_lines(
    lines: Iterable[RecordLine], row: Callable[[RecordLine], Sequence[Any]]
) -> list[Sequence[Any] | Note]:
    """A row for each line, and beneath it a sentence across the table for what was corrected in it."""
    found: list[Sequence[Any] | Note] = []
    for x in lines:
        found += [row(x), Note(amendments(x.corrections))] if x.corrections else [row(x)]
    return found


def digits_of(r: Record, x: RecordLine) -> int | None:
    """Digits behind the point of the scale's display; None where no scale stands behind the value."""
    steps = {d["name"]: d["readability_g"] for d in r.devices}
    step = steps.get(x.device)
    return decimals_of_step(step) if step else None


def band(x: RecordLine) -> str:
    """The limits in words."""
    if x.low is None and x.high is None:
        return ""
    if x.high is None:
        return tr("from {number}", number=number(x.low))
    return (
        tr("to {number}", number=number(x.high))
        if x.low is None
        else tr("{number} to {number_2}", number=number(x.low), number_2=number(x.high))
    )


def by_step(r: Record, x: RecordLine) -> str:
    """The step a line belongs to."""
    return r.step_titles.get(x.step, x.step)
