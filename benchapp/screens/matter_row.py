"""A row to press for a matter that wants something done: it leads where that is settled."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from benchapp.screens.display.dates import batches_in_words, short_day
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.service.open_matters import OpenMatter, SettledAt


def matter_row(one: OpenMatter, routes: Routes) -> RowSpec:
    """One matter, which leads where it is settled; of a batch, what has to be done stands before which it is."""
    mark = "open" if one.calls or one.late else "soon" if one.grave else "known"
    what, said = (_wrapping(one.said), one.what) if one.batch else (one.what, one.said)
    return open_row(what, said, settling(one.settled_at, routes, one.batch), mark)


def _wrapping(said: str) -> str:
    """It is broken after the comma before it is broken anywhere else behind it."""
    first, comma, last = said.rpartition(", ")
    return first + comma + last.replace(" ", "\u00a0") if first else said


def settling(where: SettledAt, routes: Routes, batch: str = "") -> Callable[[], None]:
    """The way to where a matter is settled; ``batch`` where that is the page of one."""
    match where:
        case SettledAt.BATCH:
            return partial(routes.batch, batch)
        case SettledAt.BENCH_CHECK:
            return routes.checks
        case SettledAt.LOTS:
            return routes.lots
        case SettledAt.BENCHES:
            return routes.benches
        case SettledAt.COPIES | SettledAt.UPKEEP:
            return routes.upkeep


def open_row(what: str, said: str, act: Callable[[], None], mark: str = "open") -> RowSpec:
    """With the days in short, and its first letter as one begins; red where somebody has to see to it now."""
    what, said = batches_in_words(what, short_day), batches_in_words(said, short_day)
    return RowSpec(what[:1].upper() + what[1:], act, said, wrong=mark == "open", mark=mark, calm=True)
