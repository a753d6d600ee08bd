"""The batch record in plain lines, for a terminal: first what a person judges the batch by, then each value in a line.

A whole ordinary make fits on two screens; temperatures are a small curve. The other forms hold every reading.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from benchapp.foundation.language import tr, translated
from benchapp.record.batch_record import Record
from benchapp.record.correction_words import in_words
from benchapp.record.curves import Curve
from benchapp.record.documents.plain_text import clock, elapsed, number
from benchapp.record.lines import RecordLine, by_number
from benchapp.record.summary import summary
from benchapp.record.wait_lines import ORDINARY

#: How many signs wide a temperature curve is, and what it is drawn with, from low to high.
CURVE_WIDE, SIGNS = 32, "▁▂▃▄▅▆▇█"


def as_text(r: Record) -> list[str]:
    """The lines, the same for the same events."""
    found = [f"{r.product}, {number(r.batch_g)} g"]
    found += [f"{'!' if x.alarm else ' '} {translated(x.what):<22} {translated(x.text)}" for x in summary(r)]
    for title, lines in (
        (tr("Weighings: net, allowed, percent of the product, by what"), _weighings(r)), (tr("Moved, lost and taken out"), map(_valued, _moves(r))), ("Temperatures", _curves(r)),
        (tr("pH, density, judged"), _tests(r)), (tr("Fill weights"), _fills(r)), ("Interruptions", _waits(r)),
        (tr("Taken back; does not count"), (x.what for x in r.taken_back)),
    ):  # fmt: skip
        body = list(lines)
        if body:
            found += [f"{translated(title)}:", *(f"  {line}" for line in body)]
    return [*found, tr("head {head}", head=r.head)]


def _weighings(r: Record) -> Iterator[str]:
    reached, wide = r.reached_percent, 30 if r.kettles else 19
    said: set[str] = set()
    for x in r.weighings:
        band = f"{number(x.low)}–{number(x.high)}"
        # The whole line's: where more of it was weighed later, it stands once, and the column adds up.
        share = "" if x.line in said else f"{number(reached.get(x.line, 0.0), 2)} %"
        said.add(x.line)
        by = (
            (x.device if x.checked else tr("{device} unchecked", device=x.device))
            if x.device
            else translated(x.source)
        )
        lot = _lot(x)
        mark = "!" if x.outside else " "
        note = f", {x.note}" if x.note else ""
        yield f"{clock(x.wall)[:5]} {translated(x.what):<{wide}}{mark}{number(x.now):>7} g {band:>13} {share:>8}  {by}, {lot}{note}"
        yield from _fixes(x)
    yield from r.portion_sums


def _lot(x: RecordLine) -> str:
    if not x.lot_now:
        return tr("lot unknown")
    return (
        tr("lot {lot_now} ({how})", lot_now=x.lot_now, how=x.how)
        if x.how
        else tr("lot {lot_now}", lot_now=x.lot_now)
    )


def _fixes(x: RecordLine) -> Iterator[str]:
    return (f"      ^ {in_words(c)}" for c in x.corrections)


def _moves(r: Record) -> Iterable[RecordLine]:
    return (x for x in r.moves if x.key != "empty")


def _valued(x: RecordLine) -> str:
    value = f"{number(x.now)} {x.unit}".strip()
    return f"{clock(x.wall)} {translated(x.what)}: {value}, {translated(x.source)}{_written(x)}"


def _written(x: RecordLine) -> str:
    return tr(" (corrected; written was {number})", number=number(x.value)) if x.now != x.value else ""


def _curves(r: Record) -> Iterator[str]:
    for curve in r.curves:
        low, high = min(t for _, t in curve.points), max(t for _, t in curve.points)
        begun, ended = elapsed(curve.points[0][0]), elapsed(curve.points[-1][0])
        yield tr(
            "{vessel:<12.12} {number}–{number_2} °C {drawn} {begun} to {ended}",
            vessel=curve.vessel,
            number=number(low, 1),
            number_2=number(high, 1),
            drawn=_drawn(curve, low, high),
            begun=begun,
            ended=ended,
        )


def _drawn(curve: Curve, low: float, high: float) -> str:
    """The curve in a row of blocks, over the make's own time; a gap where nothing was measured."""
    first, last = curve.points[0][0], curve.points[-1][0]
    cells: list[list[float]] = [[] for _ in range(CURVE_WIDE)]
    for at_s, temp in curve.points:
        share = (at_s - first) / (last - first) if last > first else 0.0
        cells[min(int(share * CURVE_WIDE), CURVE_WIDE - 1)].append(temp)
    reach = (high - low) or 1.0
    return "".join(SIGNS[round((max(c) - low) / reach * (len(SIGNS) - 1))] if c else " " for c in cells)


def _tests(r: Record) -> Iterator[str]:
    for x in by_number(r.readings):
        yield _valued(x) + (tr(" — outside its limits") if x.outside else "")
    for x in r.looks:
        yield f"{clock(x.wall)} {translated(x.what)}"


def _fills(r: Record) -> Iterator[str]:
    """Each container's net, many to a line."""
    each = [
        f"{x.what.rpartition(' ')[2]}: {number(x.now)}{'!' if x.outside else ''}{_written(x)}"
        for x in r.containers
    ]
    for n in range(0, len(each), 8):
        yield "  ".join(each[n : n + 8])


def _waits(r: Record) -> Iterator[str]:
    for x in r.waits:
        if x.key != ORDINARY:  # it stands in the other forms alone
            yield f"{clock(x.wall)} {x.what}{f' {number(x.now)} {x.unit}' if x.now is not None else ''}{_written(x)}"
