"""Spreadsheets on the glass: those that lie in the workshop's folder, what was understood of one, and a formula out again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from benchapp.foundation.language import tr, tr_n, tr_noop, translated
from benchapp.make.view_model import NumberRequest
from benchapp.recipes.draft import BatchSizes
from benchapp.recipes.errors import SheetUnreadable
from benchapp.recipes.sheets.understanding import UnderstoodLine
from benchapp.runtime.clocks import wall_now
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.recipes.recipe_requests import RecipeRequests
from benchapp.screens.recipes.sheet_files import SheetFiles
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.table_page import TableColumn, TablePage, TableRow
from benchapp.service.recipe_facts import DraftFacts
from benchapp.service.recipe_sheets import (
    ColumnFacts,
    SheetFacts,
    SheetReading,
    as_table,
    bring_in,
    columns_in,
    look_into,
    put_out,
)
from benchapp.service.recipes import RecipeDesk

#: The most that is typed for an amount that is no share.
MOST = 1_000_000.0
_UNITS = ("percent", "grams", "parts")

#: What a column can hold, in words.
MEANT = {
    "name": tr_noop("the ingredients"), "amount": tr_noop("the amounts"), "phase": tr_noop("the phase"), "inci": tr_noop("the INCI name"), "role": tr_noop("what it is for"),
}  # fmt: skip
NOTHING = tr_noop("nothing that is wanted")

_COLUMNS = (
    TableColumn("row", 0.1, True), TableColumn("ingredient", 0.32), TableColumn("phase", 0.2),
    TableColumn(tr_noop("in the sheet"), 0.18, True), TableColumn("understood", 0.2, True),
)  # fmt: skip


def sheet_page(sizes: Sizes, facts: SheetFacts, paging: Paging, more: Sequence[ButtonSpec]) -> TablePage:
    """What a sheet says beside what was understood of it; a row that could not be read says so itself."""
    table = as_table(facts)
    rows = [
        TableRow(row[:5], wrong=x.unread) for row, x in zip(table.rows, facts.understood.lines, strict=True)
    ]
    rows += [
        TableRow((text,), plain=True)
        for text in (*table.head, *table.notes[len(facts.understood.unreadable) :])
    ]
    unread = len(facts.understood.unreadable)
    failed = tr_n("one row cannot be read", "{n} rows cannot be read", n=unread) if unread else ""
    title = f"{facts.file}: {failed}" if failed else facts.file
    return TablePage(sizes, title, _COLUMNS, rows, paging, more)


@dataclass(frozen=True, slots=True)
class ColumnsShown:
    """The columns of a sheet as it is read now, where it was asked from, and why nothing was made of it where that is so."""

    path: Path
    reading: SheetReading
    columns: Sequence[ColumnFacts]
    back: Callable[[], None]
    more: Sequence[ButtonSpec] = ()
    wrong: str = ""


def columns_page(
    sizes: Sizes, shown: ColumnsShown, mean: Callable[[ColumnFacts], None], paging: Paging
) -> RowsPage:
    """A row for each column: what it is taken for, and the first of what stands in it."""
    rows = [
        RowSpec(
            f"{c.letter}: {translated(MEANT.get(c.meaning, NOTHING))}", partial(mean, c), ", ".join(c.holds)
        )
        for c in shown.columns
    ]
    said = [(shown.wrong, True)] if shown.wrong else []
    return RowsPage(sizes, tr("Which column holds what?"), rows, paging, shown.more, said)


class SheetController:
    """``drafts`` shows all recipes, ``formula`` one."""

    def __init__(
        self, recipes: RecipeRequests, drafts: Callable[[], None], formula: Callable[[str], None]
    ) -> None:
        self._recipes, self._formula, self._nav = recipes, formula, recipes.nav
        self._files = SheetFiles(recipes, drafts)

    def files(self) -> None:
        """Which one?"""
        self._files.pick(lambda path: self._look(path, SheetReading()))

    def _look(self, path: Path, reading: SheetReading, number: int = 0) -> None:
        """What was understood; where that is nothing, which column holds what."""

        def looked(desk: RecipeDesk) -> SheetFacts | tuple[str, tuple[ColumnFacts, ...]]:
            try:
                return look_into(path, reading)
            except SheetUnreadable as why:
                return str(why), columns_in(path, reading)

        def shown(found: SheetFacts | tuple[str, tuple[ColumnFacts, ...]]) -> None:
            if isinstance(found, SheetFacts):
                self._understood(path, found, reading, number)
            else:
                self._show_columns(ColumnsShown(path, reading, found[1], self.files, wrong=found[0]))

        self._recipes.ask(looked, shown, self.files)

    def _understood(self, path: Path, facts: SheetFacts, reading: SheetReading, number: int) -> None:
        """What the sheet says beside what was understood, to be confirmed."""
        paging = Paging(self.files, partial(self._look, path, reading), number)
        whole = not facts.understood.unreadable
        more: list[ButtonSpec] = [
            (tr("Change columns"), partial(self._columns, path, reading, facts), "plain"),
            (tr("Take it") if whole else tr_n("Leave that row out", "Leave {n} rows out", n=len(facts.understood.unreadable)), partial(self._name, path, facts, reading), "main" if whole else "serious"),
        ]  # fmt: skip
        unread = next((x for x in facts.understood.lines if x.unread), None)
        if unread is not None:
            more.append(
                (
                    tr("Type row {row}", row=unread.row),
                    partial(self._type, path, facts, reading, unread),
                    "main",
                )
            )
        self._nav.show(sheet_page(self._nav.sizes, facts, paging, more))

    def _type(self, path: Path, facts: SheetFacts, reading: SheetReading, line: UnderstoodLine) -> None:
        """An amount that could not be read, as its column has them."""
        unit, back = facts.understood.unit, partial(self._look, path, reading)
        share = unit in ("percent", "fractions")
        ask = NumberRequest(
            line.name, "%" if share else "g" if unit == "grams" else "", 0, 100 if share else MOST, 3, True
        )

        def typed(value: float) -> None:
            number = value / 100 if unit == "fractions" else value
            self._look(path, replace(reading, typed=(*reading.typed, (line.row, number))))

        self._nav.ask_number(ask, typed, back)

    def _unit(self, path: Path, reading: SheetReading) -> None:
        back = partial(self._look, path, reading)

        def said(unit: str) -> None:
            self._look(path, replace(reading, unit=unit))

        self._nav.ask_choice(tr("What are its amounts?"), _UNITS, said, Paging(back))

    def _other(self, path: Path, facts: SheetFacts) -> None:
        """Another sheet of the file; what was said of this one does not hold there."""
        back = partial(self._look, path, SheetReading(facts.cells.name))

        def picked(name: str) -> None:
            self._look(path, SheetReading(name))

        self._nav.ask_choice(tr("Which sheet of the file?"), facts.others, picked, Paging(back))

    # --- which column holds what ---------------------------------------------------------------------

    def _columns(self, path: Path, reading: SheetReading, facts: SheetFacts) -> None:
        back = partial(self._look, path, reading)
        more: list[ButtonSpec] = [
            (tr("In {unit}", unit=facts.understood.unit), partial(self._unit, path, reading), "plain")
        ]
        if facts.others:
            more.insert(0, (tr("Other sheet"), partial(self._other, path, facts), "plain"))
        self._recipes.ask(
            lambda desk: columns_in(path, reading),
            lambda columns: self._show_columns(ColumnsShown(path, reading, columns, back, more)),
            back,
        )

    def _show_columns(self, shown: ColumnsShown, number: int = 0) -> None:
        paging = Paging(shown.back, partial(self._show_columns, shown), number)
        mean = partial(self._mean, shown.path, shown.reading)
        self._nav.show(columns_page(self._nav.sizes, shown, mean, paging))

    def _mean(self, path: Path, reading: SheetReading, column: ColumnFacts) -> None:
        meanings = {words: meaning for meaning, words in MEANT.items()} | {NOTHING: ""}

        def said(words: str) -> None:
            meaning = meanings[words]
            if meaning:
                self._look(path, reading.saying(meaning, column.number))
            elif column.meaning:
                self._look(path, reading.saying(column.meaning, -1))
            else:
                self._look(path, reading)

        title, back = (
            tr("What stands in column {letter}?", letter=column.letter),
            partial(self._look, path, reading),
        )
        self._nav.ask_choice(title, tuple(meanings), said, Paging(back), ", ".join(column.holds))

    # --- what becomes of it ---------------------------------------------------------------------------

    def _name(self, path: Path, facts: SheetFacts, reading: SheetReading) -> None:
        back = partial(self._look, path, reading)

        def used(name: str, use: str) -> None:
            self._recipes.ask(
                lambda desk: bring_in(desk, facts, name, use, BatchSizes()), self._brought, back
            )

        def named(name: str) -> None:
            if name:
                self._recipes.ask_use(partial(used, name), back)

        self._nav.ask_text(tr("What is it called?"), named, back, facts.understood.title)

    def _brought(self, found: tuple[DraftFacts, str]) -> None:
        facts, said = found
        self._nav.message(said, partial(self._formula, facts.key))

    def write_out(self, key: str) -> None:
        """The formula as a sheet to print, in the same folder."""
        back = partial(self._formula, key)

        def written(path: Path) -> None:
            self._nav.tell("Written", (str(path),), back)

        self._recipes.ask(lambda desk: put_out(desk, key, wall_now()[:10]), written, back)
