"""What is to be read, each part with its sign and its name before it: found at one look, and read one at a time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kivy.uix.widget import Widget

from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import held_together
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high
from benchapp.screens.widgets.text_line import draw_mark

if TYPE_CHECKING:
    from benchapp.screens.widgets.page_base import Page

#: The most of the width that the names have; more stands over its words.
NAMES_SHARE = 0.3
#: The side of a sign, and how far its name stands from its beginning, as multiples of the font size.
SIDE, AFTER_SIGN = 0.95, 1.35


@dataclass(frozen=True, slots=True)
class NamedLine:
    """``mark`` is one of MARKS, "" for none; words without a name stand over the whole width."""

    name: str
    text: str
    mark: str = ""
    bold: bool = False

    @property
    def head(self) -> bool:
        """Whether it is a heading, which never stands last on a page."""
        return self.bold and not self.name and not self.mark


class NamedLines:
    """The lines in one size and width: how high each is, and drawing it."""

    def __init__(self, sizes: Sizes, lines: Sequence[NamedLine], font: int, wide: float) -> None:
        self._figures, self._font, self._wide, self._gap = sizes.figures, font, wide, sizes.gap
        names = max((natural_wide(x.name, font) for x in lines if x.name), default=0.0)
        column = names + font * AFTER_SIGN * any(x.mark for x in lines) + sizes.gap * 2.5
        self._column = column if column <= wide * NAMES_SHARE else 0.0

    def high(self, line: NamedLine) -> float:
        """How high it is, with what keeps it from the next one."""
        text = wrapped_high(self._put(line), self._font, line.bold, int(self._text_wide(line)))
        over = wrapped_high(line.name, self._font, True, int(self._wide)) if self._over(line) else 0.0
        return text + over + self._gap * 0.7

    def draw(self, on: Widget, line: NamedLine, left: float, top: float) -> tuple[float, list[TextLabel]]:
        """Draw it from there downwards; returns where the next one begins, and its words."""
        labels, y = [], top
        if line.mark:
            side = self._font * SIDE
            with on.canvas:
                draw_mark(line.mark, left, top - side * 1.1, side)
        if line.name:
            name = TextLabel(line.name, self._font, d.TIDE, bold=True)
            on.add_widget(name)
            indent = self._font * AFTER_SIGN if line.mark else 0.0
            over = self._wide if self._over(line) else self._column
            low = name.place(left + indent, top, over - indent - self._gap)
            y = low if self._over(line) else top
            labels.append(name)
        words = TextLabel(self._put(line), self._font, d.INK, bold=line.bold)
        on.add_widget(words)
        labels.append(words)
        return words.place(
            left + self._wide - self._text_wide(line), y, self._text_wide(line)
        ) - self._gap * 0.7, labels

    def _put(self, line: NamedLine) -> str:
        return self._figures.text(line.text)

    def _over(self, line: NamedLine) -> bool:
        """Whether its name stands over its words: there is no column for it."""
        return bool(line.name) and not self._column

    def _text_wide(self, line: NamedLine) -> float:
        if line.name and self._column:
            return self._wide - self._column
        return self._wide - (self._font * AFTER_SIGN if line.mark else 0.0)


def named_on(page: Page, lines: Sequence[NamedLine]) -> None:
    """Hang them on a page from where its text ends, as large as all of them have room for."""
    room = page.pen_y - page.low
    for font in page.sizes.ladder:
        drawn = NamedLines(page.sizes, lines, font, page.wide)
        if sum(drawn.high(line) for line in lines) <= room:
            break
    for line in lines:
        page.pen_y, labels = drawn.draw(page, line, page.left, page.pen_y)
        page.texts += labels


def led_by(page: Page, text: str, lines: Sequence[NamedLine]) -> None:
    """The same under what counts most, which is as large as leaves all of them room in the size in which one works."""
    s = page.sizes
    under = NamedLines(s, lines, s.line, page.wide)
    large_line(page, text, page.pen_y - page.low - sum(under.high(line) for line in lines) - s.gap)
    named_on(page, lines)


def large_line(page: Page, text: str, room: float) -> None:
    """What counts most on a page, as large as what is acted on at a glance where that has so much room, else smaller."""
    s, text = page.sizes, held_together(text)
    middle = round((s.instruction + s.line) / 2)
    steps = (round((s.across + s.instruction) / 2), s.instruction, middle, *s.ladder)
    fonts = dict.fromkeys((s.across, *steps))
    font = next((f for f in fonts if wrapped_high(text, f, True, int(page.wide)) + s.gap <= room), s.small)
    page.line(text, font, bold=True)
    page.pen_y -= s.gap * 0.6
