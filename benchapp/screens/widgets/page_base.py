"""A page: a title, lines of text, rows of buttons, and a row at the bottom."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import held_together
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.action_row import shrunk
from benchapp.screens.widgets.button import SAID, ButtonSpec, least_width
from benchapp.screens.widgets.surface import Area, Surface, presses_of
from benchapp.screens.widgets.text_label import TextLabel, fitting, natural_wide, wrapped_high
from benchapp.screens.widgets.text_line import MARKS, TextLine, draw_mark

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import ChannelStatus


#: A word of more signs than this is the name of a file or a batch: it may be broken.
LONGEST_WORD = 22
#: How much of a line the mark before it takes, as a multiple of the font size.
MARK_SHARE = 1.3
#: What is read ends so many gaps above the presses at the bottom, on every page; one on a low glass.
AIR = 2.0
#: From so many pixels of height on, there is room for larger words.
ROOMY_PX = 800


def body_size(sizes: Sizes) -> int:
    """The font size of what is read: larger where there is room for it."""
    return sizes.note if sizes.panel.height >= ROOMY_PX else sizes.small


class Page(Surface):
    """What is written goes down from the title; ``low`` is where there is no more room."""

    #: Whether its title stands on one line where the glass is low, smaller if need be: what is under it needs the room.
    one_line_title = False

    def __init__(self, sizes: Sizes, title: str) -> None:
        super().__init__(sizes)
        self.texts: list[TextLabel] = []
        self.pen_y = float(self.panel.height - sizes.pad)
        self.low = float(sizes.pad)
        self._head(title)

    def _head(self, title: str) -> None:
        """The title, smaller where it would leave less than half of the glass; it is cut before it is left out."""
        s = self.sizes
        room, wide = self.pen_y - self.panel.height / 2, int(self.wide)
        sizes: tuple[int, ...] = (s.instruction, s.line, s.note, s.small)
        beside = 0.0
        if self.one_line_title and self.panel.height < ROOMY_PX:
            room, beside = wrapped_high("x", s.instruction, True, wide), self._mark_wide
            sizes = (s.instruction, round((s.instruction + s.line) / 2), *sizes[1:])
        fits = next((x for x in sizes if wrapped_high(title, x, True, int(wide - beside)) <= room), s.small)
        self.line(fitting(title, fits, wide, room), fits, bold=True)

    @property
    def _mark_wide(self) -> float:
        """How much of its line the mark before a title takes, in pixels."""
        return self.sizes.instruction * 1.05 + self.sizes.gap

    def line(
        self, text: str, size: int, bold: bool = False, color: d.RGB | None = None, mark: str = ""
    ) -> bool:
        """One more line of text, with its mark before it; False (and nothing drawn) where there is no room left."""
        words, indent = TextLabel(text, size, color, bold=bold), size * MARK_SHARE if mark else 0.0
        if self.pen_y - words.height_at(self.wide - indent) < self.low:
            return False
        self.hang(words)
        if mark:
            self.sign(mark, size, words)
        self.pen_y = words.place(self.left + indent, self.pen_y, self.wide - indent) - self.sizes.gap * 0.4
        return True

    def sign(self, mark: str, size: float, on: Widget, at: tuple[float, float] | None = None) -> None:
        """A mark before words of that size that begin ``at`` this left upper corner, else before what is written next; it
        goes with the widget it is on."""
        (left, top), side = at or (self.left, self.pen_y), size * 0.98
        with on.canvas:
            draw_mark(mark, left, top - side * 1.12, side)

    def titled(self, mark: str) -> None:
        """Put a mark before the title, which takes its colour."""
        head, side = self.texts[0], self._mark_wide - self.sizes.gap
        below = head.y
        head.color = (*getattr(d, MARKS[mark][1]), 1)
        head.place(self.left + self._mark_wide, head.top, self.wide - self._mark_wide)
        self.pen_y -= max(below - head.y, 0.0)
        with self.canvas:
            draw_mark(mark, self.left, head.top - side, side)

    def alarm(self, text: str) -> None:
        """A band with what calls, as large as leaves two thirds of the room; nothing for ""."""
        if not text:
            return
        text = held_together(text)
        s, inner = self.sizes, int(self.wide - 2 * self.sizes.gap)
        room = (self.pen_y - self.low) / 3
        fonts = (s.instruction, *s.ladder)
        font = next((f for f in fonts if wrapped_high(text, f, True, inner) <= room), s.small)
        words = TextLabel(text, font, d.FOAM, bold=True)
        high = words.height_at(inner) + s.gap
        with self.canvas:
            Color(*d.CORAL)
            Rectangle(pos=(self.left, self.pen_y - high), size=(self.wide, high))
        self.hang(words)
        words.place(self.left + s.gap, self.pen_y - s.gap / 2, inner)
        self.pen_y -= high + s.gap * 0.6

    def listed(self, lines: Sequence[TextLine], size: int) -> None:
        """As many of these lines as there is room for, and how many more there are."""
        shown: list[tuple[TextLabel, float]] = []
        for one in lines:
            above = self.pen_y
            if not self.line(one.text, size, one.bold, one.color, one.mark):
                break
            shown.append((self.texts[-1], above))
        while len(shown) < len(lines) and not self.line(
            tr("and {count} more", count=len(lines) - len(shown)), size, True
        ):
            if not shown:
                break
            last, self.pen_y = shown.pop()
            self.remove_widget(last)
            self.texts.remove(last)

    def listed_large(self, lines: Sequence[TextLine], after: float = 0.0) -> None:
        """The same, as large as all of them have room for; the smallest where not all have. ``after`` is room that is kept
        for what stands under them, in pixels."""
        self.low += after
        s = self.sizes
        wide = int(self.wide - (s.line * MARK_SHARE if any(one.mark for one in lines) else 0.0))
        fonts = (*s.ladder[:3], body_size(s))
        self.listed(lines, largest(lines, fonts, wide, (self.pen_y - self.low, s.gap * 0.4)))
        self.low -= after

    def hang(self, *words: TextLabel) -> None:
        """Text of this page, wherever it stands."""
        for one in words:
            self.add_widget(one)
            self.texts.append(one)

    def at_foot(self, words: TextLabel, air: float = 0.5) -> None:
        """Words over the whole width, right over what stands at the foot of the page already; ``air`` over them, in gaps."""
        high = words.height_at(self.wide)
        self.hang(words)
        words.place(self.left, self.low + high, self.wide)
        self.low += high + self.sizes.gap * air

    def bottom(self, buttons: Sequence[ButtonSpec]) -> None:
        """The row at the bottom, or two where their words have no room in one; text keeps above it. What is only said stands
        beside the title."""
        for text in (label for label, _, kind in buttons if kind == SAID):
            self._beside_title(text)
        buttons = [x for x in buttons if x[2] != SAID]
        self.low = self.above_bottom
        if not self.in_one_row(buttons):
            half = len(buttons) // 2
            self.row(buttons[1 : half + 1], self.wide, above=1)
            self.low += self.sizes.action + self.sizes.gap
            buttons = [buttons[0], *buttons[half + 1 :]]
        self.row(buttons, self.wide)

    def in_one_row(self, buttons: Sequence[ButtonSpec]) -> bool:
        """Whether the words of all have room beside each other; on an upright glass, which has room for a second row, only
        while they need not be small."""
        presses = presses_of(self.sizes, [x for x in buttons if x[2] != SAID], self.leads_back)
        return shrunk(self.sizes, presses, self.wide, 2 if self.panel.portrait else 3)

    def _beside_title(self, text: str) -> None:
        """Small, at the right end of the title's line, where that has room for it."""
        title, words = self.texts[0], TextLabel(text, self.sizes.note, d.SLATE, bold=True)
        wide, high = words.natural()
        room = self.wide - (title.x - self.left) - self.sizes.gap - wide
        if natural_wide(title.text, round(title.font_size)) <= room:
            title.place(title.x, title.top, room)
            words.pos = (self.left + self.wide - wide, title.y + (title.height - high) / 2)
            self.hang(words)

    def paged(self, buttons: Callable[[], Sequence[ButtonSpec]]) -> None:
        """The row at the bottom of a page of many, ``buttons`` as they are once it is known what has room above them:
        where they take two rows, less has, and there may be others."""
        self.low = self.above_bottom
        found = buttons()
        if not self.in_one_row(found):
            self.low += self.sizes.action + self.sizes.gap
            found = buttons()
        self.bottom(found)

    @property
    def above_bottom(self) -> float:
        """Where what is read ends above the row at the bottom."""
        air = AIR if self.panel.height >= ROOMY_PX else 1.0
        return float(self.sizes.pad + self.sizes.action + self.sizes.gap * air)

    @property
    def room(self) -> Area:
        """What is left between the text and the row at the bottom."""
        return Area(self.left, self.low, self.wide, self.pen_y)

    def stack(self, buttons: Sequence[ButtonSpec], long: bool = False) -> None:
        """Buttons under the text, as many as there is room for; ``long``: each over the whole width."""
        if self.pen_y - self.low < self.sizes.action or not buttons:
            return
        columns = 1 if long or self.panel.portrait else 2
        fits = list(buttons)[: self.rows_that_fit() * columns]
        self.grid(fits, min(columns, len(fits)), self.room)

    def live(self, seen: Sequence[ChannelStatus]) -> None:
        """The bench as it reads now, every frame; most pages do not show it."""

    def rows_that_fit(self) -> int:
        """How many rows of buttons there is room for."""
        s = self.sizes
        return max(int((self.pen_y - self.low + s.gap) // (s.action + s.gap)), 1)


def largest(lines: Sequence[TextLine], fonts: Sequence[int], wide: int, height: tuple[float, float]) -> int:
    """The first of the fonts in which all lines have room under each other and no word is broken; else the last.
    ``height`` is the room and what keeps two lines apart, in pixels."""
    room, apart = height
    for font in fonts[:-1]:
        words = " ".join(word for one in lines for word in one.text.split() if len(word) <= LONGEST_WORD)
        whole = not words or least_width(words, font) <= wide + 20
        if whole and sum(wrapped_high(one.text, font, one.bold, wide) + apart for one in lines) <= room:
            return font
    return fonts[-1]


def wait_page(sizes: Sizes, what: str) -> Page:
    """Something is being read or opened; it says what."""
    page = Page(sizes, tr("One moment."))
    page.listed_large([TextLine(what)])
    return page


def message_page(sizes: Sizes, sentence: str, back: Callable[[], None]) -> Page:
    """How it went, or why not: the first sentence as the title, and what else is said of it under it."""
    first, *rest = re.split(r"(?<=[.?!]) (?=[A-ZÀ-Þ])", sentence)
    page = Page(sizes, first)
    page.bottom([("Back", back, "main")])
    page.listed_large([TextLine(one) for one in rest])
    return page
