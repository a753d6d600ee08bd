"""Which procedure, and how much of it: each page's data is read in the background, then shown."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from benchapp.calculations.scaling import batch_for_bottles_g
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.view_model import NumberRequest
from benchapp.screens.bench.recipe_pages import SizeActions, SizedRecipe, shelf_page, size_page, sizes_page
from benchapp.screens.bench.replace_controller import ReplaceController
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.pager import Paging
from procedures.phrases import plural

if TYPE_CHECKING:
    from benchapp.service.bench_service import BenchService
    from procedures.model import Procedure


#: Why a procedure is changed, to pick from: nothing here needs a keyboard.
WHY_CHANGED = (
    tr_noop("A trial has shown that it is better"), tr_noop("An ingredient is no longer to be had"), tr_noop("The law or a supplier's limit changed"),
    tr_noop("A deviation has shown what was wrong"), tr_noop("Only the wording is clearer"),
)  # fmt: skip


class RecipeController:
    """The shelf, and the size of a batch."""

    def __init__(self, navigator: Navigator) -> None:
        self._nav = navigator
        self._replacing = ReplaceController(navigator, self.size)

    def shelf(self, number: int = 0) -> None:
        """Every procedure on it."""
        nav = self._nav
        paging = Paging(nav.routes.home, self.shelf, number)
        nav.open(
            lambda shop: shop.shelf(),
            lambda cards: shelf_page(nav.sizes, cards, self.usual_size, nav.routes, paging),
            tr("Reading the shelf."),
        )

    def usual_size(self, recipe: Procedure) -> None:
        """The usual size first."""
        self.size(recipe, recipe.default_batch_g)

    def size(self, recipe: Procedure, batch_g: float) -> None:
        """One size of it."""
        nav = self._nav

        def planned(sized: SizedRecipe) -> None:
            replaces = partial(self._replacing.ingredient, recipe, batch_g)
            actions = SizeActions(
                partial(self.sizes, recipe, batch_g), partial(self.approve, sized), replaces
            )
            nav.show(size_page(nav.sizes, sized, actions, nav.routes))

        def read(shop: BenchService) -> SizedRecipe:
            found = SizedRecipe(
                recipe,
                batch_g,
                *shop.plan(recipe.key, batch_g),
                unread=shop.makes.unread_before(recipe.key, batch_g, shop.simulated),
            )
            if (said := shop.substitution(recipe.key)) is not None:
                found = replace(found, replaced=said.substitution.words)
            if shop.simulated:  # what is rehearsed leaves by no version
                return found
            desk = shop.desk()
            version, changed = desk.version_words(recipe), desk.change_words(recipe)
            return replace(found, version=version, changed=changed, releasers=desk.releasers())

        nav.fetch(read, planned)

    def approve(self, sized: SizedRecipe) -> None:
        """The version for batches that leave: why it is changed, and who says so."""
        nav, recipe = self._nav, sized.recipe
        back = partial(self.size, recipe, sized.batch_g)

        def reasoned(reason: str) -> None:
            def signed(who: str, pin: str) -> None:
                nav.write(lambda shop: shop.desk().approve_master(recipe, reason, who, pin), back)

            nav.ask_signature(
                sized.releasers, tr("I approve this version of {name}", name=recipe.name), signed, back
            )

        if not sized.changed:  # the first
            reasoned("")
        else:
            title = tr("Why is it changed?")
            nav.ask_choice(title, WHY_CHANGED, reasoned, Paging(back), sized.changed)

    def sizes(self, recipe: Procedure, batch_g: float) -> None:
        """Which other size."""
        nav, back = self._nav, partial(self.size, recipe, batch_g)
        bottles = partial(self.bottles, recipe, batch_g)
        nav.show(sizes_page(nav.sizes, recipe, partial(self.size, recipe), bottles, Paging(back)))

    def bottles(self, recipe: Procedure, batch_g: float) -> None:
        """The size by how many containers of what content."""
        back, thing = partial(self.sizes, recipe, batch_g), recipe.container

        def count(content_g: float) -> None:
            self._nav.ask_number(
                NumberRequest(
                    tr("how many {plural} of {content_g:g} g?", plural=plural(thing), content_g=content_g),
                    plural(thing),
                    1,
                    500,
                    0,
                    True,
                ),
                lambda n: self.size(recipe, _for_bottles(recipe, n, content_g)),
                back,
            )

        self._nav.ask_number(
            NumberRequest(tr("how much goes into one {thing}?", thing=thing), "g", 5, 1000, 1, True),
            count,
            back,
        )


def _for_bottles(recipe: Procedure, count: float, content_g: float) -> float:
    """Grams for so many bottles and what the procedure says stays in pots, within what it allows."""
    wanted = batch_for_bottles_g(int(count), content_g, recipe.loss_percent)
    return min(max(wanted, recipe.batch_g.low), recipe.batch_g.high)
