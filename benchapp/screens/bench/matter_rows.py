"""What wants something done on the bench page: a row to press for each matter, which leads where it is settled."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_n, tr_noop
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.matter_row import matter_row, open_row
from benchapp.screens.navigator import Routes
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowButton, RowSpec
from benchapp.screens.widgets.row_plan import lay_lines, lines_that_fit
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.surface import Area, Surface

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import ChannelStatus
    from benchapp.service.bench_facts import BenchFacts

#: What stands over all of it.
TO_DO = tr_noop("To do")
#: No more matters stand on the bench page, where there are more still.
MOST = 4
#: A row is no higher than its words or this multiple of what is pressed.
TALLEST = 2.0


def matter_rows(facts: BenchFacts, seen: Sequence[ChannelStatus], routes: Routes) -> list[RowSpec]:
    """Everything that wants something done, the most urgent first: what calls or is late is red, what is due has its mark; the
    first is filled where the filled press does the same."""
    rows: list[RowSpec] = []
    if facts.unfinished is not None:
        one = facts.unfinished
        said = tr("Unfinished, {grams:g} g", grams=one.batch_g)
        if facts.practised:
            said = tr("Unfinished, practised: {practised}", practised=facts.practised)
        elif one.rehearsal:
            said = tr("Unfinished rehearsal, {grams:g} g", grams=one.batch_g)
        row = open_row(said, one.batch, partial(routes.resume, one.batch), "next")
        rows.append(replace(row, filled=True))
    rows += [matter_row(one, routes) for one in facts.matters if one.calls]
    silent: dict[str, list[str]] = {}
    for channel in seen:
        if channel.trouble:
            silent.setdefault(channel.trouble, []).append(channel.device.name)
    for trouble, names in silent.items():
        rows.append(open_row(", ".join(dict.fromkeys(names)), trouble, routes.checks))
    rows += [matter_row(one, routes) for one in facts.matters if one.grave and not one.calls]
    names = unchecked(facts)
    if names:
        what = tr_n("{n} device not checked", "{n} devices not checked", n=len(names))
        rows.append(replace(open_row(what, ", ".join(names), routes.checks, "soon"), filled=True))
    rows += [matter_row(one, routes) for one in facts.matters if not one.grave]
    return [replace(row, filled=False) if n else row for n, row in enumerate(rows)]


def unchecked(facts: BenchFacts) -> list[str]:
    """The devices that nobody has checked yet; on a simulated pan no weight is ever put."""
    return [device.name for device in facts.devices if device.port and not facts.checked.get(device.name)]


def matters_page(sizes: Sizes, rows: Sequence[RowSpec], paging: Paging) -> RowsPage:
    """All of it, where the bench page has no room for all."""
    return RowsPage(sizes, tr(TO_DO), rows, paging)


def lay_matters(
    page: Surface, rows: Sequence[RowSpec], area: Area, every: Callable[[], None]
) -> list[RowButton]:
    """As many rows as an area has room for, the most urgent ones, the first of them larger, on a line of its own; the others in a second column where one does
    not do; where there are more, the last row says how many and which, and leads to ``every`` one. Returns them."""
    s = page.sizes
    rows = [
        replace(row, first=n == 0, broad=n == 0, mark="" if row.filled else row.mark)
        for n, row in enumerate(rows)
    ]

    def width(columns: int, row: RowSpec) -> float:
        return area.width if row.broad else (area.width - s.gap * (columns - 1)) / columns

    one, two = (max(lines_that_fit(s, rows, partial(width, n), area.top - area.low), 1) for n in (1, 2))
    count = min(len(rows), MOST + 1)
    columns, down = (1, one) if one >= count or one > 2 * two - 2 > 0 else (2, two)
    if down == 1 and len(rows) > 1:  # the first leaves room for how many more there are
        rows = [replace(rows[0], broad=False), *rows[1:]]
    ahead = sum(row.broad for row in rows)
    places = min(ahead + columns * (down - ahead), MOST + 1)
    shown = rows
    if len(rows) > places:
        left = rows[places - 1 :]
        names = [row.label.partition(",")[0] for row in left]
        said, wrong = tr("See {count} more", count=len(left)), any(row.wrong for row in left)
        if wrong and len(left) > 1:  # what is late is not hidden behind a row that looks as if nothing were
            said, names = tr("{first} and {count} more", first=names[0], count=len(left) - 1), names[1:]
        shown = [*rows[: places - 1], RowSpec(said, every, "; ".join(names), wrong=wrong, calm=True)]
    lines = [shown[:1]] if ahead else []
    lines += [shown[n : n + columns] for n in range(ahead, len(shown), columns)]
    return lay_lines(page, s, lines, partial(width, columns), area, TALLEST)
