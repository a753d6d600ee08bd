"""Spreadsheets on the glass: those that lie in the workshop's folder, what was understood of one, and a formula out again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from benchapp.recipes.draft import BatchSizes
from benchapp.runtime.clocks import wall_now
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.recipes.recipe_requests import RecipeRequests
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.list_pages import choice_page
from benchapp.screens.widgets.pager import Paging, text_page
from benchapp.screens.widgets.table_page import TableColumn, TablePage, TableRow
from benchapp.screens.widgets.text_pad import TextPad
from benchapp.service.recipe_facts import DraftFacts
from benchapp.service.recipe_sheets import SheetFacts, as_table, bring_in, inbox, look_into, put_out

_UNITS = ("percent", "grams", "parts")
_USES = ("leave-on", "rinse-off")
#: A recipe from a sheet begins with these batches; they are changed on the page about it.
_SIZES = BatchSizes("500 g", "400 g", "1000 g")
_COLUMNS = (
    TableColumn("row", 0.1, True), TableColumn("ingredient", 0.32), TableColumn("phase", 0.2),
    TableColumn("in the sheet", 0.18, True), TableColumn("understood", 0.2, True),
)  # fmt: skip


def sheet_page(sizes: Sizes, facts: SheetFacts, paging: Paging, more: Sequence[ButtonSpec]) -> TablePage:
    """What a sheet says beside what was understood of it."""
    table = as_table(facts)
    rows = [TableRow(row[:5]) for row in table.rows]
    rows += [TableRow((text,), plain=True) for text in (*table.head, *table.notes)]
    return TablePage(sizes, facts.file, _COLUMNS, rows, paging, more)


class SheetController:
    """``drafts`` shows all recipes, ``formula`` one."""

    def __init__(
        self, recipes: RecipeRequests, drafts: Callable[[], None], formula: Callable[[str], None]
    ) -> None:
        self._recipes, self._drafts, self._formula, self._nav = recipes, drafts, formula, recipes.nav

    def files(self, number: int = 0) -> None:
        """Those that lie there, newest first."""
        nav = self._nav

        def shown(found: tuple[Path, tuple[Path, ...]]) -> None:
            folder, files = found
            if not files:
                nav.message(
                    f"Put a sheet (XLSX, ODS or CSV) into {folder}, then come here again.", self._drafts
                )
                return
            by_name = {p.name: p for p in files}
            paging = Paging(self._drafts, self.files, number)
            nav.show(
                choice_page(
                    nav.sizes, "Which sheet?", tuple(by_name), lambda n: self._look(by_name[n]), paging
                )
            )

        self._recipes.ask(lambda desk: (desk.sheets_folder, inbox(desk.sheets_folder)), shown, self._drafts)

    def _look(self, path: Path, unit: str = "", number: int = 0) -> None:
        self._recipes.ask(
            lambda desk: look_into(path, "", unit),
            lambda facts: self._understood(path, facts, unit, number),
            self.files,
        )

    def _understood(self, path: Path, facts: SheetFacts, unit: str, number: int) -> None:
        """What the sheet says beside what was understood, to be confirmed."""
        paging = Paging(self.files, partial(self._look, path, unit), number)
        more: list[ButtonSpec] = [
            (f"In {facts.understood.unit}", partial(self._unit, path), "plain"),
            ("It is right", partial(self._name, path, facts), "main"),
        ]
        self._nav.show(sheet_page(self._nav.sizes, facts, paging, more))

    def _unit(self, path: Path) -> None:
        page = choice_page(
            self._nav.sizes,
            "What are its amounts?",
            _UNITS,
            partial(self._look, path),
            Paging(partial(self._look, path)),
        )
        self._nav.show(page)

    def _name(self, path: Path, facts: SheetFacts) -> None:
        nav, back = self._nav, partial(self._look, path)

        def used(name: str, use: str) -> None:
            self._recipes.ask(lambda desk: bring_in(desk, facts, name, use, _SIZES), self._brought, back)

        def named(name: str) -> None:
            if name:
                nav.show(
                    choice_page(
                        nav.sizes, "Does it stay on the skin?", _USES, partial(used, name), Paging(back)
                    )
                )

        nav.show(TextPad(nav.sizes, "What is it called?", named, back, facts.understood.title))

    def _brought(self, found: tuple[DraftFacts, str]) -> None:
        facts, said = found
        self._nav.message(said, partial(self._formula, facts.key))

    def write_out(self, key: str) -> None:
        """The formula as a sheet to print, in the same folder."""
        back = partial(self._formula, key)

        def written(path: Path) -> None:
            self._nav.show(text_page(self._nav.sizes, "Written", (str(path),), Paging(back)))

        self._recipes.ask(lambda desk: put_out(desk, key, wall_now()[:10]), written, back)
