"""Rows to press: read line by line, and what stands beside each other begins level."""

from __future__ import annotations

import pytest

from benchapp.screens.display.sizes import PANELS, Sizes

SAID = (
    "",
    "What one reads of it.",
    "What one reads of it is longer here, and may take another line of words.",
)


def rows_shown(panel, count):
    from benchapp.screens.widgets.pager import Paging
    from benchapp.screens.widgets.row_button import RowButton, RowSpec
    from benchapp.screens.widgets.rows_page import RowsPage

    specs = [RowSpec(f"Row {n}", print, SAID[n % 3]) for n in range(count)]
    page = RowsPage(Sizes.of(panel), "Rows", specs, Paging(print))
    return [x for x in page.children[::-1] if isinstance(x, RowButton)]


@pytest.mark.parametrize("panel", PANELS, ids=lambda panel: panel.name)
def test_rows_stand_in_the_order_in_which_one_reads(window, panel):
    rows = rows_shown(panel, 30)
    assert len(rows) > 3
    assert rows == sorted(rows, key=lambda row: (-row.top, row.x))


@pytest.mark.parametrize("panel", PANELS, ids=lambda panel: panel.name)
def test_names_of_rows_beside_each_other_are_level(window, panel):
    rows = rows_shown(panel, 30)
    for row in rows:
        assert {round(x.caption.top) for x in rows if x.y == row.y} == {round(row.caption.top)}
    assert all(row.caption.y > row.y for row in rows)
