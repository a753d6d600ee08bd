"""Rows to press, in columns where there is room: a name, a figure at its right end, and a second line under the name."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec, TouchButton
from benchapp.screens.widgets.page_base import Page, largest
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.text_label import TextLabel, fitting, natural_wide, wrapped_high
from benchapp.screens.widgets.text_line import TextLine

#: How far words keep from the edges of a row, in pixels; and the most of its width a figure takes.
_EDGE, _FIGURE_SHARE = 14.0, 0.6


@dataclass(frozen=True, slots=True)
class RowSpec:
    """A row to be. ``wrong``: something is wrong with it, and its second line says what, or the line over the rows does."""

    label: str
    act: Callable[[], None]
    detail: str = ""
    figure: str = ""
    wrong: bool = False


class RowButton(TouchButton):
    """One row: what does not fit of its second line is cut, and said where the row leads to."""

    def __init__(self, spec: RowSpec, sizes: Sizes, fonts: tuple[int, int]) -> None:
        """``fonts``: of its name, and of its second line."""
        font, small = fonts
        super().__init__(spec.label, spec.act, "plain", font)
        put = sizes.figures.text
        self._name = put(spec.label)
        self.caption.halign, self.caption.text = "left", self._name
        self._said = put(spec.detail)
        self.under = TextLabel("", small, d.CORAL if spec.wrong else d.SLATE, bold=spec.wrong)
        self.figure = TextLabel(
            put(spec.figure), font, d.CORAL if spec.wrong else d.TIDE, bold=True, halign="right"
        )
        self._edged.rgb = d.CORAL if spec.wrong else d.DRIFT
        for words in (self.under, self.figure):
            self.add_widget(words)
        self._figure_wide = self.figure.natural()[0] if self.figure.text else 0.0

    def _arrange(self, *_: object) -> None:
        self._box.pos, self._box.size = self.pos, self.size
        self._edge.rounded_rectangle = (*self.pos, *self.size, 10)
        if not hasattr(self, "_figure_wide"):
            return  # its words are not there yet
        inner = self.width - 2 * _EDGE
        figure, said = self._figure_wide, self._said
        if figure > inner * _FIGURE_SHARE and not said:  # too long to stand beside the name: under it
            figure, said = 0.0, self.figure.text
        figure = min(figure, inner * _FIGURE_SHARE)
        name = inner - figure - (_EDGE if figure else 0.0)
        self.caption.text = fitting(self._name, int(self.caption.font_size), int(name), self.height - 8)
        high = self.caption.height_at(name)
        self.under.text = fitting(said, int(self.under.font_size), int(inner), self.height - high - 10)
        under = self.under.height_at(inner) if self.under.text else 0.0
        top = self.center_y + (high + under) / 2
        low = self.caption.place(self.x + _EDGE, top, name)
        if self.under.text:
            self.under.place(self.x + _EDGE, low, inner)
        self.figure.opacity = 1 if figure else 0
        if figure:
            self.figure.place(self.right - _EDGE - figure, top, figure)


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
        columns = 1 if self.panel.portrait or len(rows) <= self.rows_that_fit() else 2
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
        wide = (self.wide - s.gap * (columns - 1)) / columns
        deep = min(down, len(self.rows_shown)) or 1
        high = min((self.pen_y - self.low - s.gap * (deep - 1)) / deep, s.action * 1.25)
        name = self._name_font(wide, high)
        for n, spec in enumerate(self.rows_shown):
            column, row = divmod(n, deep)
            fonts = name, self._detail_font(spec, name, wide, high) or s.small
            button = RowButton(spec, s, fonts)
            button.size = (wide, high)
            button.pos = (self.left + column * (wide + s.gap), self.pen_y - (row + 1) * high - row * s.gap)
            self.add_widget(button)

    def _name_font(self, wide: float, high: float) -> int:
        """Of all names: the largest in which every row has room for all it says."""
        s = self.sizes
        for font in s.ladder[:3]:
            if all(self._detail_font(spec, font, wide, high) for spec in self.rows_shown):
                return font
        return s.note

    def _detail_font(self, spec: RowSpec, name: int, wide: float, high: float) -> int:
        """Of a row's second line under a name of that size; 0 where there is no room for all of it."""
        put, inner, s = self.sizes.figures.text, wide - 2 * _EDGE, self.sizes
        figure = natural_wide(put(spec.figure), name) + _EDGE if spec.figure else 0.0
        if figure > inner * _FIGURE_SHARE:
            return 0
        left = high - 12 - wrapped_high(put(spec.label), name, True, int(inner - figure))
        fonts = [f for f in s.ladder[1:] if f < name or f == s.note]
        if not spec.detail:
            return fonts[0] if left >= 0 else 0
        fits = (f for f in fonts if wrapped_high(put(spec.detail), f, spec.wrong, int(inner)) <= left)
        return next(fits, 0)


def rows_a_page(sizes: Sizes, title: str) -> int:
    """How many rows stand on one page without lines over them."""
    page = Page(sizes, title)
    page.low = page.above_bottom
    return page.rows_that_fit() * (1 if sizes.panel.portrait else 2)
