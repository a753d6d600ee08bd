"""Lines to read, on as many pages as they take: each says which it is, and the last one is the end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from benchapp.screens import design as d
from benchapp.screens.drawings.shapes import draw_shape
from benchapp.screens.home import Labelled, Page
from benchapp.screens.parts import Words

if TYPE_CHECKING:
    from benchapp.record.batch_record import Record
    from benchapp.screens.panel import Panel, Sizes
    from benchapp.screens.ways import Ways

#: The shape and colour of a mark before a line.
MARKS = {"good": ("tick", d.KELP), "bad": ("stop", d.CORAL)}


@dataclass(frozen=True, slots=True)
class Told:
    """One line: its words, how they look, and what stands before them: a mark of MARKS, a time, or nothing.

    ``head``: a heading, which never stands last on a page.
    """

    text: str
    bold: bool = False
    color: d.RGB = d.INK
    mark: str = ""
    time: str = ""
    head: bool = False


class LeavesPage(Page):
    """One of the pages. ``first`` and ``last`` are the presses around those that turn the page."""

    def __init__(
        self, panel: Panel, sizes: Sizes, title: str, lines: Sequence[Told], turn: Callable[[int], None], number: int,
        first: Sequence[Labelled], last: Sequence[Labelled] = (), size: int = 0,
    ) -> None:  # fmt: skip
        super().__init__(panel, sizes, title)
        self._size = size or sizes.small
        self._rulers: dict[tuple[bool, bool], Words] = {}
        timed = any(line.time for line in lines)
        self._gutter = sizes.small * (1.6 if any(line.mark for line in lines) else 0.0)
        self._clock = self._size * 3.2 if timed else 0.0
        top = self.pen_y
        self.low = self.above_bottom
        leaves = self._leaves(lines, top)
        self.number, self.count = min(number, len(leaves) - 1), len(leaves)
        self.bottom([*first, *turning(self.number, self.count, turn), *last])
        for line in leaves[self.number]:
            self._draw(line)

    def _leaves(self, lines: Sequence[Told], top: float) -> list[list[Told]]:
        """The lines on pages; a heading goes over to the next page with what it heads."""
        leaves: list[list[Told]] = [[]]
        room = top - self.low
        for line in lines:
            high = self._high(line)
            if high > room and leaves[-1]:
                over = [leaves[-1].pop()] if leaves[-1][-1].head and len(leaves[-1]) > 1 else []
                leaves.append(over)
                room = top - self.low - sum(self._high(one) for one in over)
            leaves[-1].append(line)
            room -= high
        return leaves

    def _words(self, line: Told) -> Words:
        size = self.sizes.note if line.head else self._size
        return Words(self.sizes.figures.text(line.text), size, line.color, bold=line.bold or line.head)

    def _indent(self, line: Told) -> float:
        return 0.0 if line.head or not (line.mark or line.time) else self._gutter + self._clock

    def _high(self, line: Told) -> float:
        """Measured with one ruler for all lines that look alike: a long record has hundreds."""
        looks = line.head, line.bold or line.head
        if looks not in self._rulers:
            self._rulers[looks] = self._words(line)
        ruler = self._rulers[looks]
        ruler.text = self.sizes.figures.text(line.text)
        return ruler.height_at(self.wide - self._indent(line)) + self.sizes.gap * 0.5

    def _draw(self, line: Told) -> None:
        words, indent, top = self._words(line), self._indent(line), self.pen_y
        self.add_widget(words)
        self.words.append(words)
        self.pen_y = words.place(self.left + indent, top, self.wide - indent) - self.sizes.gap * 0.5
        if line.time:
            clock = Words(line.time, self._size, d.SLATE)
            self.add_widget(clock)
            clock.place(self.left + self._gutter, top, self._clock)
        if line.mark:
            shape, colour = MARKS[line.mark]
            side = self._size * 1.15
            with self.canvas:
                draw_shape(shape, self.left, top - side, side, colour)


def turning(number: int, count: int, turn: Callable[[int], None]) -> list[Labelled]:
    """The presses that turn the pages, each always in the same place: what is pressed twice turns no page back."""
    if count == 1:
        return []
    before: Labelled = ("Before", lambda: turn(number - 1), "plain")
    on: Labelled = (f"On, {number + 1} of {count}", lambda: turn(number + 1), "plain")
    none: Labelled = ("", _nothing, "plain")
    return [before if number else none, on if number < count - 1 else none]


def _nothing() -> None:
    """A press that only measures."""


def record_page(panel: Panel, sizes: Sizes, r: Record, ways: Ways, batch: str, number: int) -> LeavesPage:
    """One batch's record in words, a page at a time."""
    lines = [f"{r.batch_g:g} g of {r.procedure}, {r.outcome}, by {r.maker}", f"{r.begun} to {r.ended}"]
    if r.product_g is not None:
        lines.append(f"product {r.product_g:.1f} g, yield {r.yield_percent:.1f} %")
    lines += [
        f"{w.what}: {w.value:g} g ({w.low:g} to {w.high:g}), {w.source}{f', lot {w.lot_now}' if w.lot_now else ''}"
        for w in r.weighings
    ]
    lines += [f"{x.what}: {x.value:g} {x.unit}, {x.source}" for x in r.readings if x.unit != "°C"]
    lines += [f"{x.what}, {x.source}" for x in r.looks]
    lines += [f"deviation {x['number']}, {x['grade']}: {x['text']}" for x in r.deviations]
    lines += [f"signed {x['who']}, {x['meaning']}, {x['wall']}" for x in r.signatures] + [
        f"head {r.head[:16]}…"
    ]
    back: list[Labelled] = [("Back", partial(ways.batch, batch), "plain")]
    told = [Told(text) for text in lines]
    return LeavesPage(panel, sizes, batch, told, partial(ways.record, batch), number, back)
