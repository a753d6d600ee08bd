"""Rows to press, in columns where there is room: a name, a figure at its right end, and a second line under the name."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page, largest
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.row_plan import lay_lines, lines_that_fit
from benchapp.screens.widgets.surface import Area
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high
from benchapp.screens.widgets.text_line import TextLine

#: Nothing under them.
NO_FOOT = TextLine("")


class RowsPage(Page):
    """A page of rows, in one column where that has room for all, else in two, read line by line; ``said`` are lines over them, (text, whether it is wrong), ``foot`` a
    small one under them. All names are of one size, and all second lines; where those have no room there are fewer rows. Where they are
    more than fit, one press goes round. ``rows_shown`` are those of this page."""

    #: The most columns they stand in.
    most_columns = 2

    def __init__(
        self,
        sizes: Sizes,
        title: str,
        rows: Sequence[RowSpec],
        paging: Paging,
        more: Sequence[ButtonSpec] = (),
        said: Sequence[tuple[str, bool]] = (),
        alarm: str = "",
        foot: TextLine = NO_FOOT,
    ) -> None:
        """``alarm``: what calls, over everything."""
        super().__init__(sizes, title)
        under = TextLabel(sizes.figures.text(foot.text), sizes.small, foot.color or d.SLATE, bold=foot.bold)
        foot_high = under.height_at(self.wide) + sizes.gap * 0.4 if foot.text else 0.0
        self.low = self.above_bottom + foot_high
        self.alarm(alarm)
        lines = [
            TextLine(sizes.figures.text(text), True, d.CORAL if wrong else d.INK) for text, wrong in said
        ]
        self._say(lines, len(rows))
        self.number, self.count = 0, 1

        def buttons() -> list[ButtonSpec]:
            self.low += foot_high
            pages = parted(rows, *self._grid(rows))
            self.count = len(pages)
            self.low -= foot_high
            self.number = paging.nearest(self.count)
            plain, main = [x for x in more if x[2] != "main"], [x for x in more if x[2] == "main"]
            return [paging.back_button, *plain, *self._round(paging, pages), *main]

        self.paged(buttons)
        if foot.text:
            self.hang(under)
            under.place(self.left, self.low + foot_high, self.wide)
        self.low += foot_high
        columns, down = self._grid(rows)
        self.rows_shown = parted(rows, columns, down)[self.number]
        self._lay(columns, down if self.count > 1 else 0)
        self.low -= foot_high

    def _round(self, paging: Paging, pages: Sequence[Sequence[RowSpec]]) -> list[ButtonSpec]:
        """What turns from this page of them to the next."""
        return paging.round(self.number, len(pages))

    @property
    def rows_wide(self) -> float:
        """How much of the width the rows take, in pixels."""
        return self.wide

    def _say(self, lines: Sequence[TextLine], rows: int) -> None:
        """The lines over the rows, as large as leaves room for these, and one of them at the least."""
        s, apart = self.sizes, self.sizes.gap * 0.4
        if not self.panel.portrait and self.rows_wide == self.wide and rows > self.rows_that_fit():
            rows = -(-rows // 2)
        whole = (s.action * 1.25 + s.gap) * rows  # each row with room for a second line
        fonts: tuple[int, ...] = s.ladder
        if self.pen_y - self.low - whole < sum(
            wrapped_high(x.text, s.line, x.bold, int(self.wide)) for x in lines
        ):
            fonts = fonts[1:]
        below = min(rows, 3) * (s.action + s.gap) or s.action
        font = largest(lines, fonts, int(self.wide), (self.pen_y - self.low - below, apart))
        self.low += s.action + s.gap
        self.listed(lines, font)
        self.low -= s.action + s.gap
        self.pen_y -= apart if lines else 0.0

    def _grid(self, rows: Sequence[RowSpec]) -> tuple[int, int]:
        """In how many columns they stand, and how many over each other."""
        one = self.panel.portrait or self.rows_wide < self.wide or len(rows) <= self.rows_that_fit()
        ways = []
        for columns in range(2, (1 if one else self.most_columns) + 1):
            down = self._down(rows, columns)
            if columns * down >= len(rows):
                return columns, down
            ways.append((columns, down))
        columns, down = max(ways, key=lambda way: way[0] * way[1], default=(1, 0))
        return (columns, down) if down else (1, self._down(rows, 1) or 1)

    def _down(self, rows: Sequence[RowSpec], columns: int) -> int:
        """How many rows stand over each other."""
        return lines_that_fit(self.sizes, rows, partial(self._row_wide, columns), self.pen_y - self.low)

    def _row_wide(self, columns: int, row: RowSpec) -> float:
        if row.broad:
            return self.rows_wide
        return (self.rows_wide - self.sizes.gap * (columns - 1)) / columns

    def _lay(self, columns: int, down: int) -> None:
        """``down``: as many lines as a full page has; 0 where there is only one page."""
        rest = [x for x in self.rows_shown if not x.broad]
        lines = [[x] for x in self.rows_shown if x.broad]
        lines += [rest[n : n + columns] for n in range(0, len(rest), columns)]
        room = (self.pen_y - self.low) * (min(len(lines) / down, 1.0) if down else 1.0)
        area = Area(self.left, self.pen_y - room, self.rows_wide, self.pen_y)
        lay_lines(self, self.sizes, lines, partial(self._row_wide, columns), area)


def parted(rows: Sequence[RowSpec], columns: int, down: int) -> list[list[RowSpec]]:
    """The rows on pages of so many columns and lines; a broad one takes a whole line, and comes before the others."""
    pages: list[list[RowSpec]] = [[]]
    left = columns * down
    for row in sorted(rows, key=lambda x: not x.broad):
        needed = columns if row.broad else 1
        if needed > left:
            pages.append([])
            left = columns * down
        pages[-1].append(row)
        left -= needed
    return pages


def rows_a_page(sizes: Sizes, title: str) -> int:
    """How many rows stand on one page without lines over them."""
    page = Page(sizes, title)
    page.low = page.above_bottom
    return page.rows_that_fit() * (1 if sizes.panel.portrait else 2)
