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
            self.count = max(-(-len(rows) // (columns * self.rows_that_fit())), 1)
            self.number = paging.nearest(self.count)
            plain, main = [x for x in more if x[2] != "main"], [x for x in more if x[2] == "main"]
            return [paging.back_button, *plain, *paging.round(self.number, self.count), *main]

        self.paged(buttons)
        down = self.rows_that_fit()
        first = self.number * columns * down
        self.rows_shown = list(rows[first : first + columns * down])
        self._lay(columns, down if self.count > 1 else -(-len(rows) // columns))

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
        s = self.sizes
        wide = (self.rows_wide - s.gap * (columns - 1)) / columns
        deep = min(down, len(self.rows_shown)) or 1
        high = min((self.pen_y - self.low - s.gap * (deep - 1)) / deep, s.action * 1.25)
        name = self._name_font(wide, high)
        for n, spec in enumerate(self.rows_shown):
            column, row = divmod(n, deep)
            fonts = name, detail_font(spec, s, name, (wide, high)) or s.small
            button = RowButton(spec, s, fonts)
            button.size = (wide, high)
            button.pos = (self.left + column * (wide + s.gap), self.pen_y - (row + 1) * high - row * s.gap)
            self.add_widget(button)

    def _name_font(self, wide: float, high: float) -> int:
        """Of all names: the largest in which every row has room for all it says."""
        s = self.sizes
        for font in s.ladder[:3]:
            if all(detail_font(spec, s, font, (wide, high)) for spec in self.rows_shown):
                return font
        return s.note


def rows_a_page(sizes: Sizes, title: str) -> int:
    """How many rows stand on one page without lines over them."""
    page = Page(sizes, title)
    page.low = page.above_bottom
    return page.rows_that_fit() * (1 if sizes.panel.portrait else 2)
