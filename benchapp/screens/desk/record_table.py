"""A batch's record as a table by phase: what was wanted, what was taken, its place in the band, its lot."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_n, tr_noop, translated
from benchapp.foundation.numbers import decimals_of_step
from benchapp.screens.display.dates import day, day_and_time, product_named
from benchapp.screens.display.figures import aligned
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.page_base import ROOMY_PX
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.table_page import TableColumn, TablePage, TableRow
from benchapp.screens.widgets.text_label import natural_wide

if TYPE_CHECKING:
    from benchapp.record.batch_record import Record
    from benchapp.record.lines import RecordLine

#: What a value is unless something else is said of it.
MEASURED = "measured"
COLUMNS = (
    TableColumn("what", 0.32), TableColumn("wanted", 0.15, True), TableColumn("taken", 0.15, True),
    TableColumn(tr_noop("lot"), 0.22), TableColumn(tr_noop("in its limits"), 0.16),
)  # fmt: skip


def record_page(sizes: Sizes, r: Record, paging: Paging) -> TablePage:
    """One batch's record, a page at a time, in letters that are read from where one stands."""
    made = day(r.begun).replace(" ", "\u00a0")
    title = tr("Record: {name}, {day}", name=product_named(r.procedure), day=made)
    if natural_wide(title, sizes.instruction) > sizes.panel.width - 2 * sizes.pad:
        title = tr("Record: {name}", name=product_named(r.procedure))  # its day stands under it
    roomy = sizes.panel.height >= ROOMY_PX and not sizes.panel.portrait
    least = sizes.between if roomy else 0
    return TablePage(sizes, title, COLUMNS, tuple(_rows(r)), paging, least=least)


def _rows(r: Record) -> Iterator[TableRow]:
    yield from _verdict(r)
    yield from _made(r)
    shown = {str(x["name"]): x["readability_g"] for x in r.devices}
    places = {id(x): _places_of(x, shown.get(x.device)) for x in r.weighings}
    most = max(places.values(), default=0)
    for step, lines in groupby(r.weighings, key=lambda x: x.step):
        yield _head(r.step_titles.get(step) or step.partition("-")[2].capitalize())
        yield from (_weighed(line, places[id(line)], most) for line in lines)
    yield from _listed("Measured", [_read(x) for x in r.readings if x.unit != "°C"])
    yield from _listed(tr("Looked at"), [_said(f"{x.what}, {x.source}") for x in r.looks])
    yield from _listed(
        "Deviations",
        [
            _said(tr("{number}, {grade}: {text}", number=x["number"], grade=x["grade"], text=x["text"]))
            for x in r.deviations
        ],
    )
    signed = [
        tr(
            "{who}: {meaning}, {day_and_time}",
            who=x["who"],
            meaning=x["meaning"],
            day_and_time=day_and_time(str(x["wall"])),
        )
        for x in r.signatures
    ]
    last = tr("hash of the last event {head}…", head=r.head[:16])
    yield from _listed("Signed", [_said(text) for text in (*signed, last)])


def _made(r: Record) -> Iterator[TableRow]:
    """How much was made of it by whom, and when."""
    said = tr("{batch_g:g} g, {outcome}, by {maker}", batch_g=r.batch_g, outcome=r.outcome, maker=r.maker) + (
        tr(" on a simulated bench") if r.rehearsal else ""
    )
    if r.product_g is not None:
        out = tr(
            "product {product_g:.1f} g, yield {yield_percent:.1f} %",
            product_g=r.product_g,
            yield_percent=r.yield_percent,
        )
        said = f"{said}; {out}"
    yield _said(said)
    yield _said(
        tr(
            "{day_and_time} to {day_and_time_2}",
            day_and_time=day_and_time(r.begun),
            day_and_time_2=_end_said(r),
        )
        if r.ended
        else tr("begun {day_and_time}", day_and_time=day_and_time(r.begun))
    )


def _verdict(r: Record) -> Iterator[TableRow]:
    """Whether everything that has limits lies within them, as the record says."""
    held = [x for x in (*r.weighings, *r.readings) if _band(x) is not None]
    out = sum(map(_is_out, held))
    if not held:
        return
    if out:
        text = tr_n(
            "One of {all} values is outside its limits.",
            "{n} of {all} values are outside their limits.",
            n=out,
            all=len(held),
        )
        yield TableRow((text,), plain=True, mark="bad")
    else:
        yield TableRow((tr("All {n} values are within their limits.", n=len(held)),), plain=True, mark="good")


def _end_said(r: Record) -> str:
    """When it ended: the time alone on the day it began."""
    ended = day_and_time(r.ended)
    return ended.rpartition(", ")[2] if r.ended[:10] == r.begun[:10] else ended


def _said(text: str) -> TableRow:
    return TableRow((text,), plain=True)


def _head(text: str) -> TableRow:
    return TableRow((text,), head=True)


def _listed(head: str, rows: list[TableRow]) -> Iterator[TableRow]:
    if rows:
        yield _head(head)
        yield from rows


def _weighed(line: RecordLine, places: int, most: int) -> TableRow:
    """``places``: its decimals; ``most``: as many as any of them has, so that the points stand under each other."""
    wanted = "" if line.target is None else _grams(line.target, places, most)
    lot = line.lot_now or tr("lot unknown")
    how = lot if line.source == MEASURED else f"{translated(line.source)}, {lot}"
    return _row(line, (line.what, wanted, _grams(line.now or 0.0, places, most), how))


def _row(line: RecordLine, cells: tuple[str, ...]) -> TableRow:
    """With its place between its limits, where it has some."""
    band = _band(line)
    out = band is not None and _is_out(line)
    return TableRow(cells, band=band, target=line.target, wrong=out, mark="bad" if out else "")


def _grams(value: float, places: int, most: int) -> str:
    """Right before its unit, with its point under those of the others."""
    return aligned(f"{value:.{places}f}", most, "\u00a0g")


def _band(line: RecordLine) -> tuple[float, float, float] | None:
    """A value between its two limits."""
    return None if line.low is None or line.high is None else (line.low, line.now or 0.0, line.high)


def _is_out(line: RecordLine) -> bool:
    """Whether a value that has limits lies outside them, or is missing."""
    return line.now is None or line.outside


def _read(line: RecordLine) -> TableRow:
    now = line.now or 0.0
    limits, places = "", max(_places(value) for value in (now, line.low, line.high))
    if line.low is not None and line.high is not None:
        limits = tr("{low} to {high}", low=f"{line.low:.{places}f}", high=f"{line.high:.{places}f}")
    unit = "" if line.unit == "pH" else f" {line.unit}"
    return _row(line, (line.what, limits, f"{now:.{places}f}{unit}", line.source))


def _places_of(line: RecordLine, readability_g: object) -> int:
    """As many decimals as its scale shows; of one that nobody noted as many as one of its values was written with."""
    if isinstance(readability_g, float) and readability_g > 0:
        return decimals_of_step(readability_g)
    return max(_places(value) for value in (line.now or 0.0, line.target, line.low, line.high))


def _places(value: float | None) -> int:
    """Digits behind the point as it was written."""
    return 0 if value is None else len(f"{value:g}".partition(".")[2])
