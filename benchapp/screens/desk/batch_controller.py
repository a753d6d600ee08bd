"""Batches that were made: each page's data is read in the background, then shown."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.screens.desk.batch_page import BatchLinks, BatchPage
from benchapp.screens.desk.batch_pages import (
    BatchKind,
    CompareLeads,
    PastBatches,
    PastTurns,
    compare_page,
    kind_of,
    other_page,
    past_page,
)
from benchapp.screens.desk.beside_page import BesidePage
from benchapp.screens.desk.record_table import record_page
from benchapp.screens.desk.trace_pages import flow_of_batch, trace_page
from benchapp.screens.desk.trend_page import trend_page
from benchapp.screens.display.dates import product_named
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.rows_page import rows_a_page

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine
    from benchapp.screens.desk.flow_page import FlowFacts
    from benchapp.screens.widgets.page_base import Page
    from benchapp.service.bench_service import BenchService
    from benchapp.service.desk_facts import BatchFacts
    from benchapp.service.matter import Sheet
    from procedures.model import Procedure


class BatchController:
    """Past batches, one of them, its record, what is in it, two beside each other, a trend."""

    def __init__(self, navigator: Navigator, office: bool = False) -> None:
        """``office``: there is no bench here."""
        self._nav, self._office = navigator, office

    def past(self, number: int = 0, kind: BatchKind = BatchKind.MADE) -> None:
        """A page of past batches of a kind."""
        nav = self._nav

        rows = rows_a_page(nav.sizes, kind.title)

        def read(shop: BenchService) -> PastBatches:
            every = shop.batches()
            batches = tuple(b for b in every if kind.holds(b))
            practised = shop.practised(batches[number * rows : (number + 1) * rows])
            waiting = shop.desk().undecided() if kind is BatchKind.MADE else ()
            late = {one.batch: max((c.late_days for c in one.checks), default=0) for one in waiting}
            return PastBatches(batches, practised, kind, len(batches) < len(every), late)

        def page(found: PastBatches) -> Page:
            begin = nav.routes.recipes if kind is BatchKind.MADE else nav.routes.practices
            turn = PastTurns(
                lambda to: self.past(to, kind),
                lambda: self.past(0, kind.next),
                None if self._office else begin,
            )
            return past_page(nav.sizes, found, number, turn, nav.routes)

        nav.open(read, page)

    def practised(self) -> None:
        """What was only practised."""
        self.past(0, BatchKind.REHEARSED)

    def batch(self, batch: str, number: int = 0) -> None:
        """How it stands; of a scenario that was practised, how it went."""
        nav = self._nav

        def read(shop: BenchService) -> tuple[BatchFacts, bool]:
            desk = shop.desk()
            facts = desk.batch(batch)
            return facts, bool(facts.practised) and not isinstance(desk.debrief(batch), str)

        def show(found: tuple[BatchFacts, bool]) -> None:
            facts, told = found
            if told:
                nav.routes.debrief(batch)
            else:
                nav.show(BatchPage(nav.sizes, facts, self._links(facts.line), number))

        nav.fetch(read, show)

    def _links(self, b: BatchLine) -> BatchLinks:
        return BatchLinks(
            back=partial(self.past, 0, kind_of(b)),
            record=partial(self.record, b.batch),
            contents=partial(self.contents, b.batch),
            release=partial(self._nav.routes.release, b.batch),
            again=partial(self.again, b.procedure, b.batch_g),
            turn=partial(self.batch, b.batch),
            compare=partial(self.compared, b.batch, b.procedure),
        )

    def record(self, batch: str, number: int = 0) -> None:
        """A page of its record."""
        nav = self._nav
        paging = Paging(partial(self.batch, batch), partial(self.record, batch), number)
        nav.open(
            lambda shop: shop.desk().record(batch),
            lambda record: record_page(nav.sizes, record, paging),
        )

    def again(self, procedure: str, batch_g: float) -> None:
        """The same once more, in the same size: its plan first."""

        def found(recipe: Procedure | None) -> None:
            if recipe is None:
                self.past()
            else:
                self._nav.routes.size(recipe, batch_g)

        self._nav.fetch(lambda shop: next((r for r in shop.recipes() if r.key == procedure), None), found)

    def contents(self, batch: str) -> None:
        """Every lot in it, and where it went."""
        back = partial(self.batch, batch)

        def read(shop: BenchService) -> tuple[BatchLine, FlowFacts | None, Sheet]:
            desk = shop.desk()
            traced = desk.batch_traced(batch)
            drawn = None if desk.missing_elsewhere() else flow_of_batch(traced)
            return traced.batch, drawn, desk.trace_batch(batch)

        def page(found: tuple[BatchLine, FlowFacts | None, Sheet]) -> Page:
            line, drawn, sheet = found
            title = tr("What is in {product}", product=product_named(line.procedure))
            return trace_page(self._nav, title, (drawn, sheet), back)

        self._nav.open(read, page)

    def compared(self, batch: str, procedure: str) -> None:
        """With what?"""
        nav = self._nav
        beside = partial(self.compare_with, batch, procedure)
        pick = CompareLeads(partial(self.trend, procedure, batch), beside, partial(self.batch, batch))
        nav.show(compare_page(nav.sizes, product_named(procedure), pick))

    def compare_with(self, batch: str, procedure: str, number: int = 0) -> None:
        """Beside which other?"""
        nav = self._nav
        back = partial(self.compared, batch, procedure)
        paging = Paging(back, partial(self.compare_with, batch, procedure), number)

        def read(shop: BenchService) -> tuple[BatchLine, list[BatchLine]]:
            found = [b for b in shop.batches() if b.made]
            this = shop.desk().batch(batch).line
            others = [b for b in found if b.batch != batch]
            return this, sorted(
                others, key=lambda b: b.procedure != this.procedure
            )  # of the same product first

        def page(found: tuple[BatchLine, list[BatchLine]]) -> Page:
            return other_page(nav.sizes, *found, partial(self.compare, batch), paging)

        nav.open(read, page)

    def compare(self, first: str, second: str, number: int = 0) -> None:
        """Two batches side by side."""
        nav = self._nav
        paging = Paging(partial(self.batch, first), partial(self.compare, first, second), number)
        nav.open(
            lambda shop: shop.desk().beside(first, second),
            lambda found: BesidePage(nav.sizes, found, paging, nav.routes.batch),
        )

    def trend(self, procedure: str, batch: str) -> None:
        """The yields of a procedure's batches; the way back is to this one."""
        nav = self._nav
        nav.open(
            lambda shop: shop.desk().trend(procedure),
            lambda trend: trend_page(
                nav.sizes, procedure, trend, partial(self.compared, batch, procedure), nav.routes.batch
            ),
        )
