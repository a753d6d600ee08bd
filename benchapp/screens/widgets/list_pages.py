"""Pages to pick from: one of a few words, or one row of a long list."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging


def choice_page(
    sizes: Sizes,
    title: str,
    choices: Sequence[str],
    done: Callable[[str], None],
    paging: Paging,
    note: str = "",
) -> Page:
    """One of these, in words, under a ``note`` of what they are about; where they are more than fit on one page, one press goes round all of them."""
    page = Page(sizes, title)
    if note:
        page.line(note, sizes.small)
    below = [paging.back_button]
    if paging.turn is not None:
        page.low = page.above_bottom
        room = page.rows_that_fit() * (1 if sizes.panel.portrait else 2)
        pages, number = -(-len(choices) // room), paging.number
        choices = choices[number * room : (number + 1) * room]
        below += paging.round(number, pages)
    page.bottom(below)
    page.stack([(choice, partial(done, choice), "plain") for choice in choices])
    return page


def list_page(
    sizes: Sizes,
    title: str,
    rows: Sequence[tuple[str, Callable[[], None]]],
    paging: Paging,
    note: str = "",
) -> Page:
    """Rows to press, a page at a time, under a ``note`` of what they are about."""
    page = Page(sizes, title)
    if note:
        page.line(note, sizes.small)
    page.paged(lambda: paging.part(rows, page.rows_that_fit())[1])
    part, _ = paging.part(rows, page.rows_that_fit())
    page.stack([(label, act, "plain") for label, act in part], long=True)
    return page
