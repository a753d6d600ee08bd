"""Batches that were made, as a list."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.make.waits import late
from benchapp.screens.desk.list_filter import ListFilter
from benchapp.screens.display.dates import heading, leaf, product_named
from benchapp.screens.display.phrases import WAITS, standing_of
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine
    from benchapp.rehearsal.evidence import Practised


#: The mark of what was practised, by whether its goal was reached.
ENDED = {True: "good", False: "bad", None: ""}


class BatchKind(ListFilter):
    """Which past batches are listed: those that were made, or what was only practised. By the title of their list."""

    MADE = tr_noop("Past batches")
    REHEARSED = tr_noop("Past practice")

    @property
    def title(self) -> str:
        """What stands over the list."""
        return tr(self.value)

    def holds(self, b: BatchLine) -> bool:
        """Whether a batch is of this kind."""
        return kind_of(b) is self


def kind_of(b: BatchLine) -> BatchKind:
    """In which of the lists it stands."""
    return BatchKind.REHEARSED if b.rehearsal else BatchKind.MADE


@dataclass(frozen=True, slots=True)
class PastBatches:
    """Batches of a kind, newest first; ``practised`` says what scenario some of them rehearsed; ``others``: whether there are any of
    the other kind; ``late``: of those whose checks are late, by how many days."""

    batches: Sequence[BatchLine]
    practised: Mapping[str, Practised]
    kind: BatchKind = BatchKind.MADE
    others: bool = True
    late: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class PastTurns:
    """Where the list leads to: another page of it, another kind of batch; where a first one is begun, None where no bench is."""

    to: Callable[[int], None]
    other_kind: Callable[[], None]
    begin: Callable[[], None] | None = None


def past_page(sizes: Sizes, past: PastBatches, number: int, turns: PastTurns, routes: Routes) -> RowsPage:
    """A page of them: product and day, how it stands, and what came of it."""
    other: ButtonSpec = (past.kind.next.title, turns.other_kind, "plain")
    more: list[ButtonSpec] = [other]
    if past.kind is BatchKind.MADE:
        waits = sum(standing_of(b)[1] == WAITS for b in past.batches)
        release = tr("{n} to release", n=waits) if waits else tr("To release")
        more += [("Lots", routes.lots, "plain"), (release, routes.undecided, "plain")]
    if not past.batches:  # no door leads to another empty list
        more = [other] if past.others else []
        if turns.begin is not None:
            what = tr("Make a batch") if past.kind is BatchKind.MADE else "Practise"
            more.append((what, turns.begin, "main"))
    rows = _past_rows(past.batches, past.practised, routes.batch, past.late)
    made = past.kind is BatchKind.MADE
    none = tr("Nothing has been made here yet.") if made else tr("Nothing has been practised here yet.")
    said = [] if rows else [(none, False)]
    title = tr("{title}, newest first", title=past.kind.title) if len(rows) > 1 else past.kind.title
    return RowsPage(sizes, title, rows, Paging(routes.home, turns.to, number), more, said)


@dataclass(frozen=True, slots=True)
class CompareLeads:
    """Where a comparison leads: the yields of all batches of a product, another batch beside this one, back."""

    yields: Callable[[], None]
    beside: Callable[[], None]
    back: Callable[[], None]


def compare_page(sizes: Sizes, product: str, leads: CompareLeads) -> RowsPage:
    """With what a batch is compared."""
    rows = [
        RowSpec(tr("Its yields so far"), leads.yields, tr("How much came out of every batch of {product}.", product=product)),
        RowSpec(tr("Beside another batch"), leads.beside, tr("Where the two of them differ, line by line.")),
    ]  # fmt: skip
    return RowsPage(sizes, tr("Compare it with what?"), rows, Paging(leads.back))


def other_page(
    sizes: Sizes, this: BatchLine, others: Sequence[BatchLine], pick: Callable[[str], None], paging: Paging
) -> RowsPage:
    """Beside which other? ``pick`` gets its name."""
    rows = _past_rows(others, {}, pick, {})
    said = [] if rows else [(tr("There is no other finished batch."), False)]
    return RowsPage(sizes, tr("{batch} beside …", batch=heading(this)), rows, paging, said=said)


def _past_rows(
    batches: Sequence[BatchLine],
    practised: Mapping[str, Practised],
    pick: Callable[[str], None],
    late_days: Mapping[str, int],
) -> list[RowSpec]:
    """A row for each; where several of one kind were made on a day, each says which it is, and where its checks are late, by
    how many days."""
    alike = Counter((b.procedure, b.wall[:10]) for b in batches)
    one_year = len({b.wall[:4] for b in batches}) == 1
    return [
        _past_row(
            b, practised.get(b.batch), partial(pick, b.batch), alike[b.procedure, b.wall[:10]] > 1,
            late_days.get(b.batch, 0), one_year,
        )
        for b in batches
    ]  # fmt: skip


def _past_row(
    b: BatchLine,
    practised: Practised | None,
    act: Callable[[], None],
    one_of_some: bool,
    late_days: int,
    one_year: bool,
) -> RowSpec:
    """``one_of_some``: more than one of its kind was made that day, so its name has to tell it apart. ``one_year``: all are of one year,
    which need not be said of each. What was practised is called by
    that, and not by what it was practised on."""
    mark, state = standing_of(b)
    overdue = tr("check {days_late}", days_late=late(late_days)) if late_days else ""
    what = practised.how if practised else overdue or state
    size = f"{b.whole_g:g} g"
    if b.yield_percent is not None and not b.rehearsal:
        size = tr("yield {percent:.1f} %", percent=b.yield_percent)
    came = (
        () if practised or late_days else (size.replace(" ", "\u00a0"),)
    )  # nothing came of what was practised, and only what is late is red
    said = " · ".join((translated(what), *came, *([_which(b)] if one_of_some else [])))
    name = product_named(b.procedure)
    if b.rehearsal:
        said = f"{said} · {name}"
        name = tr("A whole batch") if practised is None else translated(practised.title) or name
        mark = ENDED[practised.reached] if practised else "good" if state == "finished" else ""
    if not b.rehearsal and state in ("unfinished", WAITS):
        mark = "later" if state == "unfinished" else "soon"  # it wants somebody, and nothing is wrong with it
    if late_days:
        mark = "open"
    number, month = leaf(b.wall)
    return RowSpec(
        name,
        act,
        said,
        wrong=late_days > 0,
        mark=mark,
        day=(number, month.rpartition(" ")[0] if one_year else month),
    )


def _which(b: BatchLine) -> str:
    """Which of that day it is: when it was begun; its whole name where that is not known."""
    time = b.wall[11:16]
    return tr("begun at {time}", time=time) if time else b.batch
