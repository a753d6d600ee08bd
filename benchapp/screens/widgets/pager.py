"""Lines to read, on as many pages as they take: each says which it is, and the last one is the end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

from benchapp.foundation.language import tr, tr_noop
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.shapes import draw_shape
from benchapp.screens.widgets.button import ABSENT, SAID, ButtonSpec
from benchapp.screens.widgets.page_base import Page, body_size
from benchapp.screens.widgets.text_label import TextLabel, natural_wide
from benchapp.screens.widgets.text_line import MARKS, TextLine

R = TypeVar("R")


#: What turns the page.
NEXT_PAGE, FIRST_PAGE, PAGE_BEFORE = tr_noop("Next page"), tr_noop("First page"), tr_noop("Page before")


def _where(number: int, count: int) -> ButtonSpec:
    """Which page one sees, counted from 0; on a press it would read as the one that it leads to."""
    said = tr("page {number} of {count}", number=number + 1, count=count)
    return said.replace(" ", "\u00a0"), lambda: None, SAID


def turn_button(number: int, count: int, act: Callable[[], None]) -> ButtonSpec:
    """What turns from the page of this number, counted from 0, to the next, after the last to the first again."""
    return NEXT_PAGE if number < count - 1 else FIRST_PAGE, act, "plain"


@dataclass(frozen=True, slots=True)
class Paging:
    """Which page is wanted, what shows another one, and the way back."""

    back: Callable[[], None]
    turn: Callable[[int], None] | None = None  # None: there is never a second page
    number: int = 0
    back_label: str = "Back"

    @property
    def back_button(self) -> ButtonSpec:
        """The first of the row at the bottom."""
        return self.back_label, self.back, "plain"

    def buttons(self, count: int) -> list[ButtonSpec]:
        """The buttons that turn ``count`` pages, each always in the same place: what is pressed twice turns none back."""
        turn, number = self.turn, self.nearest(count)
        if count == 1 or turn is None:
            return []
        before: ButtonSpec = (PAGE_BEFORE, lambda: turn(number - 1), "plain" if number else ABSENT)
        on: ButtonSpec = (NEXT_PAGE, lambda: turn(number + 1), "plain" if number < count - 1 else ABSENT)
        return [_where(number, count), before, on]

    def round(self, number: int, count: int) -> list[ButtonSpec]:
        """The one button that turns from that page of ``count`` to the next, after the last to the first again."""
        turn = self.turn
        if count == 1 or turn is None:
            return []
        return [_where(number, count), turn_button(number, count, lambda: turn((number + 1) % count))]

    def part(self, rows: Sequence[R], room: int) -> tuple[Sequence[R], list[ButtonSpec]]:
        """The rows of the page wanted, with ``room`` for so many on each, and the first buttons at its bottom."""
        pages = max(-(-len(rows) // room), 1)
        number = self.nearest(pages)
        return rows[number * room : (number + 1) * room], [self.back_button, *self.buttons(pages)]

    def nearest(self, count: int) -> int:
        """The page wanted, or the last of ``count``."""
        return min(self.number, count - 1)


class Paged(Protocol):
    """What stands on pages. ``head``: it never stands last on one; ``fresh``: it begins a column."""

    @property
    def head(self) -> bool: ...
    @property
    def fresh(self) -> bool: ...


L = TypeVar("L", bound=Paged)


def paginate(lines: Sequence[L], high: Callable[[L], float], room: float, columns: int = 1) -> list[list[L]]:
    """The lines on pages, or in columns: one higher than a page gets one to itself, a heading goes over with what it heads."""
    pages: list[list[L]] = [[]]
    left = room
    for line in lines:
        needed = high(line)
        if line.fresh and columns > 1 and len(pages) % columns:
            pages.append([])
            left = room
        if needed > left and pages[-1]:
            over = [pages[-1].pop()] if pages[-1][-1].head and len(pages[-1]) > 1 else []
            pages.append(over)
            left = room - sum(high(one) for one in over)
        pages[-1].append(line)
        left -= needed
    return pages


class PagedText(Page):
    """One page of the lines. ``more`` are the buttons after those that turn the page."""

    #: In so many columns the lines stand beside each other on a wide glass.
    columns = 1

    def __init__(
        self,
        sizes: Sizes,
        title: str,
        lines: Sequence[TextLine],
        paging: Paging,
        more: Sequence[ButtonSpec] = (),
        size: int = 0,
        alarm: str = "",
    ) -> None:
        """``alarm``: what calls, over everything."""
        super().__init__(sizes, title)
        self._rulers: dict[tuple[bool, bool], TextLabel] = {}
        self._times, self._marked = {x.time for x in lines if x.time}, any(x.mark for x in lines)
        self.low = self.above_bottom
        self.alarm(alarm)
        n = self.columns
        self._wide = (self.wide - sizes.gap * 3 * (n - 1)) / n
        pages: list[list[list[TextLine]]] = []

        def buttons() -> list[ButtonSpec]:
            found = self._paginated(lines, size or sizes.small)
            pages[:] = [found[first : first + n] for first in range(0, len(found), n)]
            self.number, self.count = paging.nearest(len(pages)), len(pages)
            return [paging.back_button, *paging.buttons(self.count), *more]

        self.paged(buttons)
        top = self.pen_y
        for nth, column in enumerate(pages[self.number]):
            self._x, self.pen_y = self.left + nth * (self._wide + sizes.gap * 3), top
            for line in column:
                self._draw(line)

    def _paginated(self, lines: Sequence[TextLine], least: int) -> list[list[TextLine]]:
        """As large as one page has room for all of them; of the least size on as many as they take."""
        pages: list[list[TextLine]] = []
        s = self.sizes
        for font in (*s.ladder[:3], least):
            self._size = max(font, least)
            self._rulers.clear()
            self._gutter = font * (1.6 if self._marked else 0.0)
            widest = max((natural_wide(time, self._size) for time in self._times), default=0.0)
            self._clock = widest + self._size * 0.6 if widest else 0.0
            pages = paginate(lines, self._high, self.pen_y - self.low, self.columns)
            if len(pages) <= self.columns:
                break
        return pages

    def _words(self, line: TextLine) -> TextLabel:
        size = max(self.sizes.note, self._size) if line.head else self._size
        return TextLabel(self.sizes.figures.text(line.text), size, line.color, bold=line.bold or line.head)

    def _indent(self, line: TextLine) -> float:
        if line.head or not (line.mark or line.time):
            return 0.0
        return self._gutter + (self._clock if line.time else 0.0)

    def _high(self, line: TextLine) -> float:
        """Measured with one ruler for all lines that look alike: a long record has hundreds."""
        looks = line.head, line.bold or line.head
        if looks not in self._rulers:
            self._rulers[looks] = self._words(line)
        ruler = self._rulers[looks]
        ruler.text = self.sizes.figures.text(line.text)
        before = self.sizes.gap * 0.7 if line.head else 0.0
        return ruler.height_at(self._wide - self._indent(line)) + self.sizes.gap * 0.5 + before

    def _draw(self, line: TextLine) -> None:
        words, indent = self._words(line), self._indent(line)
        top = self.pen_y - (self.sizes.gap * 0.7 if line.head else 0.0)
        self.hang(words)
        self.pen_y = words.place(self._x + indent, top, self._wide - indent) - self.sizes.gap * 0.5
        if line.time:
            clock = TextLabel(line.time, self._size, d.SLATE)
            self.add_widget(clock)
            clock.place(self._x + self._gutter, top, self._clock)
        if line.mark:
            shape, colour = MARKS[line.mark]
            side = self._size * 1.15
            with self.canvas:
                draw_shape(shape, self._x, top - side, side, getattr(d, colour))


def text_page(sizes: Sizes, title: str, lines: Sequence[str], paging: Paging) -> PagedText:
    """Lines to read, a page at a time, larger where there is room for it."""
    return PagedText(sizes, title, [TextLine(text) for text in lines], paging, size=body_size(sizes))
