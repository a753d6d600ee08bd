"""The batch record as CSV: one long table, a line for everything that was written down.

One file rather than one per kind: a maker filters it by the column "section", and nothing gets lost on the way. It
begins with a byte order mark, because the usual spreadsheets take a file without one for the machine's old code page
and spoil every ° and é. RFC 4180 quoting and line ends; numbers are bare and have a point.

A spreadsheet runs a cell that begins like a formula. No text cell here does: it gets an apostrophe in front.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import astuple, dataclass, fields
from typing import Any

from benchapp.foundation.language import tr
from benchapp.record.aftercare import complaint_name, complaint_weight
from benchapp.record.batch_record import Record
from benchapp.record.correction_words import in_words, word_of
from benchapp.record.deviations import how_it_stands
from benchapp.record.documents.plain_text import visible
from benchapp.record.lines import RecordLine, by_number
from benchapp.record.summary_afterwards import REHEARSAL

BOM = "\ufeff"
#: What a spreadsheet takes for the beginning of a formula, full-width forms included; tab and line ends lead it on.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")

Cell = str | float | int | None


@dataclass(frozen=True, slots=True)
class Row:
    """One row; its fields are the columns in their order."""

    section: str
    event: int | None
    time: str
    elapsed_s: float | None
    step: str
    what: str
    value: float | None = None
    stands_at: float | None = None  # the value after corrections
    unit: str = ""
    planned: float | None = None
    low: float | None = None
    high: float | None = None
    source: str = ""
    device: str = ""
    lot: str = ""
    note: str = ""


COLUMNS = tuple(column.name for column in fields(Row))


def cell(value: Cell) -> str:
    """One cell: a number as it is, a text that no spreadsheet will execute, and nothing for None.

    Only a text that really is text gets the apostrophe, also where blanks stand before the sign.
    """
    if value is None:
        return ""
    if isinstance(value, int | float):
        return repr(value)
    text = visible(value, keep="\n")
    return f"'{text}" if text.lstrip().startswith(FORMULA) or text.startswith(FORMULA) else text


def as_csv(record: Record) -> str:
    """The whole record, byte order mark first."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for row in _rows(record):
        writer.writerow([cell(x) for x in astuple(row)])
    return BOM + out.getvalue()


def _rows(r: Record) -> Iterator[Row]:
    yield from _head(r)
    for section, lines in (
        ("weighing", r.weighings), ("moved", r.moves), ("reading", by_number(r.readings, r.temperatures)), ("judged", r.looks),
        ("container", r.containers), ("confirmed", r.confirmations), ("wait", r.waits),
        (tr("taken back"), r.taken_back),
    ):  # fmt: skip
        yield from _lines(section, lines, r)
    for kettle in r.kettles:
        what = tr("kettle {kettle}: {names}", kettle=kettle.kettle, names=", ".join(kettle.vessels))
        grams = kettle.went_in_g
        yield Row(
            "kettle", None, r.ended, None, "", what, grams, grams, "g", source="computed", note=kettle.words
        )
    yield from _remarks(r)
    yield from _afterwards(r)


def _event(section: str, k: Mapping[str, Any], what: str, value: float | None = None, **more: Any) -> Row:
    """One event of the record as a row."""
    step = more.pop("step", "")
    return Row(section, k["n"], k["wall"], k["at_s"], step, what, value, **more)


def _remarks(r: Record) -> Iterator[Row]:
    """Deviations, cautions, lots refused, remedies, signatures, corrections."""
    for d in r.deviations:
        note = how_it_stands(d["grade"], d["closed_by"], d["closed_why"])
        yield _event("deviation", d, d["text"], step=d["step_title"], unit=d["grade"], note=note)
    for c in r.cautions:
        yield Row("caution", None, c["shown"], None, c["step_title"], c["text"], note=c["acknowledged"])
    for x in r.lots_refused:
        yield _event("refused", x, f"{x['lot']}, {x['why']}", step=x["step"], lot=x["lot"])
    for m in r.remedies:
        yield _event("remedy", m, f"{m['name']}: {m['remedy']}", step=m["step"], note=m["reason"])
    for s in r.signatures:
        yield _event("signature", s, s["who"], step=s["step"], note=s["meaning"])
    for c in r.corrections:
        what = tr("event {of_n}, {field}: {old} → {new}", of_n=c["of_n"], field=word_of(c["field"]), old=c["old"], new=c["new"])  # fmt: skip
        yield _event("correction", c, what, note=f"{c['reason']} ({c['by']})")


def _afterwards(r: Record) -> Iterator[Row]:
    """Checks, decisions, what was kept back, labelled and packed, where it went, complaints."""
    for k in r.checks:
        note = f"{k['words']} ({'passed' if k['passed'] else 'failed'}, {k['by']})"
        yield _event(tr("release check"), k, k["check"], k["value"], source="stated", note=note)
    for k in r.decisions:
        what = tr("{decision} by {by}", decision=k["decision"], by=k["by"])
        yield _event("decision", k, what, note=k["reason"])
    for k in r.retained:
        what = tr("{pieces} kept back: {where}, until {until}", pieces=k["pieces"], where=k["where"], until=k["until"])  # fmt: skip
        yield _event("retained", k, what, k["pieces"], unit="pieces", note=k["by"])
    for k in r.labels:
        what = tr("{pieces} labels printed", pieces=k["pieces"])
        yield _event("labels", k, what, k["pieces"], unit="pieces", note=k["by"])
    for k in r.pieces:
        what = tr("{material}, lot {lot}: {pieces} ({spoiled} spoiled)", material=k["material"], lot=k["lot"], pieces=k["pieces"], spoiled=k["spoiled"])  # fmt: skip
        yield _event("packaging", k, what, k["pieces"], unit="pieces", lot=k["lot"], note=k["by"])
    for k in r.dispatches:
        what = tr("containers {first} to {last} to {to}", first=k["first"], last=k["last"], to=k["to"])
        yield _event("dispatch", k, what, k["last"] - k["first"] + 1, unit="pieces", note=k["note"])
    for k in r.complaints:
        what = f"{complaint_weight(k)} {complaint_name(k)}: {k['words']}"
        note = f"{k['on']}, {k['sender']} ({k['by']})"
        yield _event("complaint", k, what, source="stated", note=note)
    for k in r.complaint_answers:
        what = tr("answer to complaint {number}: {found}", number=complaint_name(k), found=k["found"])
        yield _event("complaint", k, what, source="stated", note=f"{k['done']} ({k['by']})")


def _head(r: Record) -> Iterator[Row]:
    kind = tr(REHEARSAL) if r.rehearsal else ""
    yield Row("batch", None, r.begun, 0.0, "", r.batch, note=kind)
    yield Row("product", None, r.begun, 0.0, "", r.product, r.batch_g, r.batch_g, "g", source="stated", note=r.procedure_sha256)  # fmt: skip
    yield Row("outcome", None, r.ended, None, "", r.outcome, r.product_g, r.product_g, "g", source="computed", note=r.maker)  # fmt: skip
    yield Row("yield", None, r.ended, None, "", "yield", r.yield_percent, r.yield_percent, "%", source="computed", note=r.head)  # fmt: skip


def _lines(section: str, lines: Iterable[RecordLine], r: Record) -> Iterator[Row]:
    for x in lines:
        yield Row(
            section, x.n, x.wall, x.at_s, r.step_titles.get(x.step, x.step), x.what, x.value, x.now, x.unit, x.target,
            x.low, x.high, x.source, x.device, x.lot_now, "; ".join(t for t in (x.note, *map(in_words, x.corrections)) if t),
        )  # fmt: skip
