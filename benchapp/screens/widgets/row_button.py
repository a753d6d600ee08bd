"""One row to press: a name, a figure at its right end, a second line under the name; a day before it, a bar along its foot,
an arrow head at its end where it leads on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from kivy.graphics import Canvas, Color, Line, Rectangle, RoundedRectangle

from benchapp.screens.display import design as d
from benchapp.screens.display.dates import leaf
from benchapp.screens.display.phrases import held_together
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import TouchButton
from benchapp.screens.widgets.text_label import TextLabel, fitting, natural_wide, wrapped_high
from benchapp.screens.widgets.text_line import draw_mark

#: How far words keep from the edges of a row, in pixels; and the most of its width a figure takes.
_EDGE, _FIGURE_SHARE = 14.0, 0.68
#: How high the bar is, and how far it keeps from the foot of the row, in pixels.
_BAR, _BAR_EDGE = 9.0, 10.0
#: How wide the arrow head is, and how much of the right end of a row it takes, in pixels.
_HEAD, _HEAD_ROOM = 9.0, 22.0
#: How much of its height its words leave free, in pixels.
_OVER_AND_UNDER = 10.0


@dataclass(frozen=True, slots=True)
class RowSpec:
    """A row to be. ``wrong``: something is wrong with it, and its second line says what, or the line over the rows does.
    ``mark`` stands before the second line (see text_line.MARKS); ``day`` before all of it, as its number, and its month with the year;
    ``share`` is how much of something is left, 0 to 1, drawn as a bar along the foot; one that ``calls`` is filled
    in the colour of trouble; ``broad``: it takes a whole line, and comes before the others; ``calm``: its second line is
    no part of what is wrong with it; ``first``: it presses most, and is written a step larger than others; ``filled``: it is what the
    filled press does, too; ``leads``: it leads on, and does not change something where it stands."""

    label: str
    act: Callable[[], None]
    detail: str = ""
    figure: str = ""
    wrong: bool = False
    mark: str = ""
    day: tuple[str, str] = ("", "")
    share: float | None = None
    calls: bool = False
    broad: bool = False
    calm: bool = False
    first: bool = False
    filled: bool = False

    leads: bool = True

    @property
    def loud(self) -> bool:
        """Whether its second line is bold, and in the colour of trouble."""
        return (self.wrong and not self.calm) or self.calls


class RowButton(TouchButton):
    """One row: what does not fit of its second line is cut, and said where the row leads to.
    ``words_high``: how high what it says is, in pixels."""

    words_high = 0.0

    def __init__(self, spec: RowSpec, sizes: Sizes, fonts: tuple[int, int]) -> None:
        """``fonts``: of its name, and of its second line."""
        font, small = fonts
        super().__init__(spec.label, spec.act, "plain", font)
        put = partial(_put, sizes)
        self._spec, self._lead = spec, _lead(spec, sizes)
        self._inset: float | None = None
        self._name = put(spec.label)
        self.caption.halign, self.caption.text = "left", self._name
        self._said = put(spec.detail)
        self.under = TextLabel("", small, d.CORAL if spec.loud else d.SLATE, bold=spec.loud)
        self.figure = TextLabel(
            put(spec.figure), font, d.CORAL if spec.wrong else d.TIDE, bold=True, halign="right"
        )
        on, year = _on_the_leaf(spec.day)
        self._day = TextLabel(on, sizes.note, d.TIDE, bold=True, halign="center")
        self._year = TextLabel(year, sizes.small, d.SLATE, halign="center")
        self._edged.rgb = d.CORAL if spec.wrong or spec.calls else d.DRIFT
        if spec.calls or spec.filled:
            self.ground = self._fill.rgb = self._edged.rgb = d.CORAL if spec.calls else d.TIDE
            for words in (self.caption, self.under, self.figure):
                words.color = (*d.FOAM, 1)
        for words in (self.under, self.figure, self._day, self._year):
            self.add_widget(words)
        self._drawn = Canvas()
        self.canvas.add(self._drawn)
        self._figure_wide = self.figure.natural()[0] if self.figure.text else 0.0

    def _arrange(self, *_: object) -> None:
        self._box.pos, self._box.size = self.pos, self.size
        self._edge.rounded_rectangle = (*self.pos, *self.size, 10)
        if not hasattr(self, "_figure_wide"):
            return  # its words are not there yet
        left = self.x + _EDGE + self._lead
        inner = self.width - 2 * _EDGE - self._lead - _head_room(self._spec)
        foot = 0.0 if self._spec.share is None else _BAR + _BAR_EDGE
        figure, said = _beside_name(self._figure_wide, inner, self.figure.text, self._said)
        name = inner - figure - (_EDGE if figure else 0.0)
        self.caption.text = fitting(
            self._name, int(self.caption.font_size), int(name), self.height - foot - 8
        )
        high = self.caption.height_at(name)
        sign = _sign_wide(self._spec, self.under.font_size)
        self.under.text = fitting(
            said,
            int(self.under.font_size),
            int(inner - sign),
            self.height - foot - high - 10,
            self.under.bold,
        )
        under = self.under.height_at(inner - sign) if self.under.text else 0.0
        self.words_high = high + under + foot
        top = self.center_y + self.words_high / 2 if self._inset is None else self.top - self._inset
        low = self.caption.place(left, top, name)
        if self.under.text:
            self.under.place(left + sign, low, inner - sign)
        self.figure.opacity = 1 if figure else 0
        if figure:
            self.figure.place(left + inner - figure, top, figure)
        self._draw_signs(left, low, inner)

    def begin_at(self, inset: float) -> None:
        """Let what it says begin so far below its top, in pixels, instead of standing in the middle."""
        self._inset = inset
        self._arrange()

    def _draw_signs(self, left: float, low: float, inner: float) -> None:
        """The mark before the second line, the bar along the foot, and the day before all of it."""
        spec, side = self._spec, self.under.font_size * 0.95
        self._drawn.clear()
        if self._lead:
            day, year = self._day, self._year
            high = day.height_at(self._lead) + year.height_at(self._lead)
            wide = self._lead - _EDGE
            year.place(self.x + _EDGE, day.place(self.x + _EDGE, self.center_y + high / 2, wide) + 4, wide)
            with self._drawn:
                Color(*d.WET_SAND)
                Rectangle(pos=(left - _EDGE, self.y + _EDGE), size=(2, self.height - 2 * _EDGE))
        with self._drawn:
            if spec.leads:
                Color(*(d.FOAM if spec.calls or spec.filled else d.SLATE))
                tip, y = self.right - _EDGE, self.caption.top - self.caption.font_size * 0.62
                Line(
                    points=[tip - _HEAD, y + _HEAD, tip, y, tip - _HEAD, y - _HEAD], width=2.0, joint="miter"
                )
            if spec.mark and self.under.text:
                draw_mark(spec.mark, left, low - side * 1.15, side)
            if spec.share is not None:
                for part, ink in ((1.0, d.WET_SAND), (min(max(spec.share, 0.0), 1.0), d.TIDE)):
                    Color(*ink)
                    if part * inner > _BAR:
                        RoundedRectangle(
                            pos=(left, self.y + _BAR_EDGE), size=(inner * part, _BAR), radius=[_BAR / 2]
                        )


def _put(sizes: Sizes, text: str) -> str:
    """As figures are written here, each on one line with its unit."""
    return held_together(sizes.figures.text(text))


def _lead(spec: RowSpec, sizes: Sizes) -> float:
    """How much of the width the day before a row takes, in pixels: the same in each month."""
    if not spec.day[0]:
        return 0.0
    days = (*(leaf(f"2026-{n:02d}-28") for n in range(1, 13)), spec.day)
    return max(natural_wide(_on_the_leaf(one)[0], sizes.note) for one in days) + 2 * _EDGE


def _on_the_leaf(day: tuple[str, str]) -> tuple[str, str]:
    """A day with its month, and the year under it; month and year come together."""
    month, _, year = day[1].rpartition(" ")
    return f"{day[0]}\u00a0{month}" if month else day[0], year


def on_one_line(spec: RowSpec, sizes: Sizes, name: int, wide: float) -> bool:
    """Whether a row's name of that size needs no second line, in a row of that width."""
    put = partial(_put, sizes)
    figure = natural_wide(put(spec.figure), name) + _EDGE if spec.figure else 0.0
    return natural_wide(put(spec.label), name) <= _inner(spec, sizes, wide) - figure


