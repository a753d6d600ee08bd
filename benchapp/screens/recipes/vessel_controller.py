"""The vessels of a recipe's method on the glass: how large each is; one added."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.recipes.draft import VESSEL
from benchapp.screens.recipes.field_editor import FieldEditor, FieldRequest
from benchapp.screens.recipes.field_rows import FieldRows, fields_page
from benchapp.screens.recipes.recipe_requests import RecipeRequests
from benchapp.screens.recipes.recipe_rows import vessels_page
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging

if TYPE_CHECKING:
    from benchapp.service.recipe_facts import DraftFacts
    from benchapp.service.recipe_methods import FieldFacts


class VesselController:
    """``method`` shows the steps, by the recipe's key."""

    def __init__(self, recipes: RecipeRequests, method: Callable[[str], None]) -> None:
        self._recipes, self._method = recipes, method
        self._nav = recipes.nav
        self._editor = FieldEditor(recipes.nav)

    def show(self, key: str, page: int = 0) -> None:
        """Those of the method."""
        paging = Paging(partial(self._method, key), partial(self.show, key), page)
        more: list[ButtonSpec] = [("Add", partial(self._new_vessel, key), "plain")]
        self._recipes.ask(
            lambda desk: desk.draft(key),
            lambda facts: self._nav.show(
                vessels_page(self._nav.sizes, facts, partial(self._vessel, key), paging, more)
            ),
            partial(self._method, key),
        )

    def _new_vessel(self, key: str) -> None:
        back = partial(self.show, key)

        def named(name: str) -> None:
            if not name:
                back()
                return
            self._recipes.ask(
                lambda desk: desk.add_vessel(key, name),
                lambda facts: self._vessel(key, len(facts.vessels) - 1),
                back,
            )

        self._nav.ask_text(tr("What do you call it?"), named, back, "")

    def _vessel(self, key: str, number: int, page: int = 0) -> None:
        """All that can be said of one vessel."""

        def shown(found: tuple[DraftFacts, tuple[FieldFacts, ...]]) -> None:
            facts, fields = found
            vessel, by_name = facts.vessels[number], {x.field.name: x for x in fields}
            paging = Paging(partial(self.show, key), partial(self._vessel, key, number), page)
            rows = FieldRows(vessel.name, [(x.field.name, x.value) for x in fields], vessel.faults)

            def picked(name: str) -> None:
                self._vessel_field(key, number, by_name[name])

            self._nav.show(fields_page(self._nav.sizes, rows, picked, paging))

        self._recipes.ask(
            lambda desk: (desk.unchanged(key, VESSEL, number), desk.vessel_fields(key, number)),
            shown,
            partial(self.show, key),
        )

    def _vessel_field(self, key: str, number: int, facts: FieldFacts) -> None:
        again = partial(self._vessel, key, number)

        def put(answer: str | list[str]) -> None:
            self._recipes.change(lambda desk: desk.set_vessel(key, number, {facts.field.name: answer}), again)

        self._editor.ask(FieldRequest(facts.field, facts.value, facts.choices), put, again)
