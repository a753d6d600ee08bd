"""A formula as a sheet for the wall or the folder: XLSX and CSV, the same bytes for the same recipe."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import xlsxwriter

from benchapp.foundation.language import tr
from benchapp.recipes.draft import Draft
from benchapp.recipes.formula_sum import FormulaRow, rows_of, sum_of

HEADINGS = ("Phase", "Ingredient", "Percent", "Grams")
#: A workbook says when it was made; this day, so that the same recipe is the same file.
_CREATED = datetime(2000, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class PrintedFormula:
    """What stands on the sheet: a formula for a batch of so many grams; ``version`` says which it is, ``day`` when."""

    draft: Draft
    batch_g: float
    version: str
    day: str

    def rows(self) -> Iterator[tuple[FormulaRow, float | None]]:
        """Each line with its grams, in the order of the phases."""
        rows = rows_of(self.draft)
        for phase in dict.fromkeys(row.phase for row in rows):
            for row in (x for x in rows if x.phase == phase):
                yield row, None if row.percent is None else round(row.percent / 100 * self.batch_g, 2)

    @property
    def head(self) -> str:
        """What the sheet says it is."""
        return tr(
            "{version}, printed {day}, for {batch_g:g} g",
            version=self.version,
            day=self.day,
            batch_g=self.batch_g,
        )


def as_csv(printed: PrintedFormula) -> bytes:
    """Commas between, points in numbers, UTF-8 with its mark, so that a spreadsheet program takes it for what it is."""
    out = io.StringIO(newline="")
    write = csv.writer(out, lineterminator="\r\n").writerow
    write([printed.draft.name])
    write([printed.head])
    write([])
    write(HEADINGS)
    for row, grams in printed.rows():
        write(
            [
                row.phase,
                row.name,
                row.share if row.percent is None else f"{row.percent:.6g}",
                "" if grams is None else grams,
            ]
        )
    write(["", "Total", f"{_total(printed):.6g}", f"{printed.batch_g * _total(printed) / 100:g}"])
    return out.getvalue().encode("utf-8-sig")


def _total(printed: PrintedFormula) -> float:
    total = sum_of(printed.draft)
    return total.planned + (total.rest or 0.0)


def as_xlsx(printed: PrintedFormula) -> bytes:
    """On one page, upright, with the phases as headings and a line to tick for each weighing."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    book.set_properties({"title": printed.draft.name, "created": _CREATED})
    sheet = book.add_worksheet("Formula")
    looks: dict[str, Any] = {
        "title": book.add_format({"bold": True, "font_size": 16}),
        "head": book.add_format({"bold": True, "bottom": 1}),
        "phase": book.add_format({"bold": True, "bg_color": "#EEEEEE"}),
        "text": book.add_format({"text_wrap": True, "valign": "top"}),
        "percent": book.add_format({"num_format": '0.00##" %"'}),
        "grams": book.add_format({"num_format": "0.00"}),
        "total": book.add_format({"bold": True, "top": 1, "num_format": "0.00"}),
        "tick": book.add_format({"border": 1}),
    }
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.set_column(0, 0, 44)
    sheet.set_column(1, 2, 14)
    sheet.set_column(3, 3, 8)
    sheet.write_string(0, 0, printed.draft.name, looks["title"])
    sheet.write_string(1, 0, printed.head)
    for column, heading in enumerate(("Ingredient", "Percent", "Grams", "Weighed")):
        sheet.write_string(3, column, heading, looks["head"])
    _write_lines(sheet, printed, looks)
    book.close()
    return out.getvalue()


def _write_lines(sheet: Any, printed: PrintedFormula, looks: dict[str, Any]) -> None:
    at, phase = 4, None
    for row, grams in printed.rows():
        if row.phase != phase:
            phase = row.phase
            for column in range(4):
                sheet.write_string(
                    at, column, tr("Phase {phase}", phase=phase) if column == 0 else "", looks["phase"]
                )
            at += 1
        sheet.write_string(at, 0, row.name, looks["text"])
        if row.percent is None or grams is None:
            sheet.write_string(at, 1, row.share, looks["text"])
        else:
            sheet.write_number(at, 1, row.percent, looks["percent"])
            sheet.write_number(at, 2, grams, looks["grams"])
        sheet.write_blank(at, 3, None, looks["tick"])
        at += 1
    sheet.write_string(at, 0, "Total", looks["total"])
    sheet.write_number(at, 1, _total(printed), looks["total"])
    sheet.write_number(at, 2, printed.batch_g * _total(printed) / 100, looks["total"])