def _head_room(spec: RowSpec) -> float:
    """How much of the right end of a row the arrow head takes, in pixels."""
    return _HEAD_ROOM if spec.leads else 0.0


def _inner(spec: RowSpec, sizes: Sizes, wide: float) -> float:
    """How much of the width of a row its words may take, in pixels."""
    return wide - 2 * _EDGE - _lead(spec, sizes) - _head_room(spec)


def _sign_wide(spec: RowSpec, font: float) -> float:
    """How much of the second line the mark before it takes, in pixels."""
    return font * 1.25 if spec.mark else 0.0


def _beside_name(figure_wide: float, inner: float, figure: str, said: str) -> tuple[float, str]:
    """How much of the width the figure takes beside the name, in pixels, and what stands under it: the figure too, where it is too
    long to stand beside it."""
    if figure_wide > inner * _FIGURE_SHARE:
        return 0.0, "\n".join(x for x in (figure, said) if x)
    return figure_wide, said


def row_high(spec: RowSpec, sizes: Sizes, fonts: tuple[int, int], wide: float) -> float:
    """How high a row of that width has to be for all it says, its name and its second line in those sizes, in pixels."""
    put, inner = partial(_put, sizes), _inner(spec, sizes, wide)
    name, said = fonts
    wide = natural_wide(put(spec.figure), name) if spec.figure else 0.0
    figure, under = _beside_name(wide, inner, put(spec.figure), put(spec.detail))
    high = wrapped_high(put(spec.label), name, True, int(inner - figure - (_EDGE if figure else 0.0)))
    if under:
        high += wrapped_high(under, said, spec.loud, int(inner - _sign_wide(spec, said)))
    high += _OVER_AND_UNDER
    return high + (0.0 if spec.share is None else _BAR + _BAR_EDGE)
