"""Batches that were made, as a list."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.screens.desk.batch_rows import heading
from benchapp.screens.desk.list_filter import ListFilter
from benchapp.screens.display.dates import leaf, product_named
from benchapp.screens.display.phrases import WAITS, standing_of
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine


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
    nothing = past.kind is BatchKind.ALL and not past.batches
    show: list[ButtonSpec] = (
        []
        if nothing
        else [(tr("Show: {value}", value=translated(past.kind.next.value)), turns.other_kind, "plain")]
    )
    more: list[ButtonSpec] = [
        *show, ("Lots", routes.lots, "plain"),
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
    none = (
        tr("Nothing has been made here yet.")
        if nothing
        else tr("Nothing of this kind has been made here yet.")
    )
    said = [] if rows else [(none, False)]
    return RowsPage(sizes, PAST, rows, Paging(routes.home, turns.to, number), more, said)


def other_page(
    sizes: Sizes, this: BatchLine, others: Sequence[BatchLine], pick: Callable[[str], None], paging: Paging
) -> RowsPage:
    """Beside which other? ``pick`` gets its name."""
    alike = Counter((b.procedure, b.wall[:10]) for b in others)
    rows = [_past_row(b, "", partial(pick, b.batch), alike[b.procedure, b.wall[:10]] > 1) for b in others]
    said = [] if rows else [(tr("There is no other finished batch."), False)]
    return RowsPage(sizes, tr("{batch} beside …", batch=heading(this)), rows, paging, said=said)


def _past_row(b: BatchLine, practised: str, act: Callable[[], None], one_of_some: bool) -> RowSpec:
    """``one_of_some``: more than one of its kind was made that day, so its name has to tell it apart."""
    mark, state = standing_of(b)
    what = tr("practised: {practised}", practised=practised) if practised else state
    size = f"{b.whole_g:g} g"
    if b.yield_percent is not None and not b.rehearsal:
        size = tr("yield {percent:.1f} %", percent=b.yield_percent)
    came = () if practised else (size.replace(" ", "\u00a0"),)  # nothing came of what was practised
    said = " · ".join((translated(what), *came, *([_which(b)] if one_of_some else [])))
    product = product_named(b.procedure)
    name = tr("Practice: {product}", product=product) if b.rehearsal else product
    if not b.rehearsal and state in ("unfinished", WAITS):
        mark = "open"  # it wants somebody
    return RowSpec(
        name,
        act,
        said,
        wrong=mark in ("bad", "open"),
        mark=mark,
        day=leaf(b.wall),
        calm=mark == "bad",
    )


def _which(b: BatchLine) -> str:
    """Which of that day it is; its whole name where that says no number."""
    _, dash, number = b.batch.rpartition("-")
    return tr("number {n} that day", n=number) if dash and number.isdigit() else b.batch
