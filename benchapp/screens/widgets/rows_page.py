"""Rows to press, in columns where there is room: a name, a figure at its right end, and a second line under the name."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page, largest
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowButton, RowSpec, detail_font
from benchapp.screens.widgets.text_label import wrapped_high
from benchapp.screens.widgets.text_line import TextLine

#: Rows that look alike, with the width and the height each gets, in pixels.
Groups = Sequence[tuple[Sequence[RowSpec], tuple[float, float]]]


class RowsPage(Page):
    """A page of rows, in one column where that has room for all, else read down two; ``said`` are lines over them, (text, whether it is wrong). Where they are
    more than fit, "Next" goes round. ``rows_shown`` are those of this page."""

    def __init__(
        self,
        sizes: Sizes,
        title: str,
        rows: Sequence[RowSpec],
        paging: Paging,
        more: Sequence[ButtonSpec] = (),
        said: Sequence[tuple[str, bool]] = (),
        alarm: str = "",
    ) -> None:
        """``alarm``: what calls, over everything."""
        super().__init__(sizes, title)
        self.low = self.above_bottom
        self.alarm(alarm)
        lines = [
            TextLine(sizes.figures.text(text), True, d.CORAL if wrong else d.TIDE) for text, wrong in said
        ]
        self._say(lines, len(rows))
        one = self.panel.portrait or self.rows_wide < self.wide or len(rows) <= self.rows_that_fit()
        columns = 1 if one else 2
        self.number, self.count = 0, 1

        def buttons() -> list[ButtonSpec]:
            self.count = len(parted(rows, columns, self.rows_that_fit()))
            self.number = paging.nearest(self.count)
            plain, main = [x for x in more if x[2] != "main"], [x for x in more if x[2] == "main"]
            return [paging.back_button, *plain, *paging.round(self.number, self.count), *main]

        self.paged(buttons)
        down = self.rows_that_fit()
        self.rows_shown = parted(rows, columns, down)[self.number]
        self._lay(columns, down if self.count > 1 else 0)

    @property
    def rows_wide(self) -> float:
        """How much of the width the rows take, in pixels."""
        return self.wide

    def _say(self, lines: Sequence[TextLine], rows: int) -> None:
        """The lines over the rows, as large as leaves room for these, and one of them at the least."""
        s, apart = self.sizes, self.sizes.gap * 0.4
        whole = (s.action * 1.25 + s.gap) * rows  # one column, each row with room for a second line
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

    def _lay(self, columns: int, down: int) -> None:
        """``down``: as many lines as a full page has; 0 where there is only one page."""
        s, broad = self.sizes, [x for x in self.rows_shown if _is_broad(x)]
        rest = [x for x in self.rows_shown if not _is_broad(x)]
        deep = min(down - len(broad) if down else -(-len(rest) // columns), len(rest))
        over, high = self._heights(len(broad), deep)
        wide = (self.rows_wide - s.gap * (columns - 1)) / columns
        groups = [x for x in ((broad, (self.rows_wide, over)), (rest, (wide, high))) if x[0]]
        name = min((self._name_font(rows, place) for rows, place in groups), default=s.note)
        fonts = self._fonts(groups, name)
        top = self.pen_y
        for rows, (width, tall) in groups:
            for n, spec in enumerate(rows):
                column, row = divmod(n, len(broad) if rows is broad else deep)
                button = RowButton(spec, s, fonts[spec])
                button.size = (width, tall)
                y = top - (row + 1) * tall - row * s.gap
                button.pos = (self.left + column * (width + s.gap), y)
                self.add_widget(button)
            top -= len(rows) * (tall + s.gap)

    def _heights(self, broad: int, deep: int) -> tuple[float, float]:
        """Of the broad rows, and of the lines of others under them: what room there is beyond what can be pressed is the
        broad ones', which have more to say."""
        s, lines = self.sizes, broad + deep or 1
        room = self.pen_y - self.low - s.gap * (lines - 1)
        most = s.action * 1.25
        even = min(room / lines, most)
        if not broad or not deep or even <= s.action:
            return even, even
        over = min((room - deep * s.action) / broad, s.action * 1.5)
        return over, min((room - broad * over) / deep, most)

    def _fonts(self, groups: Groups, most: int) -> dict[RowSpec, tuple[int, int]]:
        """Of each name and of the line under it: that name or smaller, as all it says has room; of the second lines one size on
        a page, the largest in which all have room."""
        s = self.sizes
        found: dict[RowSpec, tuple[int, int]] = {}
        for rows, place in groups:
            for row in rows:
                fits = ((f, detail_font(row, s, f, place)) for f in s.ladder[:3] if f <= most)
                found[row] = next((pair for pair in fits if pair[1]), (s.note, s.small))
        common = min((under for row, (_, under) in found.items() if row.detail), default=s.small)
        return {row: (name, min(under, common)) for row, (name, under) in found.items()}

    def _name_font(self, rows: Sequence[RowSpec], place: tuple[float, float]) -> int:
        """Of the names: the largest in which every row has room for all it says, if it can be not in the smallest letters.
        Where each takes a whole line, that in which what they say is largest."""
        s, fonts = self.sizes, self.sizes.ladder[:3]
        if any(_is_broad(row) for row in rows):
            return max(fonts, key=lambda font: min(detail_font(row, s, font, place) for row in rows))
        for least in (s.note, s.small):
            for font in fonts:
                if all(detail_font(row, s, font, place) >= least for row in rows):
                    return font
        return s.note


def _is_broad(row: RowSpec) -> bool:
    return row.calls or row.broad


def parted(rows: Sequence[RowSpec], columns: int, down: int) -> list[list[RowSpec]]:
    """The rows on pages of so many columns and lines; a broad one takes a whole line, and comes before the others."""
    pages: list[list[RowSpec]] = [[]]
    left = columns * down
    for row in sorted(rows, key=lambda x: not _is_broad(x)):
        needed = columns if _is_broad(row) else 1
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
