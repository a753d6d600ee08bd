"""A formula as it was understood from a sheet: plain data to be shown beside the sheet before it becomes a draft."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from xlsxwriter.utility import xl_col_to_name, xl_rowcol_to_cell

from benchapp.foundation.language import tr, tr_n
from benchapp.foundation.numbers import exact
from benchapp.recipes.errors import SheetUnreadable
from benchapp.recipes.sheets.amounts import Amount, amount_in, groups_in, is_unclear, is_volume
from benchapp.recipes.sheets.columns import AMOUNTS, ColumnsGiven, SheetColumns, columns_of, plain_words
from benchapp.recipes.sheets.sheet_cells import Cell, SheetCells
from benchapp.recipes.sheets.sheet_totals import is_plain_total, is_total

_NO_TITLE = re.compile(r"(?:sheet|tabelle|feuille?|blatt|table)\s*\d*", re.IGNORECASE)
#: What a heading "function" says, as a role of a procedure; what is not here stays unknown.
ROLES = {
    "water": "water", "wasser": "water", "eau": "water", "humectant": "humectant", "feuchthaltemittel": "humectant",
    "humectants": "humectant", "oil": "oil", "ol": "oil", "huile": "oil", "emollient": "oil", "butter": "butter", "beurre": "butter",
    "wax": "wax", "wachs": "wax", "cire": "wax", "emulsifier": "emulsifier", "emulgator": "emulsifier", "emulsifiant": "emulsifier",
    "conditioner": "conditioner", "thickener": "thickener", "verdicker": "thickener", "epaississant": "thickener", "gum": "gum",
    "preservative": "preservative", "konservierer": "preservative", "konservierung": "preservative", "conservateur": "preservative",
    "active": "active", "wirkstoff": "active", "actif": "active", "antioxidant": "antioxidant", "antioxidans": "antioxidant",
    "antioxydant": "antioxidant", "chelator": "chelator", "komplexbildner": "chelator", "fragrance": "fragrance", "duft": "fragrance",
    "parfum": "fragrance", "acid": "acid", "saure": "acid", "acide": "acid", "base": "base", "colour": "colour", "farbe": "colour",
}  # fmt: skip
#: How far a sum may be from 100 for its numbers to be percent.
_NEAR = 1.5


@dataclass(frozen=True, slots=True)
class UnderstoodLine:
    """One ingredient, in the sheet's ``row`` counted from 1; ``percent`` None where ``word`` ("rest", "as needed")
    stands instead, or nothing that could be read; ``written`` is what the cell says."""

    row: int
    name: str
    phase: str
    written: str
    percent: float | None
    word: str = ""
    inci: str = ""
    role: str = ""

    @property
    def unread(self) -> bool:
        """Whether its amount cannot be read."""
        return self.percent is None and not self.word


@dataclass(frozen=True, slots=True)
class UnderstoodSheet:
    """What a sheet says. ``unit``: what its amounts were taken for; ``columns``: (what, its heading or letter);
    ``unreadable``: (address, what is wrong); ``notes``: sentences about what was left out or supposed."""

    sheet: str
    title: str
    unit: str
    columns: tuple[tuple[str, str], ...]
    lines: tuple[UnderstoodLine, ...]
    notes: tuple[str, ...]
    unreadable: tuple[tuple[str, str], ...]

    @property
    def total(self) -> float:
        """What the lines with a number come to, in percent."""
        return exact(sum(line.percent or 0.0 for line in self.lines))


@dataclass(slots=True)
class _Read:
    lines: list[tuple[UnderstoodLine, Amount]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    unreadable: list[tuple[str, str]] = field(default_factory=list)
    phase: str = ""
    groups: str = ""  # the mark between thousands
    unclear: bool = False  # whether nobody knows it, and it makes a difference
    texts: int = 0  # rows of text that are neither a phase nor an ingredient


def understand(sheet: SheetCells, unit: str = "", given: ColumnsGiven | None = None) -> UnderstoodSheet:
    """What a sheet says; ``unit`` ("percent", "grams", "parts") and columns ``given`` where a person said so. Raises
    SheetUnreadable."""
    columns = columns_of(sheet, given)
    read = _Read()
    if columns.amount != "percent":  # no share of a formula has thousands
        cells = [columns.cell(sheet, row, "amount") for row in range(columns.head + 1, len(sheet.rows))]
        read.groups = groups_in(cells)
        read.unclear = not read.groups and not all(is_unclear(x) for x in cells if amount_in(x) is not None)
    for row in range(columns.head + 1, len(sheet.rows)):
        _read_row(sheet, columns, row, read)
    if not any(a.word or a.number for _, a in read.lines):
        raise SheetUnreadable(
            tr('In the sheet "{name}" no ingredient with an amount is found.', name=sheet.name)
        )
    typed = [isinstance(sheet.at(x.row - 1, columns.of["amount"]), str) for x, _ in read.lines]
    taken, supposed = (unit, "") if unit else _unit(columns, [a for _, a in read.lines], all(typed))
    _apart(columns, taken, read)
    lines, lacking = _in_percent(read.lines, taken)
    notes = [*supposed.splitlines(), *read.notes, *lacking]
    if read.texts:
        notes.append(
            tr_n(
                "{n} row of text is no ingredient and was left out.",
                "{n} rows of text are no ingredients and were left out.",
                n=read.texts,
            )
        )
    if columns.ignored:
        notes.append(tr("Left out: {names}.", names=", ".join(columns.ignored)))
    if sheet.hidden:
        notes.append(tr("This sheet is hidden in its file."))
    return UnderstoodSheet(
        sheet.name, _title(sheet, columns), taken, tuple(_said(sheet, columns)), lines, tuple(notes), tuple(read.unreadable)
    )  # fmt: skip


def _read_row(sheet: SheetCells, columns: SheetColumns, row: int, read: _Read) -> None:
    name, cell = _text(columns.cell(sheet, row, "name")), columns.cell(sheet, row, "amount")
    phase, inci = _text(columns.cell(sheet, row, "phase")), _text(columns.cell(sheet, row, "inci"))
    empty = cell is None or cell == ""
    if not name and empty:
        if phase:
            read.phase = _phase(phase)
        return
    amount = _amount(sheet, columns, row, read.groups)
    above = [a.number for _, a in read.lines if a.number is not None]
    if is_total(name, amount.number if amount else None, empty, above):
        if name and not empty and not is_plain_total(name):
            read.notes.append(tr("Left out as a sum: {name}.", name=name))
        return
    if not name:
        read.unreadable.append(
            (xl_rowcol_to_cell(row, columns.of["name"]), tr("no name stands beside {cell}", cell=cell))
        )
        return
    if (
        empty
        and not (inci and inci != name)
        and not (phase and "role" not in columns.of and read.lines and len(phase) > 2)
    ):
        if _heads(sheet, columns, row):
            read.phase = _phase(name)
        else:
            read.texts += 1
        return
    if phase:
        read.phase = _phase(phase)
    unclear = read.unclear and is_unclear(cell)
    if amount is None or unclear:
        where = xl_rowcol_to_cell(row, columns.of["amount"])
        read.unreadable.append((where, _why_unreadable(cell, name, unclear)))
    role = next((ROLES[w] for w in plain_words(_text(columns.cell(sheet, row, "role"))) if w in ROLES), "")
    line = UnderstoodLine(
        row + 1, name[:60], read.phase, "" if empty else str(cell), None, "", inci[:60], role
    )
    read.lines.append((line, amount if amount and not unclear else Amount()))


def _amount(sheet: SheetCells, columns: SheetColumns, row: int, groups: str) -> Amount | None:
    """What a row says of how much, in the unit that stands in its cell, in a column of units, or in the heading."""
    cell, unit = columns.cell(sheet, row, "amount"), _text(columns.cell(sheet, row, "unit"))
    found = amount_in(cell, groups)
    if found is None or found.unit:
        return found
    if unit and found.number is not None:
        return amount_in(f"{cell} {unit}", groups)
    number, total = (None if x is None else exact(x * columns.grams) for x in (found.number, found.total))
    return replace(found, number=number, total=total)


def _apart(columns: SheetColumns, taken: str, read: _Read) -> None:
    """An amount in another unit than the column's is none: a percent among grams would be counted as a gram."""
    fits = {"grams": ("", "g"), "parts": ("", "parts")}.get(taken, ("", "%"))
    for n, (line, amount) in enumerate(read.lines):
        if amount.number is not None and amount.unit not in fits:
            where = xl_rowcol_to_cell(line.row - 1, columns.of["amount"])
            why = tr('"{cell}" does not go with the others, which are {unit}', cell=line.written, unit=taken)
            read.unreadable.append((where, why))
            read.lines[n] = (line, Amount())


