"""A recipe written on the glass: the list, its head, its formula line by line."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop
from benchapp.recipes.draft import BatchSizes
from benchapp.recipes.step_fields import FieldKind, StepField
from benchapp.screens.display.dates import heading
from benchapp.screens.navigator import Navigator
from benchapp.screens.recipes.field_editor import FieldEditor, FieldRequest
from benchapp.screens.recipes.field_rows import FieldRows, fields_page
from benchapp.screens.recipes.line_controller import LineController
from benchapp.screens.recipes.material_controller import MaterialController
from benchapp.screens.recipes.method_controller import MethodController
from benchapp.screens.recipes.recipe_requests import USES, RecipeRequests
from benchapp.screens.recipes.recipe_rows import (
    CheckLeads,
    checks_page,
    drafts_page,
    formula_page,
    mend_line,
)
from benchapp.screens.recipes.sheet_controller import SheetController
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine
    from benchapp.service.recipe_drafts import RecipeEntry
    from benchapp.service.recipe_facts import DraftFacts


BY_HAND, FROM_PROCEDURE = tr_noop("Line by line"), tr_noop("Copy a recipe")
FROM_BATCH, FROM_SHEET = tr_noop("From a past batch"), tr_noop("From a spreadsheet")
#: Batches of a new recipe: changed on the page about it.
_USUAL = {
    "500 g": BatchSizes(),
    "1 kg": BatchSizes("1000 g", "800 g", "2000 g"),
    "200 g": BatchSizes("200 g", "150 g", "400 g"),
}
_SIZES = ("smallest", "usual", "largest")


class DraftController:
    """Recipes that are being written."""

    def __init__(self, navigator: Navigator) -> None:
        self._nav, self._recipes = navigator, RecipeRequests(navigator)
        self._editor = FieldEditor(navigator)
        self.materials = MaterialController(self._recipes, self.drafts)
        self.lines = LineController(self._recipes, self.materials, self.formula)
        self.method = MethodController(self._recipes, self.formula, self.drafts)
        self.sheets = SheetController(self._recipes, self.drafts, self.formula)

    def drafts(self, number: int = 0) -> None:
        """All of them."""
        nav = self._nav
        paging = Paging(nav.routes.home, self.drafts, number)

        def shown(found: tuple[RecipeEntry, ...]) -> None:
            wrong = [entry for entry in found if entry.wrong]
            more: list[ButtonSpec] = [
                ("Make a batch", nav.routes.recipes, "plain"),  # those that came with the program stand there
                ("Materials", self.materials.shelf, "plain"),
                (tr("New recipe"), self.new, "plain" if wrong else "main"),
            ]
            if len(wrong) == 1:
                more.append((tr("Mend {name}", name=wrong[0].name), partial(self._open, wrong[0]), "main"))
            nav.show(drafts_page(nav.sizes, found, self._open, paging, more))

        self._recipes.ask(lambda desk: desk.listed(), shown, nav.routes.home)

    def _open(self, entry: RecipeEntry) -> None:
        if entry.is_draft:
            self.formula(entry.key)
        else:
            self._recipes.ask(lambda desk: desk.start_from(entry.key), self._begun, self.drafts)

    # --- a new one ---------------------------------------------------------------------------------------

    def new(self) -> None:
        """How it begins."""
        rows = [
            RowSpec(BY_HAND, self._name, tr("You pick each ingredient and type its share.")),
            RowSpec(FROM_PROCEDURE, self.procedures, tr("Start from one you have, and change it.")),
            RowSpec(FROM_BATCH, self.batches, tr("As it was made that day.")),
            RowSpec(FROM_SHEET, self.sheets.files, tr("A file with a row for each ingredient.")),
        ]  # fmt: skip
        self._nav.show(
            RowsPage(self._nav.sizes, tr("How do you begin the recipe?"), rows, Paging(self.drafts))
        )

    def _name(self) -> None:
        self._nav.ask_text(tr("What is it called?"), self._use, self.new)

    def _use(self, name: str) -> None:
        self._recipes.ask_use(partial(self._size, name), self._name)

    def _size(self, name: str, use: str) -> None:
        def begin(size: str) -> None:
            self._recipes.ask(lambda desk: desk.begin(name, use, _USUAL[size]), self._begun, self.drafts)

        back = Paging(partial(self._use, name))
        self._nav.ask_choice(tr("How much do you usually make?"), tuple(_USUAL), begin, back)

    def _begun(self, facts: DraftFacts) -> None:
        self.formula(facts.key)

    def procedures(self, number: int = 0) -> None:
        """Which one it starts from."""
        nav = self._nav

        def picked(name: str) -> None:
            def named(new: str) -> None:
                self._recipes.ask(lambda desk: desk.start_from(name, new), self._begun, self.drafts)

            def is_own(own: bool) -> None:
                if own:
                    self._recipes.ask(lambda desk: desk.start_from(name), self._begun, self.drafts)
                else:
                    nav.ask_text(tr("What is yours called?"), named, self.procedures)

            self._recipes.ask(lambda desk: desk.is_own(name), is_own, self.drafts)

        paging = Paging(self.new, self.procedures, number)
        self._recipes.ask(
            lambda desk: desk.procedures(),
            lambda found: nav.ask_choice(tr("Copy which recipe?"), found, picked, paging),
            self.drafts,
        )

    def batches(self, number: int = 0) -> None:
        """Which past batch it starts from: the procedure as it was then."""
        nav = self._nav

        def picked(batch: str) -> None:
            nav.fetch(lambda shop: shop.desk().procedure_text(batch), read)

        def read(text: str) -> None:
            def named(new: str) -> None:
                self._recipes.ask(lambda desk: desk.start_from_text(text, new), self._begun, self.drafts)

            nav.ask_text(tr("What is yours called?"), named, self.batches)

        def shown(found: tuple[BatchLine, ...]) -> None:
            rows = [RowSpec(heading(b), partial(picked, b.batch), b.end or "unfinished") for b in found]
            said = [] if rows else [(tr("Nothing was made yet."), False)]
            nav.show(
                RowsPage(
                    nav.sizes, tr("From which batch?"), rows, Paging(self.new, self.batches, number), (), said
                )
            )

        nav.fetch(lambda shop: shop.batches(), shown)

    # --- the formula -------------------------------------------------------------------------------------

    def formula(self, key: str, number: int = 0) -> None:
        """Its lines and their sum."""
        self._recipes.ask(lambda desk: desk.draft(key), lambda facts: self._show(facts, number), self.drafts)

    def _show(self, facts: DraftFacts, number: int = 0) -> None:
        nav, key = self._nav, facts.key
        whole, wrong = facts.sum.whole, next((x for x in facts.lines if x.faults), None)
        more: list[ButtonSpec] = [
            ("Method", partial(self.method.method, key), "main" if whole and not wrong else "plain"),
            ("Add", partial(self.lines.add, key), "plain" if whole or wrong else "main"),
        ]
        if facts.undoes:
            more.insert(0, ("Undo", partial(self._undo, key), "plain"))
        if wrong is not None:  # little else is done before that
            other = partial(self._recipes.one_of, facts.name, more, partial(self.formula, key))
            more = [("More", other, "plain"), mend_line(wrong, partial(self.lines.line, key))]
        paging = Paging(self.drafts, partial(self.formula, key), number)
        nav.show(
            formula_page(
                nav.sizes, facts, partial(self.lines.line, key), partial(self.about, key), paging, more
            )
        )

    def _undo(self, key: str) -> None:
        self._recipes.ask(lambda desk: desk.undo(key), self._show, self.drafts)

    # --- about it ----------------------------------------------------------------------------------------

    def about(self, key: str, number: int = 0) -> None:
        """Its name, use, pH and sizes; what the checks and the law say; and what else can be done with it."""
        nav = self._nav

        def shown(facts: DraftFacts) -> None:
            fields: list[tuple[str, str | None]] = [
                ("name", facts.name),
                ("use", facts.use),
                ("pH", facts.ph),
            ]
            fields += list(zip(_SIZES, facts.batch, strict=True))
            fields.append(
                ("checks", tr("{n} to mend", n=facts.to_mend) if facts.to_mend else tr("nothing to mend"))
            )
            if facts.redoes:
                fields.append((tr_noop("do again"), facts.redoes))
            if facts.steps:
                fields.append((tr_noop("propose the method again"), None))
            fields += [(tr_noop("print a sheet"), None), (tr_noop("put away"), None)]
            acts: dict[str, Callable[[], None]] = {
                "checks": partial(self.checks, key), "do again": partial(self._redo, key),
                "propose the method again": partial(self.method.propose_again, key),
                "print a sheet": partial(self.sheets.write_out, key), "put away": partial(self._drop, key),
            }  # fmt: skip
            paging = Paging(partial(self.formula, key), partial(self.about, key), number)

            def picked(name: str) -> None:
                (acts.get(name) or partial(self._head, facts, name))()

            rows = FieldRows(
                tr("About {name}", name=facts.name), fields, facts.faults, ["checks"] if facts.to_mend else ()
            )
            nav.show(fields_page(nav.sizes, rows, picked, paging))

        self._recipes.ask(lambda desk: desk.draft(key), shown, self.drafts)

    def _redo(self, key: str) -> None:
        self._recipes.ask(lambda desk: desk.redo(key), self._show, self.drafts)

    def _drop(self, key: str) -> None:
        def sure(choice: str) -> None:
            if choice == "Put it away":
                self._recipes.write(lambda desk: desk.drop(key), self.drafts)
            else:
                self.about(key)

        choices = (tr("Keep it"), tr_noop("Put it away"))
        self._nav.ask_choice(tr("Put this recipe away?"), choices, sure, Paging(partial(self.about, key)))

    def _head(self, facts: DraftFacts, name: str) -> None:
        key, back = facts.key, partial(self.about, facts.key)

        def put(answer: str | list[str]) -> None:
            if name in _SIZES:
                self._recipes.change(lambda desk: desk.set_batch(key, **{name: str(answer)}), back)
            elif name == "pH":
                self._recipes.change(lambda desk: desk.set_ph(key, str(answer)), back)
            elif answer:
                self._recipes.change(lambda desk: desk.set_head(key, **{name: str(answer)}), back)

        kinds = {"name": FieldKind.TEXT, "use": FieldKind.CHOICE, "pH": FieldKind.BAND}
        units = ("g", "kg") if name in _SIZES else ()
        field = StepField(
            name, kinds.get(name, FieldKind.QUANTITY), True, USES if name == "use" else (), units
        )
        value = dict(zip(_SIZES, facts.batch, strict=True)).get(name, facts.name if name == "name" else "")
        self._editor.ask(FieldRequest(field, value, field.choices), put, back)

    def _check_leads(self, key: str) -> CheckLeads:
        return CheckLeads(
            partial(self.about, key), partial(self.lines.line, key), partial(self.method.step, key), partial(self.method.vessels.show, key)
        )  # fmt: skip

    def checks(self, key: str, number: int = 0) -> None:
        """Everything the checks and the law say of it as it stands."""
        nav, back = self._nav, partial(self.about, key)

        def shown(found: tuple[DraftFacts, tuple[str, ...]]) -> None:
            facts, law = found
            paging = Paging(back, partial(self.checks, key), number)
            nav.show(checks_page(nav.sizes, facts, law, self._check_leads(key), paging))

        self._recipes.ask(lambda desk: (desk.draft(key), desk.ceilings(key)), shown, back)
