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

#: No more than this share of the rows is smaller than the others, and none that says less than so many signs.
FEW_ROWS, MUCH = 0.3, 60


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
        lines = len(broad) + deep or 1
        high = min((self.pen_y - self.low - s.gap * (lines - 1)) / lines, s.action * 1.25)
        wide = (self.rows_wide - s.gap * (columns - 1)) / columns
        for rows, width, begin, over in (
            (broad, self.rows_wide, 0, len(broad)),
            (rest, wide, len(broad), deep),
        ):
            most = self._name_font(rows, width, high)
            for n, spec in enumerate(rows):
                column, row = divmod(n, over)
                name = next(
                    (f for f in s.ladder[:3] if f <= most and detail_font(spec, s, f, (width, high))), s.note
                )
                button = RowButton(spec, s, (name, detail_font(spec, s, name, (width, high)) or s.small))
                button.size = (width, high)
                y = self.pen_y - (begin + row + 1) * high - (begin + row) * s.gap
                button.pos = (self.left + column * (width + s.gap), y)
                self.add_widget(button)

    def _name_font(self, rows: Sequence[RowSpec], wide: float, high: float) -> int:
        """Of the names: the largest in which most rows have room for all they say; only a row in which something is wrong or
        much is said is smaller alone. Where each takes a whole line, that in which what they say is largest."""
        s, fonts = self.sizes, self.sizes.ladder[:3]
        if any(_is_broad(row) for row in rows):
            return max(fonts, key=lambda font: min(detail_font(row, s, font, (wide, high)) for row in rows))
        for font in fonts:
            short = [spec for spec in rows if not detail_font(spec, s, font, (wide, high))]
            alone = all(spec.wrong or len(spec.detail) > MUCH for spec in short)
            if alone and len(short) <= FEW_ROWS * len(rows):
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
