"""Batches that were made: the list, one of them, its record."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from benchapp.screens.desk.release_pages import check_line
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day, product_named
from benchapp.screens.display.phrases import batch_line
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.surface import Area

if TYPE_CHECKING:
    from benchapp.record.journal import BatchLine
    from benchapp.service.desk_facts import BatchFacts


@dataclass(frozen=True, slots=True)
class PastBatches:
    """Batches, newest first; ``practised`` says what scenario some of them rehearsed."""

    batches: Sequence[BatchLine]
    practised: Mapping[str, str]


def past_page(
    sizes: Sizes, past: PastBatches, number: int, turn: Callable[[int], None], routes: Routes
) -> Page:
    """A page of them."""
    page = Page(sizes, "Past batches")
    rows = past_rows(sizes)
    newer, older = number > 0, len(past.batches) > (number + 1) * rows
    page.bottom([
        ("Back", routes.home, "plain"), ("Lots", routes.lots, "plain"), ("To release", routes.undecided, "plain"),
        *([("Newer" if newer else "", partial(turn, number - 1), "plain"),
           ("Older" if older else "", partial(turn, number + 1), "plain")] if newer or older else []),
    ])  # fmt: skip
    part = past.batches[number * rows : (number + 1) * rows]
    if not part:
        page.line("No more batches." if number else "Nothing has been made here yet.", sizes.note)
        return page
    buttons: list[ButtonSpec] = [
        (batch_line(b, past.practised.get(b.batch, "")), partial(routes.batch, b.batch), "plain")
        for b in part
    ]
    page.grid(buttons, 1, page.room)
    return page


def past_rows(sizes: Sizes) -> int:
    """How many batches stand on one page."""
    page = Page(sizes, "Past batches")
    page.low = page.above_bottom
    return page.rows_that_fit()


@dataclass(frozen=True, slots=True)
class BatchLinks:
    """What one batch's page leads to."""

    back: Callable[[], None]
    record: Callable[[], None]
    contents: Callable[[], None]
    release: Callable[[], None]
    again: Callable[[], None]
    compare: Callable[[], None]
    trend: Callable[[], None]
    debrief: Callable[[], None]


def batch_page(sizes: Sizes, b: BatchFacts, links: BatchLinks) -> Page:
    """One batch: how it stands, and everything that can be asked of it."""
    line = b.line
    page = Page(sizes, heading(line))
    if b.practised:
        return _practised_page(page, b, links)
    page.bottom([
        ("Back", links.back, "plain"), ("Its record", links.record, "plain"),
        ("What is in it", links.contents, "plain"),
        ("Release", links.release, "plain"),
        ("Make this again", links.again, "main"),
    ])  # fmt: skip
    _standing(page, b)
    more: list[ButtonSpec] = [
        ("Beside another batch", links.compare, "plain"),
        ("The trend of its yield", links.trend, "plain"),
    ]
    row = page.low + sizes.action
    page.grid(more, 2, Area(page.left, page.low, page.wide, row))
    page.low = row + sizes.gap
    now = [(check_line(c), d.CORAL) for c in b.checks if c.state in ("due", "failed")]
    later = [(check_line(c), d.INK) for c in b.checks if c.state not in ("due", "failed")]
    lines = [*now, *((f"Deviation {text}", d.INK) for text in b.deviations), *later]
    page.listed_large(lines)
    return page


def _standing(page: Page, b: BatchFacts) -> None:
    """What it is and how it stands: the state large, then who, how much, how many."""
    line, s = b.line, page.sizes
    state = line.decision or line.end or "unfinished"
    page.line(f"{'A rehearsal, ' if line.rehearsal else ''}{state}".capitalize(), s.line, bold=True)
    made = (
        f"{line.product_g:.1f} g, {100 * line.product_g / line.batch_g:.1f} %"
        if line.product_g and line.batch_g
        else ""
    )
    facts = (
        made,
        f"of {line.batch_g:g} g planned",
        f"{line.containers} containers",
        f"by {line.maker}",
        f"batch {line.batch}",
    )
    page.line(" · ".join(fact for fact in facts if fact), s.note)


def heading(line: BatchLine) -> str:
    """A batch as a person names it: the product and the day."""
    return f"{product_named(line.procedure)}{f', {day(line.wall)}' if line.wall else ''}"


def _practised_page(page: Page, b: BatchFacts, links: BatchLinks) -> Page:
    """A rehearsal of a scenario: what it was and how it ended; there is nothing to release."""
    buttons: list[ButtonSpec] = [
        ("Back", links.back, "plain"),
        ("Its record", links.record, "plain"),
        ("How it went", links.debrief, "main"),
    ]
    page.bottom(buttons)
    page.line(f"Practised: {b.practised}.", page.sizes.note, bold=True)
    page.line(
        f"{b.line.batch_g:g} g of {b.line.procedure} on a simulated bench; nothing of it leaves.",
        page.sizes.note,
    )
    return page
