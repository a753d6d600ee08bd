"""A list of materials out of a spreadsheet: each row a material, its columns known by their headings."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from benchapp.foundation.language import tr
from benchapp.recipes.errors import SheetUnreadable
from benchapp.recipes.sheets.columns import plain_words
from benchapp.recipes.sheets.sheet_cells import Cell, SheetCells

#: Words of headings, without accents, by the field of a material that they head; all words of one of them have to be
#: there. Those further up win.
_HEADINGS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("inci", ("inci",)),
    ("supplier", ("supplier", "lieferant", "fournisseur")),
    ("price", ("price", "preis", "prix", "cost", "kosten")),
    ("density", ("density", "dichte", "densite")),
    ("melting_heat", ("melting heat", "heat fusion", "schmelzwarme", "chaleur fusion")),
    ("melts", ("melts", "melting", "schmelzpunkt", "schmilzt", "fusion")),
    ("below", ("below", "heat sensitive", "max temperature", "hochstens grad", "sous")),
    ("use_least", ("least", "min", "mindestens", "minimum")),
    ("use_limit", ("limit", "max", "hochstens", "maximum")),
    ("ph_window", ("ph",)),
    ("statements", ("statements", "hazards", "h satze", "phrases")),
    ("signal_word", ("signal",)),
    ("sheet_revised", ("revised", "data sheet", "datenblatt", "fiche")),
    ("role", ("role", "function", "funktion", "fonction", "zweck")),
    ("name", ("name", "material", "ingredient", "rohstoff", "zutat", "bezeichnung", "nom", "matiere")),
)  # fmt: skip
#: The unit of a column of bare numbers.
_UNITS = {
    "density": "g/ml",
    "melting_heat": "J/g",
    "melts": "degC",
    "below": "degC",
    "use_least": "%",
    "use_limit": "%",
}
_TOP_ROWS = 40


@dataclass(frozen=True, slots=True)
class MaterialRow:
    """One row (counted from 1): a material's name, and its other fields as a person would type them."""

    row: int
    name: str
    fields: Mapping[str, str]


def material_rows(sheet: SheetCells) -> tuple[MaterialRow, ...]:
    """Every row below the headings that has a name. Raises SheetUnreadable where no heading names one beside something
    else."""
    for row, cells in enumerate(sheet.rows[:_TOP_ROWS]):
        columns = dict(_columns(cells))
        if "name" in columns and len(columns) > 1:
            return tuple(_rows(sheet, row, columns))
    raise SheetUnreadable(
        tr(
            'In the sheet "{name}" no headings of a list of materials are found. Give the '
            "columns headings, such as Material, Role, INCI and Supplier.",
            name=sheet.name,
        )
    )


def _columns(cells: tuple[Cell, ...]) -> Iterator[tuple[str, int]]:
    seen: set[str] = set()
    for column, cell in enumerate(cells):
        words = set(plain_words(cell)) if isinstance(cell, str) and len(cell) <= 60 else set()
        known = (f for f, heads in _HEADINGS if any(set(h.split()) <= words for h in heads))
        field = next((f for f in known if f not in seen), None)
        if field is not None:
            seen.add(field)
            yield field, column


def _rows(sheet: SheetCells, head: int, columns: Mapping[str, int]) -> Iterator[MaterialRow]:
    for row in range(head + 1, len(sheet.rows)):
        name = _text(sheet.at(row, columns["name"]))
        if name:
            given = {f: _value(f, sheet.at(row, c)) for f, c in columns.items() if f != "name"}
            yield MaterialRow(row + 1, name, {f: text for f, text in given.items() if text})


def _text(cell: Cell) -> str:
    if isinstance(cell, float | int) and not isinstance(cell, bool):
        return f"{cell:g}"
    return " ".join(str(cell).split()) if isinstance(cell, str) else ""


def _value(field: str, cell: Cell) -> str:
    """A cell as it is typed for a field: a decimal comma as a point, a bare number with its column's unit."""
    text = _text(cell)
    if field in _UNITS or field == "price":
        text = re.sub(r"(?<=\d),(?=\d)", ".", text)
    if field in _UNITS and re.fullmatch(r"\d+(\.\d+)?", text):
        return f"{text} {_UNITS[field]}"
    if field in _UNITS:
        return re.sub(r"\s*°\s*C$", " degC", text)
    return text.casefold() if field == "role" else text
