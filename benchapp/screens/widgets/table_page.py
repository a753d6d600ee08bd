"""A table on the glass: rows under a head, figures aligned on their right, a value's place in its band drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kivy.graphics import Color, Rectangle

from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec, least_width
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high


@dataclass(frozen=True, slots=True)
class TableRow:
    """Cells from left to right. ``head``: a heading over the whole width, its first cell; ``band``: a value with its
    limits, (low, value, high), drawn in the last column; ``plain``: a sentence over the whole width; ``wrong``: in the
    colour of trouble."""

    cells: tuple[str, ...]
    head: bool = False
    plain: bool = False
    band: tuple[float, float, float] | None = None
    wrong: bool = False


@dataclass(frozen=True, slots=True)
class TableColumn:
    """Its head, its share of the width, and whether its cells stand at its right end, as figures do."""

    head: str
    share: float
    figures: bool = False


class TablePage(Page):
    """One page of the rows; the head of the table stands on each, under the sentences with which they begin."""

    def __init__(
        self,
        sizes: Sizes,
        title: str,
        columns: Sequence[TableColumn],
        rows: Sequence[TableRow],
        paging: Paging,
        more: Sequence[ButtonSpec] = (),
    ) -> None:
        """``more`` are the buttons after those that turn the page."""
        super().__init__(sizes, title)
        self._columns = columns
        self.low = self.above_bottom
        head = TableRow(tuple(c.head for c in columns))
        for self._size in sizes.ladder[:3]:  # as large as one page has room for all of them
            self._head_high = self._high(head) if any(head.cells) else 0.0
            if len(self._pages(rows)) == 1 and self._no_word_broken([head, *rows]):
                break
        self.number, self.count = 0, 1

        def buttons() -> list[ButtonSpec]:
            self.count = len(self._pages(rows))
            self.number = paging.nearest(self.count)
            return [paging.back_button, *paging.buttons(self.count), *more]

        self.paged(buttons)
        shown = self._pages(rows)[self.number]
        said = next((n for n, row in enumerate(shown) if not row.plain), len(shown)) if not self.number else 0
        for row in shown[:said]:
            self._row(row)
        if self._head_high and shown[said:]:
            self._cells(head, d.SLATE)
        for row in shown[said:]:
            self._row(row)

    def _pages(self, rows: Sequence[TableRow]) -> list[list[TableRow]]:
        """As many rows on each page as have room; a heading goes over with what it heads."""
        pages: list[list[TableRow]] = [[]]
        left = self.pen_y - self.low - self._head_high
        for row in rows:
            high = self._high(row)
            if high > left and pages[-1]:
                over = [pages[-1].pop()] if pages[-1][-1].head and len(pages[-1]) > 1 else []
                pages.append(over)
                left = self.pen_y - self.low - self._head_high - sum(self._high(one) for one in over)
            pages[-1].append(row)
            left -= high
        return pages

    def _no_word_broken(self, rows: Sequence[TableRow]) -> bool:
        """Whether the longest word of every cell has room in its column."""
        return all(
            least_width(self._put(cell), self._size) <= wide - self.sizes.gap
            for row in rows
            if not (row.head or row.plain)
            for cell, wide in zip(row.cells, self._widths(), strict=False)
            if cell
        )

    def _widths(self) -> list[float]:
        return [self.wide * column.share for column in self._columns]

    def _high(self, row: TableRow) -> float:
        gap = self.sizes.gap * 0.5
        if row.head or row.plain:
            return wrapped_high(self._put(row.cells[0]), self._said(row), row.head, int(self.wide)) + gap
        inner = [int(wide - self.sizes.gap) for wide in self._widths()]
        highs = (
            wrapped_high(self._put(cell), self._size, False, wide)
            for cell, wide in zip(row.cells, inner, strict=False)
            if cell
        )
        return max(highs, default=0.0) + gap

    def _said(self, row: TableRow) -> int:
        """The size of a sentence over the whole width: no larger than what is read up close, beside larger cells."""
        return min(self._size, self.sizes.note) if row.plain and len(self._columns) > 1 else self._size

    def _put(self, text: str) -> str:
        return self.sizes.figures.text(text)

    def _row(self, row: TableRow) -> None:
        if row.head or row.plain:
            words = TextLabel(
                self._put(row.cells[0]), self._said(row), d.TIDE if row.head else d.INK, bold=row.head
            )
            self.hang(words)
            self.pen_y = words.place(self.left, self.pen_y, self.wide) - self.sizes.gap * 0.5
        else:
            self._cells(row, d.CORAL if row.wrong else d.INK)

    def _cells(self, row: TableRow, colour: d.RGB) -> None:
        top, x, low = self.pen_y, self.left, self.pen_y
        for column, cell, wide in zip(self._columns, row.cells, self._widths(), strict=False):
            if cell:
                words = TextLabel(
                    self._put(cell), self._size, colour, halign="right" if column.figures else "left"
                )
                self.hang(words)
                low = min(low, words.place(x, top, wide - self.sizes.gap))
            x += wide
        if row.band is not None:
            self._band(row.band, self.left + sum(self._widths()[:-1]), top)
        self.pen_y = low - self.sizes.gap * 0.5

    def _band(self, band: tuple[float, float, float], x: float, top: float) -> None:
        """Where the value lies between its limits; outside it stands beyond the bar, in the colour of trouble."""
        low, value, high = band
        wide, tall = self._widths()[-1] - self.sizes.gap, self._size * 0.5
        y = top - self._size * 0.95
        share = (value - low) / max(high - low, 1e-9)
        inside = 0.0 <= share <= 1.0
        at = x + wide * (0.1 + 0.8 * min(max(share, -0.12), 1.12))
        with self.canvas:
            Color(*d.WET_SAND)
            Rectangle(pos=(x + wide * 0.1, y), size=(wide * 0.8, tall))
            Color(*(d.KELP if inside else d.CORAL))
            Rectangle(pos=(at - 3, y - tall * 0.5), size=(6, tall * 2))
