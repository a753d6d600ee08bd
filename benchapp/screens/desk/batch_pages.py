"""Batches that were made: the list, one of them, its record."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import capitalised, tr, tr_noop, translated
from benchapp.screens.desk.list_filter import ListFilter
from benchapp.screens.desk.release_pages import check_line
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day, product_named
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.rows_page import RowsPage, RowSpec
from benchapp.screens.widgets.surface import Area

if TYPE_CHECKING:
    from benchapp.record.journal import BatchLine
    from benchapp.service.desk_facts import BatchFacts


PAST = tr_noop("Past batches")


class BatchKind(ListFilter):
    """Which past batches are listed."""

    ALL = "all"
    MADE = "made"
    REHEARSED = "rehearsed"

    def holds(self, b: BatchLine) -> bool:
        """Whether a batch is of this kind."""
        match self:
            case BatchKind.ALL:
                return True
            case BatchKind.MADE:
                return not b.rehearsal
            case BatchKind.REHEARSED:
                return b.rehearsal


@dataclass(frozen=True, slots=True)
class PastBatches:
    """Batches of a kind, newest first; ``practised`` says what scenario some of them rehearsed."""

    batches: Sequence[BatchLine]
    practised: Mapping[str, str]
    kind: BatchKind = BatchKind.ALL


@dataclass(frozen=True, slots=True)
class PastTurns:
    """Where the list leads to: another page of it, another kind of batch."""

    to: Callable[[int], None]
    other_kind: Callable[[], None]


def past_page(sizes: Sizes, past: PastBatches, number: int, turns: PastTurns, routes: Routes) -> RowsPage:
    """A page of them: product and day, how it stands, and what came of it."""
    more: list[ButtonSpec] = [
        (tr("Show: {value}", value=past.kind.value), turns.other_kind, "plain"), ("Lots", routes.lots, "plain"),
        (tr("To release"), routes.undecided, "plain"),
    ]  # fmt: skip
    rows = [
        _past_row(b, past.practised.get(b.batch, ""), partial(routes.batch, b.batch)) for b in past.batches
    ]
    said = [] if rows else [(tr("Nothing of this kind has been made here yet."), False)]
    return RowsPage(sizes, PAST, rows, Paging(routes.home, turns.to, number), more, said)


def _past_row(b: BatchLine, practised: str, act: Callable[[], None]) -> RowSpec:
    state = b.decision or b.end or "unfinished"
    what = (
        tr("practised: {practised}", practised=practised)
        if practised
        else tr("rehearsal, {state}", state=state)
        if b.rehearsal
        else state
    )
    made = f"{100 * b.product_g / b.batch_g:.1f} %" if b.product_g and b.batch_g and not b.rehearsal else ""
    wrong = b.decision == "rejected" or (b.end == "abandoned" and not b.rehearsal)
    about = ", ".join(part for part in (day(b.wall) if b.wall else "", what, f"{b.batch_g:g} g") if part)
    return RowSpec(product_named(b.procedure), act, f"{about}; {b.batch}", made, wrong)


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
        ("Back", links.back, "plain"), (tr("Its record"), links.record, "plain"),
        (tr("What is in it"), links.contents, "plain"),
        ("Release", links.release, "plain"),
        (tr("Make this again"), links.again, "main"),
    ])  # fmt: skip
    _standing(page, b)
    more: list[ButtonSpec] = [
        (tr("Beside another batch"), links.compare, "plain"),
        (tr("The trend of its yield"), links.trend, "plain"),
    ]
    row = page.low + sizes.action
    page.grid(more, 2, Area(page.left, page.low, page.wide, row))
    page.low = row + sizes.gap
    now = [(check_line(c), d.CORAL) for c in b.checks if c.state in ("due", "failed")]
    later = [(check_line(c), d.INK) for c in b.checks if c.state not in ("due", "failed")]
    lines = [*now, *((tr("Deviation {text}", text=text), d.INK) for text in b.deviations), *later]
    page.listed_large(lines)
    return page


def _standing(page: Page, b: BatchFacts) -> None:
    """What it is and how it stands: the state large, then who, how much, how many."""
    line, s = b.line, page.sizes
    state = line.decision or line.end or "unfinished"
    page.line(
        capitalised(tr("A rehearsal, {state}", state=state) if line.rehearsal else translated(state)),
        s.line,
        bold=True,
    )
    made = (
        f"{line.product_g:.1f} g, {100 * line.product_g / line.batch_g:.1f} %"
        if line.product_g and line.batch_g
        else ""
    )
    facts = (
        made,
        tr("of {batch_g:g} g planned", batch_g=line.batch_g),
        tr("{containers} containers", containers=line.containers),
        tr("by {maker}", maker=line.maker),
        tr("batch {batch}", batch=line.batch),
    )
    page.line(" · ".join(fact for fact in facts if fact), s.note)


def heading(line: BatchLine) -> str:
    """A batch as a person names it: the product and the day."""
    return f"{product_named(line.procedure)}{f', {day(line.wall)}' if line.wall else ''}"


def _practised_page(page: Page, b: BatchFacts, links: BatchLinks) -> Page:
    """A rehearsal of a scenario: what it was and how it ended; there is nothing to release."""
    buttons: list[ButtonSpec] = [
        ("Back", links.back, "plain"),
        (tr("Its record"), links.record, "plain"),
        (tr("How it went"), links.debrief, "main"),
    ]
    page.bottom(buttons)
    page.line(tr("Practised: {practised}.", practised=b.practised), page.sizes.note, bold=True)
    page.line(
        tr(
            "{batch_g:g} g of {procedure} on a simulated bench; nothing of it leaves.",
            batch_g=b.line.batch_g,
            procedure=b.line.procedure,
        ),
        page.sizes.note,
    )
    return page
