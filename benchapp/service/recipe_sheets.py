"""Formulas from spreadsheets and onto them, under every face."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from benchapp.recipes.draft import BatchSizes, Draft
from benchapp.recipes.errors import ChangeRefused, SheetUnreadable
from benchapp.recipes.sheets.drafting import draft_from
from benchapp.recipes.sheets.printing import PrintedFormula, as_csv, as_xlsx
from benchapp.recipes.sheets.sheet_cells import SheetCells, address, read_cells
from benchapp.recipes.sheets.understanding import UnderstoodSheet, understand
from benchapp.service.matter import Sheet
from benchapp.service.recipe_facts import DraftFacts
from benchapp.service.recipes import RecipeDesk
from procedures.errors import QuantityError
from procedures.quantities import MASS, quantity

KINDS = (".xlsx", ".ods", ".csv")


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """A sheet as it is and as it was understood; ``others`` are the sheets of its file beside it."""

    file: str
    cells: SheetCells
    understood: UnderstoodSheet
    others: tuple[str, ...]


def look_into(path: Path, sheet: str = "", unit: str = "") -> SheetFacts:
    """What a file says: of the sheet named, else of the first in which a formula is found. Raises SheetUnreadable."""
    sheets = read_cells(path)
    if sheet:
        wanted = [s for s in sheets if s.name.casefold() == sheet.casefold()]
        if not wanted:
            raise SheetUnreadable(
                f"{path.name} has no sheet {sheet!r}. It has: {', '.join(s.name for s in sheets)}."
            )
        return SheetFacts(path.name, wanted[0], understand(wanted[0], unit), _others(sheets, wanted[0]))
    refused = SheetUnreadable(f"{path.name} has no sheet.")
    for one in sorted(sheets, key=lambda s: s.hidden):
        try:
            return SheetFacts(path.name, one, understand(one, unit), _others(sheets, one))
        except SheetUnreadable as error:
            refused = error
    raise refused


def _others(sheets: tuple[SheetCells, ...], chosen: SheetCells) -> tuple[str, ...]:
    return tuple(s.name for s in sheets if s.name != chosen.name)


def as_table(facts: SheetFacts) -> Sheet:
    """What was understood, beside what the sheet says, for a person to confirm."""
    found = facts.understood
    rows = tuple(
        (address(x.row - 1, 0)[1:], x.name, x.phase, x.written,
         x.word or ("cannot be read" if x.percent is None else f"{x.percent:g} %"), x.role)
        for x in found.lines
    )  # fmt: skip
    head = (f"{facts.file}: {len(found.lines)} ingredients, amounts taken for {found.unit}.",)
    notes = [f"{where}: {what}." for where, what in found.unreadable] + list(found.notes)
    columns = ", ".join(f"{what} from {where}" for what, where in found.columns)
    others = f" Other sheets in the file: {', '.join(facts.others)}." if facts.others else ""
    notes.append(f'From the sheet "{found.sheet}": {columns}.{others}')
    notes.append(f"Together {found.total:g} %." if not any(x.word == "rest" for x in found.lines) else
                 f"Together {found.total:g} %, and the rest.")  # fmt: skip
    return Sheet(
        head, ("row", "ingredient", "phase", "in the sheet", "understood", "role"), rows, tuple(notes)
    )


def bring_in(
    desk: RecipeDesk, facts: SheetFacts, name: str, use: str, sizes: BatchSizes
) -> tuple[DraftFacts, str]:
    """The understood sheet as a draft, and a sentence about what has to be said of it yet."""
    draft, unknown = draft_from(facts.understood, name, use, sizes, desk.materials.shelf)
    made = desk.take_in(draft, f"brought in from {facts.file}")
    said = f"{name} is a draft now: {made.key}."
    if unknown:
        said += f" Not on the shelf, so what they are has to be entered: {', '.join(unknown)}."
    return made, said


def inbox(place: Path) -> tuple[Path, ...]:
    """The sheets that lie in a folder, newest first."""
    if not place.is_dir():
        return ()
    found = [p for p in place.glob("*") if p.suffix.casefold() in KINDS and p.is_file()]
    return tuple(sorted(found, key=lambda p: -p.stat().st_mtime))


def put_out(desk: RecipeDesk, key: str, day: str) -> Path:
    """A draft's formula for its usual batch as a workbook in the folder of the sheets; the same recipe is the same file
    again. Raises ChangeRefused, OSError."""
    data = printed(desk.text(key), "", day, "xlsx")
    desk.sheets_folder.mkdir(parents=True, exist_ok=True)
    path = desk.sheets_folder / f"{key} {day}.xlsx"
    path.write_bytes(data)
    return path


def printed(text: str, batch: str, day: str, kind: str) -> bytes:
    """A formula as a sheet for a batch size; ``kind`` "xlsx" or "csv". Raises ChangeRefused."""
    import hashlib

    draft = Draft(text)
    size = batch or str(draft.tables.get("batch", {}).get("usual", ""))
    try:
        grams = quantity(size, MASS)
    except QuantityError as error:
        raise ChangeRefused(f"{error}.") from error
    version = f"version {hashlib.sha256(text.encode()).hexdigest()[:8]}"
    formula = PrintedFormula(draft, grams, version, day)
    return as_csv(formula) if kind == "csv" else as_xlsx(formula)
