"""An ingredient replaced for the next batch alone: which one, by what of the shelf, why, and who answers for it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.service.errors import CommandError

if TYPE_CHECKING:
    from benchapp.make.plan import Plan
    from benchapp.service.bench_service import BenchService
    from benchapp.service.substitution import SubstitutedProcedure
    from procedures.model import Procedure

#: Why an ingredient is replaced, to pick from: nothing here needs a keyboard.
WHY_REPLACED = (
    tr_noop("It is not to be had"), tr_noop("Its lot may not be used"), tr_noop("Too little of it is left"), tr_noop("A customer cannot bear it"),
    tr_noop("It is tried whether the other one does as well"),
)  # fmt: skip
#: Nothing is replaced after all.
AS_IT_SAYS = tr_noop("As the recipe says")


class ReplaceController:
    """From the size page of a recipe and back to it; ``size`` shows that."""

    def __init__(self, navigator: Navigator, size: Callable[[Procedure, float], None]) -> None:
        self._nav, self._size = navigator, size

    def ingredient(self, recipe: Procedure, batch_g: float, number: int = 0) -> None:
        """Which one is replaced; or none, where one was."""
        nav, back = self._nav, partial(self._size, recipe, batch_g)

        def read(shop: BenchService) -> tuple[bool, dict[str, str], bool]:
            replaced = shop.substitution(recipe.key) is not None
            return (
                replaced,
                _amounts(recipe, shop.plan(recipe.key, batch_g)[0]),
                bool(shop.desk().releasers()),
            )

        def shown(found: tuple[bool, dict[str, str], bool]) -> None:
            replaced, amounts, signed = found
            rows = [RowSpec(AS_IT_SAYS, partial(self._none, recipe, batch_g))] if replaced else []
            rows += [
                RowSpec(name, partial(self._material, recipe, batch_g, name), figure=amount)
                for name, amount in amounts.items()
            ]
            paging = Paging(back, partial(self.ingredient, recipe, batch_g), number)
            who = tr("For the batch you begin now. A releaser signs for it.")
            said = who if signed else tr("For the batch you begin now. Its record will say so.")
            title = tr("Replace what?")
            nav.show(RowsPage(nav.sizes, title, rows, paging, said=[(said, False)]))

        nav.fetch(read, shown)

    def _none(self, recipe: Procedure, batch_g: float) -> None:
        self._nav.fetch(lambda shop: shop.as_it_says(recipe.key), lambda _: self._size(recipe, batch_g))

    def _material(self, recipe: Procedure, batch_g: float, old: str, number: int = 0) -> None:
        """By what of the shelf."""
        nav, back = self._nav, partial(self.ingredient, recipe, batch_g)

        def shown(names: tuple[str, ...]) -> None:
            rows = [
                RowSpec(n, partial(self._look, recipe, batch_g, old, n))
                for n in names
                if n.casefold() != old.casefold()
            ]
            paging = Paging(back, partial(self._material, recipe, batch_g, old), number)
            none = tr("Nothing else is on the shelf of materials. Enter it there first.")
            said = [] if rows else [(none, False)]
            nav.show(RowsPage(nav.sizes, tr("{old}: replaced by what?", old=old), rows, paging, said=said))

        nav.fetch(lambda shop: shop.substitutes(), shown)

    def _look(self, recipe: Procedure, batch_g: float, old: str, new: str, number: int = 0) -> None:
        """What has to be looked at because of it, and why it is replaced; or why it cannot be."""
        nav, back = self._nav, partial(self._material, recipe, batch_g, old)

        def read(shop: BenchService) -> tuple[SubstitutedProcedure | None, str, tuple[str, ...]]:
            try:
                found = shop.substituted(recipe.key, old, new)
            except CommandError as error:
                return None, str(error), ()
            return found, " ".join(found.to_look_at), shop.desk().releasers()

        def shown(read: tuple[SubstitutedProcedure | None, str, tuple[str, ...]]) -> None:
            found, said, releasers = read
            if found is None:
                nav.message(said, back)
                return
            done = partial(self._signed, found, batch_g, releasers)
            paging = Paging(back, partial(self._look, recipe, batch_g, old, new), number)
            title = tr("{words}: why?", words=found.substitution.words)
            nav.ask_choice(title, WHY_REPLACED, done, paging, said)

        nav.fetch(read, shown)

    def _signed(
        self, found: SubstitutedProcedure, batch_g: float, releasers: tuple[str, ...], reason: str
    ) -> None:
        """Who answers for it; the maker where nobody is enrolled."""
        nav, back = self._nav, partial(self._size, found.master, batch_g)

        def approve(who: str, pin: str) -> None:
            nav.write(lambda shop: _approved(shop, found, reason, who, pin), back)

        if not releasers:
            nav.write(lambda shop: _approved(shop, found, reason, shop.maker, ""), back)
            return
        nav.ask_signature(
            releasers, tr("I approve {words} in this batch", words=found.substitution.words), approve, back
        )


def _amounts(recipe: Procedure, plan: Plan) -> dict[str, str]:
    """How much of each material is weighed, all its lines together; "" of what is added as needed."""
    grams: dict[str, float] = {}
    for x in recipe.formula.lines:
        found = plan.weighings.get(x.key)
        grams[x.material.name] = grams.get(x.material.name, 0.0) + (
            found.target_g if found is not None else 0.0
        )
    return {
        name: tr("{grams} g", grams=f"{round(whole, 2):g}") if whole else "" for name, whole in grams.items()
    }


def _approved(shop: BenchService, found: SubstitutedProcedure, reason: str, who: str, pin: str) -> str:
    """The sentence of how it went."""
    try:
        return shop.substitute(found, reason, who, pin)
    except CommandError as error:
        return str(error)
