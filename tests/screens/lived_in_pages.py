"""The desk's pages of a workshop that has been at work for two months: what is told of it in ``lived_in``, on the glass."""

from __future__ import annotations

import functools
import tempfile
from pathlib import Path

from acting import WALL
from lived_in import LOTION, RELEASED, WAITING_LONGEST, live_in

from benchapp.record.journal import Journal


@functools.cache
def lived_in_journal():
    """The demo workshop after two months, told once for all sizes and languages."""
    wall = f"{WALL[:11]}13:00:00.000+01:00"
    return live_in(Journal(Path(tempfile.mkdtemp(prefix="lived-in-")), lambda: wall), wall)


def lived_in_pages(sizes, links):
    """The desk of a workshop that has been at work for two months."""
    from benchapp.screens.desk import (
        batch_page,
        batch_pages,
        beside_page,
        lot_controller,
        release_pages,
        trace_pages,
        trend_page,
    )
    from benchapp.screens.desk.flow_page import FlowPage
    from benchapp.screens.desk.lot_flow_page import LotFlowPage
    from benchapp.screens.widgets.pager import Paging
    from benchapp.service.desk import Desk

    told = lived_in_journal()
    desk, paging = Desk(told.journal), Paging(print, print)
    past = batch_pages.PastBatches(told.journal.batches(), {})
    more = [("Near their date", print, "plain"), ("Receive a lot", print, "main")]
    yield batch_pages.past_page(sizes, past, 0, batch_pages.PastTurns(print, print), links)
    yield lot_controller.lots_page(sizes, desk.lots(), print, paging, more)
    yield release_pages.undecided_page(sizes, desk.undecided(), print, paging)
    for number in (WAITING_LONGEST, RELEASED):
        facts = desk.batch(told.batches[number])
        yield batch_page.BatchPage(sizes, facts, links)
        yield release_pages.release_page(sizes, facts, links)
    this, *others = told.batches[::-1][1:]
    for other in others[:1] + others[-2:]:
        yield beside_page.BesidePage(sizes, desk.beside(this, other), paging, print)
    yield batch_pages.other_page(sizes, desk.batch(this).line, told.journal.batches(), print, paging)
    yield trend_page.trend_page(sizes, LOTION, desk.trend(LOTION), print, print)
    listed = [("As a list", print, "plain")]
    facts = trace_pages.flow_of_batch(desk.batch_traced(told.batches[0]))
    page = FlowPage(sizes, "What is in it, and where it went", facts, [paging.back_button, *listed])
    if page.drawn:
        yield page
    lot = trace_pages.flow_of_lot(desk.lot_traced("GL-3"), lot_controller.usable("GL-3", desk.lots()))
    for number in (0, 1):
        yield LotFlowPage(sizes, lot, Paging(print, print, number), listed)