def _why_unreadable(cell: Cell, name: str, unclear: bool) -> str:
    if cell is None or cell == "":
        return tr("it is empty, beside {name}", name=name)
    if unclear:
        return tr('"{cell}" may be thousands or have decimals: type the number', cell=cell)
    return (
        tr('"{cell}" is a volume: give its weight', cell=cell)
        if is_volume(cell)
        else tr('"{cell}" is no amount', cell=cell)
    )


def _heads(sheet: SheetCells, columns: SheetColumns, row: int) -> bool:
    """Whether a row of text alone heads what follows: an ingredient comes before the next text."""
    for below in range(row + 1, len(sheet.rows)):
        name, cell = columns.cell(sheet, below, "name"), columns.cell(sheet, below, "amount")
        if name and cell not in (None, ""):
            return True
        if name:
            return False
    return False


def _unit(columns: SheetColumns, amounts: list[Amount], typed: bool) -> tuple[str, str]:
    """What the amounts are, and a sentence where that is supposed; ``typed``: all cells are text, so none is a number that
    is only shown as percent."""
    total = sum(a.number for a in amounts if a.number is not None)
    if {a.unit for a in amounts if a.number is not None} == {"%"}:
        return "percent", ""
    rest = any(a.word == "rest" for a in amounts)
    small = total <= 1.0001 and all((a.number or 0) <= 1 and (a.total or 0) <= 1 for a in amounts)
    fractions = small and (not typed if rest else total > 0.5)
    if columns.amount in ("percent", ""):
        if fractions and not any(a.unit for a in amounts):
            return "fractions", tr(
                "The numbers come to {total:g} and were taken for fractions of 1, 0.5 for 50 %.", total=total
            ) if rest else ""
        if columns.amount or any(a.unit == "%" for a in amounts):
            return "percent", ""
    if columns.amount:
        return columns.amount, ""
    if any(a.unit == "g" for a in amounts):
        return "grams", ""
    if abs(total - 100) < _NEAR or rest:
        return (
            "percent",
            tr("No heading says what the numbers are; they total 100 and were taken for percent.")
            if not rest
            else "",
        )
    return "parts", tr(
        "No heading says what the numbers are; they total {total:g} and were taken for parts.", total=total
    )


