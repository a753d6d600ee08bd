"""What will be made, and how much of it: the shelf, and the weigh sheet of a size."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high
from benchapp.service.wording import NOT_APPROVED, hours
from procedures.phrases import plural

if TYPE_CHECKING:
    from benchapp.make.plan import Plan, Weighing
    from benchapp.service.desk_facts import ShelfCard
    from procedures.model import Procedure


def shelf_page(
    sizes: Sizes,
    cards: Sequence[ShelfCard],
    pick: Callable[[Procedure], None],
    routes: Routes,
    paging: Paging,
) -> Page:
    """A card for each procedure on the shelf: its usual size, how long it takes, when it was last made, what is short."""
    page = Page(sizes, tr("What will you make?"))

    def part() -> tuple[Sequence[ShelfCard], list[ButtonSpec]]:
        return paging.part(cards, page.rows_that_fit() * (1 if sizes.panel.portrait else 2))

    page.paged(lambda: [*part()[1], ("Practise", routes.practices, "plain")])
    some, _ = part()
    page.fill(
        [(card.recipe.name, partial(pick, card.recipe), "plain") for card in some],
        [_card(card) for card in some],
        [_card_in_brief(card) for card in some],
    )
    return page


#: So many things that there is too little of are named on a card.
MOST_SHORT = 2


def _card(card: ShelfCard) -> str:
    """What helps to choose it."""
    recipe = card.recipe
    parts = [f"{recipe.default_batch_g:g} g"]
    if card.takes_s is None:
        parts.append(tr("{count} ingredients", count=len(recipe.formula.lines)))
    else:
        parts.append(hours(card.takes_s))
    parts.append(tr("last made {day}", day=day(card.last)) if card.last else tr("not made here yet"))
    if card.short:
        more = len(card.short) - MOST_SHORT
        parts.append(
            tr(
                "too little {names}{how}",
                names=", ".join(card.short[:MOST_SHORT]),
                how=tr(" and {more} more", more=more) if more > 0 else "",
            )
        )
    return ", ".join(parts)


def _card_in_brief(card: ShelfCard) -> str:
    """The same where there is little room."""
    parts = [f"{card.recipe.default_batch_g:g} g"]
    parts += [hours(card.takes_s)] if card.takes_s is not None else []
    parts += [tr("short of {count}", count=len(card.short))] if card.short else []
    return ", ".join(parts)


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
        [(said, d.CORAL) for said in (*sized.plan.warnings, *passed)], sizes.small, bold=True, keep=silent
    )
    _weigh_sheet(page, sized.plan)
    if page.pen_y - page.low > wrapped_high(sized.version, sizes.small, sized.trial, int(page.wide)):
        page.line(sized.version, sizes.small, bold=sized.trial)
    return page


def _weigh_sheet(page: Page, plan: Plan) -> None:
    """As many weighings as there is room for, and how many more there are."""
    sizes = page.sizes
    cells = _weighing_cells(plan)
    short = [
        (grams, name.rpartition(", ")[0]) for grams, name in cells
    ]  # which scale is said when it is used
    for columns, font in ((1, sizes.line), (1, sizes.note), (2, sizes.note), (2, sizes.small)):
        if _aligned(page, cells, columns, font):
            return
    if any(_aligned(page, short, columns, sizes.small) for columns in (2, 3)):
        return
    page.listed([(sizes.figures.text(f"{grams}  {name}"), d.INK) for grams, name in cells], sizes.small)


def _weighing_cells(plan: Plan) -> list[tuple[str, str]]:
    """Each weighing's amount and what it is of; of kettles that all get as much, once."""
    from benchapp.make.plan import decimals_of

    alike: dict[tuple[str, str, str], list[Weighing]] = {}
    for w in plan.weighings.values():
        grams = f"{w.target_g:.{decimals_of(w.device)}f} g"
        alike.setdefault((grams, w.line.whole_name, _where(w)), []).append(w)
    cells: list[tuple[str, str]] = []
    for (grams, name, where), found in alike.items():
        of_all = len(found) == found[0].line.kettles
        each = f"{len(found)} × {grams}" if len(found) > 1 and of_all else grams
        cells += (
            [(each, f"{name}, {where}")] if of_all else [(grams, f"{w.line.name}, {where}") for w in found]
        )
    return cells


def _where(w: Weighing) -> str:
    return w.device.name if w.device else tr("by hand")


def _aligned(page: Page, cells: Sequence[tuple[str, str]], columns: int, font: int) -> bool:
    """Amounts ending on one line with their names beside them, in columns; False (and nothing drawn) where they have
    no room at that size."""
    s = page.sizes
    put = s.figures.text
    amount = max(TextLabel(put(grams), font, bold=True).natural()[0] for grams, _ in cells) + 2
    each = page.wide / columns
    name_wide = int(each - amount - 2 * s.gap)
    if name_wide < 7 * font:
        return False
    rows = -(-len(cells) // columns)
    highs = [
        max(wrapped_high(name, font, False, name_wide) for _, name in cells[n::rows]) + s.gap * 0.4
        for n in range(rows)
    ]  # fmt: skip
    if sum(highs) > page.pen_y - page.low:
        return False
    for n, (grams, name) in enumerate(cells):
        column, row = divmod(n, rows)
        x, top = page.left + column * each, page.pen_y - sum(highs[:row])
        figure, words = TextLabel(put(grams), font, bold=True, halign="right"), TextLabel(name, font)
        page.hang(figure, words)
        figure.place(x, top, amount)
        words.place(x + amount + s.gap, top, name_wide)
    page.pen_y -= sum(highs)
    return True
