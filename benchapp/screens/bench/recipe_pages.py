"""What will be made, and how much of it: the shelf, and the weigh sheet of a size."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_n
from benchapp.make.waits import hours
from benchapp.screens.bench.weigh_sheet import draw_weigh_sheet
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import batches_in_words, short_day
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import ROOMY_PX, Page, body_size
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.sentence_rows import WholeRows
from benchapp.screens.widgets.text_label import TextLabel, natural_wide
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
    """A row for each procedure on the shelf, first what there is enough for and was made before: its usual size, how much there is to weigh, when
    it was last made and how long that took; or what is short."""
    rows = [
        RowSpec(card.recipe.name, partial(pick, card.recipe), _card(card))
        for card in sorted(cards, key=lambda card: (bool(card.short), not card.last))
    ]
    more: list[ButtonSpec] = [("Practise", routes.practices, "plain")]
    return WholeRows(sizes, tr("What will you make?"), rows, paging, more)


def _card(card: ShelfCard) -> str:
    """What helps to choose it, the same of each."""
    if card.short:
        first, *others = card.short
        if others:
            return tr("too little {names} and {more} more", names=first, more=len(others))
        return tr("too little {names}", names=first)
    parts = [
        tr("{grams:g} g", grams=card.recipe.default_batch_g),
        _counted(card.recipe),
        _made(card),
    ]
    return " · ".join(part.replace(" ", "\u00a0") for part in parts)


def _counted(recipe: Procedure) -> str:
    """How many ingredients there are to weigh, as on the weigh sheet, and how many more may be needed."""
    lines = recipe.formula.lines
    weighed = len({x.whole_name for x in lines if x.cap_percent is None})
    needed = len({x.whole_name for x in lines if x.cap_percent is not None})
    said = tr_n("{n} ingredient", "{n} ingredients", n=weighed)
    return tr("{ingredients} + {n} as needed", ingredients=said, n=needed) if needed else said


def _made(card: ShelfCard) -> str:
    """When it was last made, and how long it takes."""
    if not card.last:
        return tr("not made yet")
    made = tr("last made {day}", day=short_day(card.last))
    return made if card.takes_s is None else tr("{made} in {hours}", made=made, hours=hours(card.takes_s))


@dataclass(frozen=True, slots=True)
class SizedRecipe:
    """A recipe in one size: its plan, a sentence for each thing that speaks against it, and what the law says;
    ``version`` is which approved one it is, ``changed`` what it changes against the last one, and ``releasers`` who may
    approve it, where that is asked; ``replaced`` is what is replaced in the next batch alone; ``unread``: earlier makes that foretell
    nothing, a sentence each."""

    recipe: Procedure
    batch_g: float
    plan: Plan
    problems: tuple[str, ...]
    law: tuple[str, ...]
    version: str = ""
    changed: str = ""
    releasers: tuple[str, ...] = ()
    replaced: str = ""
    unread: tuple[str, ...] = ()

    @property
    def trial(self) -> bool:
        """Whether what is made by it stays here."""
        return self.version == NOT_APPROVED


@dataclass(frozen=True, slots=True)
class SizeActions:
    """What the size page may lead to: the other sizes, approving the version, and replacing an ingredient in the next
    batch."""

    sizes: Callable[[], None]
    approve: Callable[[], None]
    replace: Callable[[], None]


class SizePage(Page):
    """Its title stands on one line where that can be: the sheet needs the room."""

    def _head(self, title: str) -> None:
        large = self.sizes.instruction
        fonts = (large, round(large * 0.9), round(large * 0.8), round(large * 0.7))
        font = next((f for f in fonts if natural_wide(title, f) <= self.wide), 0)
        if not font:
            super()._head(title)
        else:
            self.line(title, font, bold=True)


def size_page(sizes: Sizes, sized: SizedRecipe, actions: SizeActions, routes: Routes) -> Page:
    """The size, its weigh sheet, which version it is and what speaks against it."""
    recipe, batch_g = sized.recipe, sized.batch_g
    page = SizePage(
        sizes,
        tr(
            "{name}: {batch_g:g} g{how}",
            name=recipe.name,
            batch_g=batch_g,
            how=tr(", a trial") if sized.trial else "",
        ),
    )
    buttons: list[ButtonSpec] = [("Back", routes.recipes, "plain")]
    buttons.append((tr("Another size"), actions.sizes, "plain"))
    buttons.append((tr("Replace an ingredient"), actions.replace, "plain"))
    if sized.trial and sized.releasers:
        buttons.append((tr("Sign it"), actions.approve, "plain"))
    if not sized.problems:
        word = tr("Begin a trial") if sized.trial else "Begin"
        buttons.append((word, partial(routes.begin, recipe.key, batch_g), "main"))
    page.bottom(buttons)
    *passed, silent = sized.law
    roomy = page.panel.height >= ROOMY_PX
    said = silent if roomy else f"{_counted(recipe)}. {silent}"  # nobody may overlook it
    page.at_foot(TextLabel(said, sizes.note if roomy else sizes.small, d.INK))
    if sized.replaced:
        page.line(tr("In this batch alone: {replaced}.", replaced=sized.replaced), sizes.note, bold=True)
    for problem in sized.problems:
        page.line(problem, sizes.note, color=d.CORAL)
    unread = map(batches_in_words, sized.unread)
    page.listed(
        [TextLine(said, True, d.CORAL) for said in (*sized.plan.warnings, *passed, *unread)], sizes.small
    )
    page.line(sized.version, body_size(sizes), bold=sized.trial)
    page.pen_y -= sizes.gap * 0.5
    draw_weigh_sheet(page, sized.plan)
    return page


def sizes_page(
    sizes: Sizes,
    recipe: Procedure,
    pick: Callable[[float], None],
    bottles: Callable[[], None],
    paging: Paging,
) -> RowsPage:
    """The sizes a recipe is made in, from the smallest on, and any other by how many containers it is to fill."""
    said = {
        recipe.batch_g.low: tr("the smallest"),
        recipe.batch_g.high: tr("the largest"),
        recipe.default_batch_g: tr("as usual"),
    }
    rows = [
        RowSpec(tr("{grams:g} g", grams=grams), partial(pick, grams), how)
        for grams, how in sorted(said.items())
    ]
    many = plural(recipe.container)
    asked = tr("You say how many, and how much goes into each.")
    rows.append(RowSpec(tr("By {plural}", plural=many), bottles, asked))
    return RowsPage(sizes, tr("{name}: how much?", name=recipe.name), rows, paging)
