"""The shelf of materials on the glass: picked by their first letter, entered and changed field by field."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.recipes.step_fields import StepField
from benchapp.screens.recipes.field_editor import FieldEditor, FieldRequest
from benchapp.screens.recipes.field_rows import FieldRows, fields_page
from benchapp.screens.recipes.recipe_requests import RecipeRequests
from benchapp.screens.recipes.recipe_rows import materials_page
from benchapp.screens.recipes.sheet_files import SheetFiles
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage

if TYPE_CHECKING:
    from benchapp.service.matter import Sheet
    from benchapp.service.recipe_materials import KnownMaterial
    from benchapp.service.recipes import RecipeDesk

Picked = Callable[[str], None]
#: What is not known of a material before its safety data sheet is entered.
_OF_SHEET = ("sheet_revised", "statements", "signal_word")


class MaterialController:
    """``back`` is where the shelf was opened from."""

    def __init__(self, recipes: RecipeRequests, back: Callable[[], None]) -> None:
        self._recipes, self._back, self._nav = recipes, back, recipes.nav
        self._editor = FieldEditor(recipes.nav)

    # --- one picked for a formula ------------------------------------------------------------------------

    def pick(self, title: str, done: Picked, back: Callable[[], None]) -> None:
        """One of the shelf: by its first letter where not all have room on one page."""

        def shown(known: tuple[KnownMaterial, ...]) -> None:
            page = self._listed(title, known, done, back)
            if page.count == 1:
                self._nav.show(page)
            else:
                self._nav.show(self._initials(title, known, done, back))

        self._recipes.ask(lambda desk: desk.materials.known(), shown, back)

    def _initials(
        self, title: str, known: tuple[KnownMaterial, ...], done: Picked, back: Callable[[], None]
    ) -> Page:
        s = self._nav.sizes
        page = Page(s, tr("{asked} Press its first letter.", asked=title))
        page.bottom([("Back", back, "plain"), self._new_button(done, back)])
        letters = tuple(dict.fromkeys(m.name[0].upper() for m in known))

        def begin_with(letter: str) -> None:
            some = tuple(m for m in known if m.name[0].upper() == letter)
            if len(some) == 1:
                done(some[0].name)
                return
            again = partial(self.pick, title, done, back)
            under = tr("{asked} All with {letter}.", asked=title, letter=letter)
            self._nav.show(self._listed(under, some, done, again))

        columns = int((page.wide + s.gap) // (s.action + s.gap))
        rows = -(-len(letters) // columns)
        even = -(-len(letters) // rows)
        page.grid([(c, partial(begin_with, c), "plain") for c in letters], even, page.room)
        return page

    def _listed(
        self,
        title: str,
        known: tuple[KnownMaterial, ...],
        done: Picked,
        back: Callable[[], None],
        number: int = 0,
    ) -> RowsPage:
        def turn(to: int) -> None:
            self._nav.show(self._listed(title, known, done, back, to))

        return materials_page(
            self._nav.sizes, title, known, done, Paging(back, turn, number), [self._new_button(done, back)]
        )

    def _new_button(self, done: Picked, back: Callable[[], None]) -> ButtonSpec:
        return tr("New material"), partial(self._enter, done, back), "plain"

    def _enter(self, done: Picked, back: Callable[[], None]) -> None:
        """One that is not on the shelf yet: its name and its role first, then whatever its papers say."""

        def named(name: str) -> None:
            self._role(name, lambda role: self._inci(name, role, done, back), back)

        self._nav.ask_text(tr("What is it called on its container?"), named, back)

    def _role(self, name: str, done: Picked, back: Callable[[], None], number: int = 0) -> None:
        from benchapp.recipes.usual_phases import USUAL_PHASE

        turn = partial(self._role, name, done, back)
        paging = Paging(back, turn, number)
        self._nav.ask_choice(tr("What is {name} for?", name=name), tuple(USUAL_PHASE), done, paging)

    def _inci(self, name: str, role: str, done: Picked, back: Callable[[], None]) -> None:
        def typed(inci: str) -> None:
            given = {"role": role, "inci": inci}
            self._recipes.ask(lambda desk: desk.materials.put(name, given), lambda _: done(name), back)

        self._nav.ask_text(tr("Its INCI name, from its papers"), typed, back)

    # --- the shelf ---------------------------------------------------------------------------------------

    def shelf(self, number: int = 0) -> None:
        """Everything on it."""
        nav = self._nav
        more: list[ButtonSpec] = [(tr("Add materials"), self._add, "plain")]
        paging = Paging(self._back, self.shelf, number)
        self._recipes.ask(
            lambda desk: desk.materials.known(),
            lambda known: nav.show(
                materials_page(
                    nav.sizes, "Materials", _to_do_first(known), self.material, paging, more, mended=True
                )
            ),
            self._back,
        )

    def _add(self) -> None:
        new = partial(self._enter, self.material, self._add)
        rows = [
            RowSpec(tr("A new one"), new, tr("You type what its papers say.")),
            RowSpec(tr("From a recipe"), self._procedures, tr("Its materials, with what it says of them.")),
            RowSpec(tr("From a sheet"), self._sheets, tr("A file with a row for each material.")),
        ]
        self._nav.show(RowsPage(self._nav.sizes, tr("Where are they from?"), rows, Paging(self.shelf)))

    def _sheets(self) -> None:
        """Every material of a sheet; what became of each row."""

        def shown(found: Sheet) -> None:
            self._nav.tell(tr("From the sheet"), found.lines, self.shelf)

        SheetFiles(self._recipes, self.shelf).pick(
            lambda path: self._recipes.ask(lambda desk: desk.materials.bring_in(path), shown, self.shelf)
        )

    def _procedures(self, number: int = 0) -> None:
        def picked(name: str) -> None:
            self._recipes.write(lambda desk: desk.materials.take_over(name), self.shelf)

        paging = Paging(self.shelf, self._procedures, number)
        self._recipes.ask(
            lambda desk: desk.procedures(),
            lambda found: self._nav.ask_choice(tr("Materials of which recipe?"), found, picked, paging),
            self.shelf,
        )

    def material(self, name: str, number: int = 0, back: Callable[[], None] | None = None) -> None:
        """All that is known of one."""
        leave = back or self.shelf

        def shown(found: tuple[tuple[tuple[StepField, str], ...], tuple[str, ...]]) -> None:
            fields, notes = found
            by_name = {field.name: (field, value) for field, value in fields}

            def picked(what: str) -> None:
                self._field(name, *by_name[what], number, back)

            paging = Paging(leave, lambda to: self.material(name, to, back), number)
            rows = [(field.name, value) for field, value in fields]
            self._nav.show(
                fields_page(
                    self._nav.sizes,
                    FieldRows(name, rows, notes, _OF_SHEET if notes else ()),
                    picked,
                    paging,
                )
            )

        self._recipes.ask(lambda desk: _known_of(desk, name), shown, leave)

    def _field(
        self, name: str, field: StepField, value: str, number: int, back: Callable[[], None] | None
    ) -> None:
        again = partial(self.material, name, number, back)

        def put(answer: str | list[str]) -> None:
            text = "; ".join(answer) if isinstance(answer, list) else answer
            self._recipes.ask(lambda desk: _changed(desk, name, {field.name: text}), touched, again)

        def touched(said: tuple[str, ...]) -> None:
            if said:
                self._nav.tell(tr("{name} is changed", name=name), said, again)
            else:
                again()

        choices = ("yes", "no") if field.kind.value == "yes or no" else field.choices
        self._editor.ask(FieldRequest(field, value, choices, name), put, again)

    def of_line(self, key: str, name: str, back: Callable[[], None]) -> None:
        """What a line's material is: entered on the shelf, and from there into the recipe."""

        def refreshed() -> None:
            self._recipes.change(lambda desk: desk.refresh(key), back)

        def found(one: tuple[str, bool]) -> None:
            plain, there = one
            show = partial(self.material, number=0, back=refreshed)
            if there:
                show(plain)
            else:
                self._role(plain, lambda role: self._inci(plain, role, show, back), back)

        self._recipes.ask(lambda desk: desk.onto_shelf(key, name), found, back)


def _changed(desk: RecipeDesk, name: str, given: dict[str, str]) -> tuple[str, ...]:
    """A field changed; which procedures say otherwise now."""
    desk.materials.put(name, given)
    return desk.materials.touched_by(name, otherwise=True)


def _known_of(desk: RecipeDesk, name: str) -> tuple[tuple[tuple[StepField, str], ...], tuple[str, ...]]:
    return desk.materials.fields_of(name), desk.materials.not_known(name)


def _to_do_first(known: Sequence[KnownMaterial]) -> list[KnownMaterial]:
    """Those of which something is missing before the others."""
    return sorted(known, key=lambda m: m.hazards_known)
