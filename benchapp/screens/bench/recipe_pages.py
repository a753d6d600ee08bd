"""What will be made, and how much of it: the shelf, and the weigh sheet of a size."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page

if TYPE_CHECKING:
    from benchapp.make.plan import Plan
    from procedures.model import Procedure


def shelf_page(
    sizes: Sizes, recipes: Sequence[Procedure], pick: Callable[[Procedure], None], routes: Routes
) -> Page:
    """Every procedure on the shelf."""
    page = Page(sizes, "What will you make?")
    page.bottom([("Back", routes.home, "plain"), ("Practise", routes.practices, "plain")])
    page.fill([(r.name, partial(pick, r), "plain") for r in recipes])
    return page


@dataclass(frozen=True, slots=True)
class SizedRecipe:
    """A recipe in one size: its plan, a sentence for each thing that speaks against it, and what the law says."""

    recipe: Procedure
    batch_g: float
    plan: Plan
    problems: tuple[str, ...]
    law: tuple[str, ...]


def size_page(sizes: Sizes, sized: SizedRecipe, bottles: Callable[[], None], routes: Routes) -> Page:
    """The size, its weigh sheet and what speaks against it; ``bottles`` asks how many there shall be."""
    recipe, batch_g = sized.recipe, sized.batch_g
    page = Page(sizes, f"{recipe.name}: {batch_g:g} g")
    steps = sorted({recipe.batch_g.low, recipe.default_batch_g, recipe.batch_g.high})
    buttons: list[ButtonSpec] = [("Back", routes.recipes, "plain")]
    buttons += [(f"{g:g} g", partial(routes.size, recipe, g), "plain") for g in steps if g != batch_g]
    buttons.append(("By bottles", bottles, "plain"))
    if not sized.problems:
        buttons.append(("Begin", partial(routes.begin, recipe.key, batch_g), "main"))
    page.bottom(buttons)
    for problem in sized.problems:
        page.line(problem, sizes.note, color=d.CORAL)
    *passed, silent = sized.law
    page.listed(
        [(said, d.CORAL) for said in (*sized.plan.warnings, *passed)], sizes.small, bold=True, keep=silent
    )
    _weigh_sheet(page, sized.plan)
    return page


def _weigh_sheet(page: Page, plan: Plan) -> None:
    """As many weighings as there is room for, and how many more there are."""
    from benchapp.make.plan import decimals_of

    sizes = page.sizes
    lines = [
        f"{w.target_g:.{decimals_of(w.device)}f} g  {w.line.name}  ({w.device.name if w.device else 'by hand'})"
        for w in plan.weighings.values()
    ]
    fits = len(lines) * (sizes.note * 1.2 + sizes.gap * 0.4) <= page.pen_y - page.low
    font = sizes.note if fits else sizes.small
    page.listed([(sizes.figures.text(line), d.INK) for line in lines], font)
