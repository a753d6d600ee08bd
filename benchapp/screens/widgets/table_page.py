"""A table on the glass: rows under a head, figures aligned on their right, a value's place in its band drawn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from kivy.graphics import Color, Rectangle

from benchapp.foundation.language import translated
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec, least_width
from benchapp.screens.widgets.page_base import MARK_SHARE, Page
from benchapp.screens.widgets.pager import Paging, paginate
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high
from benchapp.screens.widgets.text_line import MARKS

#: A bar is no longer than so many times the size of the letters.
MOST_BAND = 9.0


@dataclass(frozen=True, slots=True)
class TableRow:
    """Cells from left to right. ``head``: a heading over the whole width, its first cell; ``band``: a value with its
    limits, (low, value, high), drawn in the last column, with the ``target`` between them; ``plain``: a sentence over the
    whole width, bold where it has a ``mark``, whose sign (see text_line.MARKS) stands before the first cell; ``wrong``: in the colour of trouble."""

    cells: tuple[str, ...]
    head: bool = False
    plain: bool = False
    band: tuple[float, float, float] | None = None
    wrong: bool = False
    target: float | None = None
    mark: str = ""


@dataclass(frozen=True, slots=True)
class TableColumn:
    """Its head, its share of the width, and whether its cells stand at its right end, as figures do. Where every column has
    room for its longest cell, what is left goes to all alike."""

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
        least: int = 0,
    ) -> None:
        """``more`` are the buttons after those that turn the page; ``least``: rather more pages than smaller letters."""
        super().__init__(sizes, title)
        self._columns, self._rows = columns, rows
        self.low = self.above_bottom
        self._over()
        head = TableRow(tuple(c.head for c in columns))
        for self._size in [
            f for f in sizes.ladder[:3] if f >= least
        ]:  # as large as one page has room for all of them
            self._measure([head, *rows])
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
        if self._head_high and any(not (row.head or row.plain) for row in shown):
            self._cells(head, d.SLATE)
        for row in shown[said:]:
            self._row(row)

    def _over(self) -> None:
        """What stands over the table, on each of its pages."""

    def _measure(self, rows: Sequence[TableRow]) -> None:
        """How wide each column is: as its longest cell asks for; where they have no room so, each gives of what it has beyond
        its longest word, and where not even the words have any, each has its share of the width."""
        shares = [self.wide * column.share for column in self._columns]
        cells = list(zip(*(row.cells for row in rows if not (row.head or row.plain)), strict=False))
        apart = [self.sizes.gap * 2.0 + self._lead(n) for n in range(len(shares))]
        wanted = [
            self._widest(cells[n], natural_wide) + apart[n] if n < len(cells) else shares[n]
            for n in range(len(shares))
        ]
        least = [
            self._widest(cells[n], _word_wide) + self.sizes.gap + self._lead(n) + 2
            if n < len(cells)
            else shares[n]
            for n in range(len(shares))
        ]
        if any(row.band is not None for row in rows):
            wanted[-1] = max(wanted[-1], shares[-1])
        left = (self.wide - sum(wanted)) / len(wanted)
        give = [max(most - low, 0.0) for most, low in zip(wanted, least, strict=True)]
        over = sum(wanted) - self.wide
        if left >= 0:
            self._wides = [wide + left for wide in wanted]
        elif sum(give) >= over:
            self._wides = [wide - over * part / sum(give) for wide, part in zip(wanted, give, strict=True)]
        else:
            self._wides = shares

    def _widest(self, cells: Sequence[str], measure: Callable[[str, int], float]) -> float:
        return max((measure(self._put(cell), self._size) for cell in cells if cell), default=0.0)

    def _lead(self, n: int) -> float:
        """How far words keep from the figures before them, in pixels."""
        words = n > 0 and self._columns[n - 1].figures and not self._columns[n].figures
        return self.sizes.gap * 1.5 if words else 0.0

    def _pages(self, rows: Sequence[TableRow]) -> list[list[TableRow]]:
        """As many rows on each page as have room under the head."""
        return paginate(rows, self._high, self.pen_y - self.low - self._head_high)

    def _no_word_broken(self, rows: Sequence[TableRow]) -> bool:
        """Whether the longest word of every cell has room in its column."""
        return all(
            least_width(self._put(cell), self._size) <= wide - self.sizes.gap - self._lead(n)
            for row in rows
            if not (row.head or row.plain)
            for n, (cell, wide) in enumerate(zip(row.cells, self._wides, strict=False))
            if cell
        )

    def _high(self, row: TableRow) -> float:
        gap = self.sizes.gap * 0.5
        if row.head or row.plain:
            whole = int(self.wide - (self._said(row) * MARK_SHARE if row.mark else 0.0))
            bold = row.head or bool(row.mark)
            return wrapped_high(self._put(row.cells[0]), self._said(row), bold, whole) + gap
        inner = [int(wide - self.sizes.gap - self._lead(n)) for n, wide in enumerate(self._wides)]
        inner[0] -= int(self._sign_wide(row))
        highs = (
            wrapped_high(self._put(cell), self._size, False, wide)
            for cell, wide in zip(row.cells, inner, strict=False)
            if cell
        )
        return max(highs, default=0.0) + gap

    def _sign_wide(self, row: TableRow) -> float:
        """How much of the first cell its sign takes, in pixels."""
        return self._size * MARK_SHARE if row.mark else 0.0

    def _said(self, row: TableRow) -> int:
        """The size of a sentence over the whole width: no larger than what is read up close, beside larger cells."""
        return (
            min(self._size, self.sizes.note)
            if row.plain and not row.mark and len(self._columns) > 1
            else self._size
        )

    def _put(self, text: str) -> str:
        return self.sizes.figures.text(text)

    def _row(self, row: TableRow) -> None:
        if row.head or row.plain:
            size, indent = self._said(row), self._said(row) * MARK_SHARE if row.mark else 0.0
            colour = getattr(d, MARKS[row.mark][1]) if row.mark else d.TIDE if row.head else d.INK
            words = TextLabel(self._put(row.cells[0]), size, colour, bold=row.head or bool(row.mark))
            self.hang(words)
            if row.mark:
                self.sign(row.mark, size, words)
            low = words.place(self.left + indent, self.pen_y, self.wide - indent)
            self.pen_y = low - self.sizes.gap * 0.5
        else:
            self._cells(row, d.CORAL if row.wrong else d.INK)

    def _cells(self, row: TableRow, colour: d.RGB) -> None:
        top, x, low = self.pen_y, self.left, self.pen_y
        for n, (column, cell, wide) in enumerate(zip(self._columns, row.cells, self._wides, strict=False)):
            if cell:
                words = TextLabel(
                    self._put(cell), self._size, colour, halign="right" if column.figures else "left"
                )
                self.hang(words)
                lead = self._lead(n)
                if row.mark and not n:
                    self.sign(row.mark, self._size, words)
                    lead = self._sign_wide(row)
                low = min(low, words.place(x + lead, top, wide - self.sizes.gap - lead))
            x += wide
        if row.band is not None:
            self._band(row, self.left + sum(self._wides[:-1]), top)
        self.pen_y = low - self.sizes.gap * 0.5
        with self.canvas:  # leads the eye over what is left between two columns
            Color(*d.WET_SAND)
            Rectangle(pos=(self.left, self.pen_y + self.sizes.gap * 0.2), size=(self.wide, 1.2))

    def _band(self, row: TableRow, x: float, top: float) -> None:
        """Where the value lies between its limits, which are the ends of the bar; outside it stands beyond, in the colour of
        trouble. The target is a thin line in it."""
        low, value, high = row.band or (0.0, 0.0, 0.0)
        wide, tall = min(self._wides[-1] - self.sizes.gap, self._size * MOST_BAND), self._size * 0.36
        y = top - self._size * 0.86
        span = max(high - low, 1e-9)

        def at(shown: float) -> float:
            return x + wide * (0.1 + 0.8 * min(max((shown - low) / span, -0.12), 1.12))

        with self.canvas:
            Color(*d.WET_SAND)
            Rectangle(pos=(at(low), y), size=(at(high) - at(low), tall))
            Color(*d.DRIFT)
            for end in (low, high):
                Rectangle(pos=(at(end) - 1, y - tall * 0.4), size=(2, tall * 1.8))
            if row.target is not None:
                Rectangle(pos=(at(row.target) - 0.75, y), size=(1.5, tall))
            Color(*(d.CORAL if row.wrong else d.KELP))
            Rectangle(pos=(at(value) - 3, y - tall * 0.5), size=(6, tall * 2))


def _word_wide(text: str, size: int) -> float:
    """How wide its longest word is."""
    return max(natural_wide(word, size) for word in translated(text).split(" "))
