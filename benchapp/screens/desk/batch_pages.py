"""Batches that were made: the list, one of them, its record."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import capitalised, tr, tr_noop, translated
from benchapp.screens.desk.list_filter import ListFilter
from benchapp.screens.desk.release_pages import STATES, requirement
from benchapp.screens.display.dates import day, leaf, product_named
from benchapp.screens.display.phrases import standing_of
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from benchapp.record.deviations import Deviation
    from benchapp.record.journal import BatchLine
    from benchapp.record.release import DueCheck
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
    alike = Counter((b.procedure, b.wall[:10]) for b in past.batches)
    rows = [
        _past_row(
            b,
            past.practised.get(b.batch, ""),
            partial(routes.batch, b.batch),
            alike[b.procedure, b.wall[:10]] > 1,
        )
        for b in past.batches
    ]
    said = [] if rows else [(tr("Nothing of this kind has been made here yet."), False)]
    return RowsPage(sizes, PAST, rows, Paging(routes.home, turns.to, number), more, said)


def _past_row(b: BatchLine, practised: str, act: Callable[[], None], one_of_some: bool) -> RowSpec:
    """``one_of_some``: more than one of its kind was made that day, so its name has to tell it apart."""
    mark, state = standing_of(b)
    what = (
        tr("practised: {practised}", practised=practised)
        if practised
        else tr("rehearsal, {state}", state=state)
        if b.rehearsal
        else state
    )
    made = f"{100 * b.product_g / b.batch_g:.1f} %" if b.product_g and b.batch_g and not b.rehearsal else ""
    wrong = mark == "bad"
    about = " · ".join((translated(what), f"{b.batch_g:g} g", *([b.batch] if one_of_some else [])))
    return RowSpec(product_named(b.procedure), act, about, made, wrong, mark, leaf(b.wall))


@dataclass(frozen=True, slots=True)
class BatchLinks:
    """What one batch's page leads to."""

    back: Callable[[], None]
    record: Callable[[], None]
    contents: Callable[[], None]
    release: Callable[[], None]
    again: Callable[[], None]
    compare: Callable[[], None]
    turn: Callable[[int], None]
    trend: Callable[[], None]
    debrief: Callable[[], None]


def batch_page(sizes: Sizes, b: BatchFacts, links: BatchLinks, number: int = 0) -> Page:
    """One batch: how it stands, what is due and what went wrong as rows, and everything that can be asked of it."""
    if b.practised:
        return _practised_page(Page(sizes, heading(b.line)), b, links)
    pressing = [c for c in b.checks if c.state in ("due", "failed")]
    others = [c for c in b.checks if c.state not in ("due", "failed")]
    open_still = any(c.state == "waiting" for c in others)
    more: list[ButtonSpec] = [
        (tr("Beside another"), links.compare, "plain"), (tr("Its trend"), links.trend, "plain"),
        (tr("Its record"), links.record, "plain"), (tr("What is in it"), links.contents, "plain"),
        (tr("Make this again"), links.again, "plain" if pressing or open_still else "main"),
    ]  # fmt: skip
    if not b.line.rehearsal:  # nothing of one ever leaves
        more.append(("Release", links.release, "main" if pressing else "plain"))
    rows = [_check_row(c, links.release) for c in (*pressing, *others)]
    rows += [_deviation_row(x, links.record) for x in b.deviations]
    paging = Paging(links.back, links.turn, number)
    return RowsPage(sizes, heading(b.line), rows, paging, more, [(said, False) for said in _standing(b.line)])


def _check_row(due: DueCheck, act: Callable[[], None]) -> RowSpec:
    """A release check: its state at the end of the row, and what has to be found or was found."""
    when = day(due.due) if due.state == "waiting" else ""
    figure = tr("from {day}", day=when) if when else translated(STATES[due.state])
    return RowSpec(due.check.name, act, requirement(due), figure, due.state in ("due", "failed"))


def _deviation_row(x: Deviation, act: Callable[[], None]) -> RowSpec:
    state = translated(x.grade) if x.closed else tr("{grade}, open", grade=translated(x.grade))
    said = tr("{text} Closed: {closed}", text=x.text, closed=x.closed) if x.closed else x.text
    return RowSpec(
        tr("Deviation {number}", number=x.number),
        act,
        said,
        state,
        not x.closed and x.grade not in ("note", "minor"),
    )


def _standing(line: BatchLine) -> tuple[str, str]:
    """How it stands with what came of it; and who, how many, which."""
    state = line.decision or line.end or "unfinished"
    how = capitalised(tr("A rehearsal, {state}", state=state) if line.rehearsal else translated(state))
    planned = tr("of {batch_g:g} g planned", batch_g=line.batch_g)
    if line.product_g and line.batch_g:
        planned = f"{line.product_g:.1f} g, {100 * line.product_g / line.batch_g:.1f} % {planned}"
    facts = (
        tr("{containers} containers", containers=line.containers),
        tr("by {maker}", maker=line.maker),
        tr("batch {batch}", batch=line.batch),
    )
    return f"{how}: {planned}", " · ".join(facts)


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
    nothing_leaves = tr(
        "{batch_g:g} g of {procedure} on a simulated bench; nothing of it is sold.",
        batch_g=b.line.batch_g,
        procedure=product_named(b.line.procedure),
    )
    practised = tr("Practised: {practised}.", practised=b.practised)
    page.listed_large([TextLine(practised, bold=True), TextLine(nothing_leaves)])
    return page
