"""Rows to press, in columns where there is room: a name, a figure at its right end, and a second line under the name."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page, largest
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowButton, RowSpec, detail_font, on_one_line
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high
from benchapp.screens.widgets.text_line import TextLine

#: Rows are so high, as a multiple of what is pressed; so much higher where that lets their words be read.
HIGH, HIGHEST = 1.25, 2.2
#: Nothing under them.
NO_FOOT = TextLine("")
#: So many of the rows that say most are measured to find how many of all have room: a long list has hundreds.
MEASURED = 8


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
            TextLine(sizes.figures.text(text), True, d.CORAL if wrong else d.TIDE) for text, wrong in said
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
        below = min(rows, 3) * (s.action * HIGH + s.gap) or s.action
        font = largest(lines, fonts, int(self.wide), (self.pen_y - self.low - below, apart))
        self.low += s.action + s.gap
        self.listed(lines, font)
        self.low -= s.action + s.gap
        self.pen_y -= apart if lines else 0.0

    def _grid(self, rows: Sequence[RowSpec]) -> tuple[int, int]:
        """In how many columns they stand, and how many over each other."""
        one = self.panel.portrait or self.rows_wide < self.wide or len(rows) <= self.rows_that_fit()
        for columns in range(2, (1 if one else self.most_columns) + 1):
            down = self._down(rows, columns)
            if down and (columns * down >= len(rows) or columns == self.most_columns):
                return columns, down
        return 1, self._down(rows, 1) or 1

    def _down(self, rows: Sequence[RowSpec], columns: int) -> int:
        """How many rows stand over each other: as many as can be pressed, and be read in full at the least size; 0 where
        not even one can."""
        s, most = self.sizes, self.rows_that_fit()
        longest = sorted(rows, key=lambda x: len(x.label) + len(x.detail), reverse=True)[:MEASURED]
        broad = any(
            x.broad for x in longest
        )  # a sentence on a whole line is to be read, as long as several have room
        for font in (s.note, s.small) if broad else (s.small,):
            for down in range(most, 1 if font > s.small else 0, -1):
                place = self._high(down, HIGHEST)
                fonts = [detail_font(x, s, s.note, (self._row_wide(x, columns), place)) for x in longest]
                if min(fonts, default=font) >= font:
                    return down
        return 0

    def _high(self, lines: int, most: float) -> float:
        """How high each of so many rows over each other is, no more than so many times what is pressed, in pixels."""
        s = self.sizes
        return min((self.pen_y - self.low - s.gap * (lines - 1)) / lines, s.action * most)

    def _row_wide(self, row: RowSpec, columns: int) -> float:
        if row.broad:
            return self.rows_wide
        return (self.rows_wide - self.sizes.gap * (columns - 1)) / columns

    def _lay(self, columns: int, down: int) -> None:
        """``down``: as many lines as a full page has; 0 where there is only one page."""
        s, broad = self.sizes, [x for x in self.rows_shown if x.broad]
        rest = [x for x in self.rows_shown if not x.broad]
        deep = min(down - len(broad) if down else -(-len(rest) // columns), len(rest))
        lines = len(broad) + deep or 1
        low, top = self._high(lines, HIGH), self._high(lines, HIGHEST)
        high = max((low, top), key=lambda at: (*self._fonts(self.rows_shown, columns, at), -at))
        laid = []
        for rows, begin, across in ((broad, 0, 1), (rest, len(broad), columns)):
            loud, quiet = ([x for x in rows if x.calls == calls] for calls in (True, False))
            fonts = {True: self._fonts(loud, columns, high), False: self._fonts(quiet, columns, high)}
            for n, spec in enumerate(rows):
                row, column = divmod(n, across)
                wide = self._row_wide(spec, columns)
                name, said = fonts[spec.calls]
                button = RowButton(spec, s, (name or s.note, said or s.small))
                button.size = (wide, high)
                y = self.pen_y - (begin + row + 1) * high - (begin + row) * s.gap
                button.pos = (self.left + column * (wide + s.gap), y)
                laid.append(button)
                self.add_widget(button)
        for button in laid:  # what stands beside each other begins level
            button.begin_at((high - max(b.words_high for b in laid)) / 2)

    def _fonts(self, rows: Sequence[RowSpec], columns: int, high: float) -> tuple[int, int]:
        """Of these rows' names and of their second lines: the largest in which each has room for all it says, and its name on one line
        if that can be; (0, 0) where none has."""
        s, found = self.sizes, []
        for name in s.ladder[:3]:
            fonts = [detail_font(row, s, name, (self._row_wide(row, columns), high)) for row in rows]
            if all(fonts):
                whole = all(on_one_line(row, s, name, self._row_wide(row, columns)) for row in rows)
                found.append((whole, name, min(fonts, default=s.small)))
        if any(row.broad or row.calls for row in rows):  # what they say matters more than their names
            found.sort(key=lambda one: -one[2])
        else:
            found.sort(key=lambda one: (not one[0], one[2] < s.note))
        return found[0][1:] if found else (0, 0)


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
