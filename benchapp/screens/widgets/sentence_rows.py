"""Rows that are to be read from where one stands: fewer of them, or one a line."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage

#: No more rows of sentences over each other on a wide glass.
MOST = 3


class SentenceRows(RowsPage):
    """A page of rows whose second line is a sentence: a few at a time, so that it can be read."""

    def _down(self, rows: Sequence[RowSpec], columns: int) -> int:
        fit = super()._down(rows, columns)
        return fit if self.panel.portrait else min(fit, MOST)


class WholeRows(RowsPage):
    """A page of rows that take a whole line each: their names are long, and their order is the order of what is done."""

    most_columns = 1