def _in_percent(
    read: list[tuple[UnderstoodLine, Amount]], unit: str
) -> tuple[tuple[UnderstoodLine, ...], tuple[str, ...]]:
    """The lines with their shares; where they were worked out, the largest takes what rounding leaves."""
    numbers = [a.number or 0.0 for _, a in read]
    totals = [a.total for _, a in read if a.total and a.unit in ("", "g")]
    whole = {"percent": 100.0, "fractions": 1.0}.get(unit) or (totals[0] if totals else sum(numbers))
    lines = [
        replace(line, word=a.word, percent=None if a.number is None else round(a.number / whole * 100, 4))
        for line, a in read
    ]
    if unit in AMOUNTS[1:] and any(a.word == "rest" for _, a in read) and not totals:
        return tuple(lines), (
            tr("The rest goes up to an amount the sheet does not say: the shares are not to be relied on."),
        )
    if unit in AMOUNTS[1:] and not totals and any(x.unread for x in lines):
        return tuple(lines), (
            tr("An amount is missing: the shares are those of the others alone, and change with it."),
        )
    shares = [x.percent or 0.0 for x in lines]
    left = round(100.0 - sum(shares), 4)
    if left and abs(left) < 0.01 and not any(x.word == "rest" for x in lines):
        largest = shares.index(max(shares))
        lines[largest] = replace(lines[largest], percent=round(shares[largest] + left, 4))
    return tuple(lines), ()


def _title(sheet: SheetCells, columns: SheetColumns) -> str:
    """The first text over the headings, else the sheet's name where somebody gave it one."""
    for row in sheet.rows[: max(columns.head, 0)]:
        for cell in row:
            if isinstance(cell, str) and len(cell.strip()) > 2:
                return cell.strip()[:60]
    return "" if _NO_TITLE.fullmatch(sheet.name.strip()) else sheet.name.strip()[:60]


def _said(sheet: SheetCells, columns: SheetColumns) -> Iterator[tuple[str, str]]:
    for meaning, column in columns.of.items():
        heading = sheet.at(columns.head, column) if columns.head >= 0 else None
        yield meaning, f'"{heading}"' if heading else tr("column {address}", address=xl_col_to_name(column))


def _phase(text: str) -> str:
    """ "Phase A:" and "A" are the same phase."""
    plain = re.sub(r"^\s*phase\b\s*[:.\-–]?\s*", "", text, flags=re.IGNORECASE).strip(" :.-–")
    return (plain or text.strip())[:60]


def _text(cell: Cell) -> str:
    return " ".join(str(cell).split()) if cell is not None and not isinstance(cell, bool) else ""
