"""Lines to read, on as many pages as they take: each says which it is, and the last one is the end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

from benchapp.foundation.language import tr, tr_noop
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ABSENT, SAID, ButtonSpec
from benchapp.screens.widgets.page_base import Page, body_size
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high
from benchapp.screens.widgets.text_line import TextLine, draw_mark

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
    """What stands on pages. ``head``: it never stands last on one."""

    @property
    def head(self) -> bool: ...


L = TypeVar("L", bound=Paged)


def paginate(lines: Sequence[L], high: Callable[[L], float], room: float) -> list[list[L]]:
    """The lines on pages: one higher than a page gets one to itself, a heading goes over with what it heads."""
    pages: list[list[L]] = [[]]
    left = room
    for line in lines:
        needed = high(line)

        if needed > left and pages[-1]:
            over = [pages[-1].pop()] if pages[-1][-1].head and len(pages[-1]) > 1 else []
            pages.append(over)
            left = room - sum(high(one) for one in over)
        pages[-1].append(line)
        left -= needed
    return pages


class PagedText(Page):
    """One page of the lines, as large as one has room for all of them. ``more`` are the buttons after those that turn the page."""

    def __init__(
        self, sizes: Sizes, title: str, lines: Sequence[TextLine], paging: Paging, more: Sequence[ButtonSpec] = ()
    ) -> None:  # fmt: skip
        super().__init__(sizes, title)
        self._times, self._marked = {x.time for x in lines if x.time}, any(x.mark for x in lines)
        self.low = self.above_bottom
        pages: list[list[TextLine]] = []

        def buttons() -> list[ButtonSpec]:
            pages[:] = self._paginated(lines)
            self.number, self.count = paging.nearest(len(pages)), len(pages)
            return [paging.back_button, *paging.buttons(self.count), *more]

        self.paged(buttons)
        for line in pages[self.number]:
            self._draw(line)

    def _paginated(self, lines: Sequence[TextLine]) -> list[list[TextLine]]:
        """As large as one page has room for all of them; of the size of what is read on as many as they take."""
        pages: list[list[TextLine]] = []
        least = body_size(self.sizes)
        for font in (*self.sizes.ladder[:3], least):
            self._size = max(font, least)
            self._gutter = font * (1.6 if self._marked else 0.0)
            widest = max((natural_wide(time, self._size) for time in self._times), default=0.0)
            self._clock = widest + self._size * 0.6 if widest else 0.0
            pages = paginate(lines, self._high, self.pen_y - self.low)
            if len(pages) == 1:
                break
        return pages

    def _indent(self, line: TextLine) -> float:
        if not (line.mark or line.time):
            return 0.0
        return self._gutter + (self._clock if line.time else 0.0)

    def _high(self, line: TextLine) -> float:
        inner = int(self.wide - self._indent(line))
        return (
            wrapped_high(self.sizes.figures.text(line.text), self._size, line.bold, inner)
            + self.sizes.gap * 0.5
        )

    def _draw(self, line: TextLine) -> None:
        words = TextLabel(self.sizes.figures.text(line.text), self._size, line.color, bold=line.bold)
        indent, top = self._indent(line), self.pen_y
        self.hang(words)
        self.pen_y = words.place(self.left + indent, top, self.wide - indent) - self.sizes.gap * 0.5
        if line.time:
            clock = TextLabel(line.time, self._size, d.SLATE)
            self.add_widget(clock)
            clock.place(self.left + self._gutter, top, self._clock)
        if line.mark:
            side = self._size * 1.15
            with self.canvas:
                draw_mark(line.mark, self.left, top - side, side)


def text_page(
    sizes: Sizes, title: str, lines: Sequence[str], paging: Paging, more: Sequence[ButtonSpec] = ()
) -> PagedText:
    """Sentences to read, a page at a time."""
    return PagedText(sizes, title, [TextLine(text) for text in lines], paging, more)
