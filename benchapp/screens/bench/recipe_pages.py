"""What will be made, and how much of it: the shelf, and the weigh sheet of a size."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.make.waits import hours
from benchapp.screens.bench.weigh_sheet import draw_weigh_sheet
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page, body_size
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.wording import NOT_APPROVED
from procedures.phrases import plural

if TYPE_CHECKING:
    from benchapp.make.plan import Plan
    from benchapp.service.desk_facts import ShelfCard
    from procedures.model import Procedure


def shelf_page(
    sizes: Sizes,
    cards: Sequence[ShelfCard],
    pick: Callable[[Procedure], None],
    routes: Routes,
    paging: Paging,
) -> RowsPage:
    """A row for each procedure on the shelf: its usual size, how long it takes, when it was last made, what is short."""
    rows = [RowSpec(card.recipe.name, partial(pick, card.recipe), _card(card)) for card in cards]
    more: list[ButtonSpec] = [("Practise", routes.practices, "plain")]
    return RowsPage(sizes, tr("What will you make?"), rows, paging, more)


def _card(card: ShelfCard) -> str:
    """What helps to choose it: what is short first, its usual size, how long it takes or how much there is to weigh, and
    when it was last made."""
    parts = []
    if card.short:
        first, *others = card.short
        parts.append(
            tr("too little {names} and {more} more", names=first, more=len(others))
            if others
            else tr("too little {names}", names=first)
        )
    parts.append(tr("usually {grams:g} g", grams=card.recipe.default_batch_g))
    if card.takes_s is not None:
        parts.append(hours(card.takes_s))
    elif not card.short:
        parts.append(tr("{count} ingredients", count=len(card.recipe.formula.lines)))
    if card.last:
        parts.append(tr("last made {day}", day=day(card.last)))
    return " · ".join(part.replace(" ", "\u00a0") if len(part) < 24 else part for part in parts)


@dataclass(frozen=True, slots=True)
class SizedRecipe:
    """A recipe in one size: its plan, a sentence for each thing that speaks against it, and what the law says;
    ``version`` is which approved one it is, ``changed`` what it changes against the last one, and ``releasers`` who may
    approve it, where that is asked; ``replaced`` is what is replaced in the next batch alone."""

    recipe: Procedure
    batch_g: float
    plan: Plan
    problems: tuple[str, ...]
    law: tuple[str, ...]
    version: str = ""
    changed: str = ""
    releasers: tuple[str, ...] = ()
    replaced: str = ""

    @property
    def trial(self) -> bool:
        """Whether what is made by it stays here."""
        return self.version == NOT_APPROVED


@dataclass(frozen=True, slots=True)
class SizeActions:
    """What the size page may lead to: how many containers there shall be, approving the version, and
    replacing an ingredient in the next batch."""

    bottles: Callable[[], None]
    approve: Callable[[], None]
    replace: Callable[[], None]


def size_page(sizes: Sizes, sized: SizedRecipe, actions: SizeActions, routes: Routes) -> Page:
    """The size, its weigh sheet, which version it is and what speaks against it."""
    recipe, batch_g = sized.recipe, sized.batch_g
    page = Page(
        sizes,
        tr(
            "{name}: {batch_g:g} g{how}",
            name=recipe.name,
            batch_g=batch_g,
            how=tr(", a trial") if sized.trial else "",
        ),
    )
    steps = sorted({recipe.batch_g.low, recipe.default_batch_g, recipe.batch_g.high})
    buttons: list[ButtonSpec] = [("Back", routes.recipes, "plain")]
    buttons += [(f"{g:g} g", partial(routes.size, recipe, g), "plain") for g in steps if g != batch_g]
    buttons.append((tr("By {plural}", plural=plural(recipe.container)), actions.bottles, "plain"))
    buttons.append(("Replace", actions.replace, "plain"))
    if sized.trial and sized.releasers:
        buttons.append((tr("Sign it"), actions.approve, "plain"))
    if not sized.problems:
        word = tr("Begin a trial") if sized.trial else "Begin"
        buttons.append((word, partial(routes.begin, recipe.key, batch_g), "main"))
    while len(buttons) > 3 and buttons[1][0].endswith(" g") and not page.in_one_row(buttons):
        del buttons[1]  # the sheet needs the room, and any size can be had by containers
    page.bottom(buttons)
    if sized.replaced:
        page.line(tr("In this batch alone: {replaced}.", replaced=sized.replaced), sizes.note, bold=True)
    for problem in sized.problems:
        page.line(problem, sizes.note, color=d.CORAL)
    *passed, silent = sized.law
    page.listed(
        [TextLine(said, True, d.CORAL) for said in (*sized.plan.warnings, *passed)], sizes.small, keep=silent
    )
    page.line(sized.version, body_size(sizes), bold=sized.trial)
    draw_weigh_sheet(page, sized.plan)
    return page
