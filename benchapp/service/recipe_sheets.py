"""Formulas from spreadsheets and onto them, under every face."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from xlsxwriter.utility import xl_col_to_name, xl_rowcol_to_cell

from benchapp.calculations.substances import substance_key
from benchapp.foundation.language import Name, number, tr
from benchapp.foundation.text_files import replace_file
from benchapp.recipes.draft import LINE, BatchSizes, Draft
from benchapp.recipes.errors import ChangeRefused, SheetUnreadable
from benchapp.recipes.sheets.columns import columns_of
from benchapp.recipes.sheets.drafting import draft_from
from benchapp.recipes.sheets.printing import PrintedFormula, as_csv, as_xlsx
from benchapp.recipes.sheets.sheet_cells import SheetCells, read_cells
from benchapp.recipes.sheets.understanding import UnderstoodSheet, understand
from benchapp.runtime.removable_disks import plugged_in
from benchapp.service.matter import Sheet
from benchapp.service.recipe_facts import DraftFacts
from benchapp.service.recipes import RecipeDesk
from procedures.building import slug
from procedures.errors import QuantityError
from procedures.quantities import MASS, some

KINDS = (".xlsx", ".ods", ".csv")
#: So many cells of a column are shown.
SHOWN = 4


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """A sheet as it is and as it was understood; ``others`` are the sheets of its file beside it."""

    file: str
    cells: SheetCells
    understood: UnderstoodSheet
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetReading:
    """How a file is read where a person said so: which of its sheets, what its amounts are ("percent", "grams",
    "parts"), which column holds what, and what was ``typed`` in place of an amount that could not be read: its row counted
    from 1, and a number like those of its column."""

    sheet: str = ""
    unit: str = ""
    columns: tuple[tuple[str, int], ...] = ()
    typed: tuple[tuple[int, float], ...] = ()

    def saying(self, meaning: str, column: int) -> SheetReading:
        """The same, but that this stands in that column, counted from 0; -1: in none."""
        others = {m: c for m, c in self.columns if c < 0 or c != column}
        return replace(self, columns=tuple((others | {meaning: column}).items()))


@dataclass(frozen=True, slots=True)
class ColumnFacts:
    """A column of a sheet: its letter, the first of what stands in it, and what it was taken for ("": nothing)."""

    number: int
    letter: str
    holds: tuple[str, ...]
    meaning: str


def look_into(path: Path, reading: SheetReading = SheetReading()) -> SheetFacts:
    """What a file says: of the sheet named, else of the first in which a formula is found. Raises SheetUnreadable."""
    sheets = read_cells(path)
    refused = SheetUnreadable(tr("{name} has no sheet.", name=path.name))
    for one in _candidates(path, sheets, reading.sheet):
        try:
            found = _understood(one, reading)
        except SheetUnreadable as error:
            refused = error
            continue
        return SheetFacts(path.name, one, found, _others(sheets, one))
    raise refused


def _understood(one: SheetCells, reading: SheetReading) -> UnderstoodSheet:
    """With what was typed in the place of cells, each of them said. Raises SheetUnreadable."""
    given = dict(reading.columns)
    if not reading.typed:
        return understand(one, reading.unit, given)
    column, rows, said = columns_of(one, given).of["amount"], list(one.rows), []
    for row, typed in reading.typed:
        was = one.at(row - 1, column)
        cells = [*rows[row - 1], *[None] * (column + 1 - len(rows[row - 1]))]
        rows[row - 1] = (*cells[:column], typed, *cells[column + 1 :])
        said.append(
            tr(
                "{cell}: {number:g} was typed; the sheet says {was!r}.",
                cell=xl_rowcol_to_cell(row - 1, column),
                number=typed,
                was=was or "",
            )
        )
    found = understand(replace(one, rows=tuple(rows)), reading.unit, given)
    return replace(found, notes=(*found.notes, *said))


def columns_in(path: Path, reading: SheetReading) -> tuple[ColumnFacts, ...]:
    """Every column that holds anything of the sheet that is read, else of the first, with what it is taken for now.
    Raises SheetUnreadable where the file is none."""
    one = _candidates(path, read_cells(path), reading.sheet)[0]
    try:
        taken = {column: meaning for meaning, column in columns_of(one, dict(reading.columns)).of.items()}
    except SheetUnreadable:
        taken = {column: meaning for meaning, column in reading.columns}
    width = max((len(row) for row in one.rows), default=0)
    found = []
    for column in range(width):
        cells = [
            str(cell) for row in one.rows if column < len(row) and (cell := row[column]) not in (None, "")
        ]
        if cells:
            letter, meaning = xl_col_to_name(column), taken.get(column, "")
            found.append(ColumnFacts(column, letter, tuple(cells[:SHOWN]), meaning))
    return tuple(found)


def _candidates(path: Path, sheets: tuple[SheetCells, ...], named: str) -> list[SheetCells]:
    """The sheet named, or all of them, hidden ones last. Raises SheetUnreadable."""
    wanted = [s for s in sheets if not named or s.name.casefold() == named.casefold()]
    if not wanted:
        raise SheetUnreadable(
            tr(
                "{name} has no sheet {named!r}. It has: {names}.",
                name=path.name,
                named=named,
                names=", ".join(s.name for s in sheets),
            )
        )
    return sorted(wanted, key=lambda s: s.hidden)


def _others(sheets: tuple[SheetCells, ...], chosen: SheetCells) -> tuple[str, ...]:
    return tuple(s.name for s in sheets if s.name != chosen.name)


def as_table(facts: SheetFacts) -> Sheet:
    """What was understood, beside what the sheet says, for a person to confirm."""
    found = facts.understood
    rows = tuple(
        (str(x.row), Name(x.name), Name(x.phase), Name(x.written),
         x.word or (tr("cannot be read") if x.percent is None else f"{number(x.percent)} %"), x.role)
        for x in found.lines
    )  # fmt: skip
    head = (
        tr(
            "{file}: {count} ingredients, amounts taken for {unit}.",
            file=facts.file,
            count=len(found.lines),
            unit=found.unit,
        ),
    )
    notes = [f"{where}: {what}." for where, what in found.unreadable] + list(found.notes)
    columns = ", ".join(tr("{what} from {where}", what=what, where=where) for what, where in found.columns)
    others = tr(" Other sheets in the file: {names}.", names=", ".join(facts.others)) if facts.others else ""
    notes.append(
        tr(
            'From the sheet "{sheet}": {columns}.{others}',
            sheet=Name(found.sheet),
            columns=columns,
            others=others,
        )
    )
    notes.append(tr("Together {total:g} %.", total=found.total) if not any(x.word == "rest" for x in found.lines) else
                 tr("Together {total:g} %, and the rest.", total=found.total))  # fmt: skip
    return Sheet(
        head, ("row", "ingredient", "phase", tr("in the sheet"), "understood", "role"), rows, tuple(notes)
    )


def bring_in(
    desk: RecipeDesk, facts: SheetFacts, name: str, use: str, sizes: BatchSizes
) -> tuple[DraftFacts, str]:
    """The understood sheet as a draft, and a sentence about what has to be said of it yet."""
    draft, unknown = draft_from(facts.understood, name, use, sizes, desk.materials.shelf)
    made = desk.take_in(draft, tr("brought in from {file}", file=facts.file))
    said = tr("{name} is a draft now: {key}.", name=name, key=made.key)
    if unknown:
        said += tr(
            " Not on the shelf, so what they are has to be entered: {names}.", names=", ".join(unknown)
        )
    return made, " ".join((said, *_taken_otherwise(facts.understood, draft, desk.materials.shelf.entries)))


def _taken_otherwise(
    understood: UnderstoodSheet, draft: Draft, shelf: Mapping[str, Mapping[str, Any]]
) -> Iterator[str]:
    """What the sheet says of a material and the shelf otherwise: another name, or another INCI name."""
    for line, made in zip(understood.lines, draft.list_of(LINE), strict=True):
        name = str(made.get("name") or made["material"])
        own = shelf.get(slug(name), {})
        names = [own["inci"]] if "inci" in own else [x["inci"] for x in own.get("composition", ())]
        if slug(name) != slug(line.name):
            yield tr(
                "{name} is taken for {own}: the shelf has it under the same INCI name.",
                name=line.name,
                own=name,
            )
        elif names and line.inci and substance_key(line.inci) not in map(substance_key, names):
            yield tr(
                "{name}: the sheet says {inci}, the shelf {own}, and the shelf's is taken.",
                name=name,
                inci=line.inci,
                own=", ".join(names),
            )


@dataclass(frozen=True, slots=True)
class SheetFile:
    """A spreadsheet that can be read in, with a name for a person."""

    name: str
    path: Path


def sheet_files(folder: Path) -> tuple[SheetFile, ...]:
    """The sheets that lie in a folder and at the top of each stick that is plugged in, newest first."""
    places = [("", folder), *((tr(" on {name}", name=disk.name), disk.folder) for disk in plugged_in())]
    found = [
        (path.stat().st_mtime, SheetFile(f"{path.name}{where}", path))
        for where, place in places
        if place.is_dir()
        for path in place.glob("*")
        if path.suffix.casefold() in KINDS and path.is_file()
    ]
    return tuple(one for _, one in sorted(found, key=lambda one: -one[0]))


def put_out(desk: RecipeDesk, key: str, day: str) -> Path:
    """A draft's formula for its usual batch as a workbook in the folder of the sheets; the same recipe is the same file
    again. Raises ChangeRefused, OSError."""
    data = printed(desk.text(key), "", day, "xlsx")
    path = desk.sheets_folder / f"{key} {day}.xlsx"
    replace_file(path, data)
    return path


def printed(text: str, batch: str, day: str, kind: str) -> bytes:
    """A formula as a sheet for a batch size; ``kind`` "xlsx" or "csv". Raises ChangeRefused."""
    import hashlib

    draft = Draft(text)
    size = batch or str(draft.tables.get("batch", {}).get("usual", ""))
    try:
        grams = some(size, MASS)
    except QuantityError as error:
        raise ChangeRefused(f"{error}.") from error
    version = tr("version {hexdigest}", hexdigest=hashlib.sha256(text.encode()).hexdigest()[:8])
    formula = PrintedFormula(draft, grams, version, day)
    return as_csv(formula) if kind == "csv" else as_xlsx(formula)
