"""Where a lot went, as a drawing: a branch for each batch that holds something of it, and beside it whoever has its bottles."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from kivy.graphics import Color, Line

from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import held_together
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import ROOMY_PX, Page
from benchapp.screens.widgets.pager import Paging, paginate
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high
from benchapp.screens.widgets.text_line import TextLine, draw_mark

#: How far a batch stands from the trunk, and how long its own branch is, in heights of its letters.
FROM_TRUNK, TO_PLACES = 1.1, 1.4
#: How thick every line is, in pixels.
THICK = 3.0
#: From so many batches on a page, their letters are the larger ones.
ENOUGH = 4
#: On a low glass so many batches have room beside what is said of the lot.
FEW = 3


@dataclass(frozen=True, slots=True)
class BottlesHeld:
    """Who has some of a batch, which bottles, and since when."""

    who: str
    which: str
    since: str = ""


@dataclass(frozen=True, slots=True)
class BatchBranch:
    """A batch: its name, how much of the lot is in it, its day and how it stands, its mark (see text_line.MARKS), and who has it."""

    name: str
    amount: str
    standing: str
    mark: str
    places: tuple[BottlesHeld, ...]
    head: ClassVar[bool] = False  # it may stand last on a page


@dataclass(frozen=True, slots=True)
class LotFlow:
    """What is said of the lot, whom it concerns, how it stands with the mark of that (see text_line.MARKS), and its batches: first those of which something has to be kept apart, then those of which some has left. ``lines``: what has to be kept apart, and then
    how the rest of the lot stands."""

    said: str
    whom: str
    batches: tuple[BatchBranch, ...]
    standing: str
    mark: str
    lines: tuple[TextLine, ...] = ()


class LotFlowPage(Page):
    """As many batches as have room on a page, in letters that are read from where one stands if that can be."""

    def __init__(self, sizes: Sizes, flow: LotFlow, paging: Paging, more: Sequence[ButtonSpec] = ()) -> None:
        super().__init__(sizes, flow.standing)
        if flow.mark:
            self.titled(flow.mark)
        self.low = self.above_bottom
        self._say(flow)
        pages: list[list[BatchBranch]] = []
        for self._font in (sizes.between, round((sizes.between + sizes.note) / 2), sizes.note):
            self._columns = self._measured(flow.batches)
            pages = paginate(flow.batches, self._high, self._room())
            whole = len(pages) == 1
            if whole or (self._columns and len(pages[0]) >= min(ENOUGH, len(flow.batches))):
                break
        self.number, self.count = 0, 1

        def buttons() -> list[ButtonSpec]:
            pages[:] = paginate(flow.batches, self._high, self._room())
            self.number, self.count = paging.nearest(len(pages)), len(pages)
            return [paging.back_button, *paging.buttons(self.count), *more]

        self.paged(buttons)
        self._draw(pages[self.number])

    def _say(self, flow: LotFlow) -> None:
        """What is said over the drawing, smaller where else not even its first batch had room; on a low glass its first few."""
        s, wide = self.sizes, int(self.wide)
        self._font, self._columns = s.note, ()
        least = 1 if s.panel.height >= ROOMY_PX else FEW
        first = sum(sorted(map(self._high, flow.batches))[-least:])
        source = flow.said
        for whom, said in ((s.between, s.note), (s.note, s.note), (s.note, s.small), (s.small, s.small)):
            texts = [(x.text, whom) for x in flow.lines] + [
                (flow.whom, said if flow.lines else whom),
                (flow.said, said),
            ]
            high = sum(wrapped_high(text, size, True, wide - whom) + s.gap * 0.4 for text, size in texts)
            if high + first + s.gap * 1.5 <= self.pen_y - self.low:
                break
        else:
            source = ""  # where it comes from stands in the list
        for x in flow.lines:
            self.line(x.text, whom, x.bold, x.color, x.mark)
        self.line(flow.whom, said if flow.lines else whom, not flow.lines)
        if source:
            self.line(source, said, color=d.SLATE)
        self.pen_y -= s.gap * 0.5

    def _measured(self, batches: Sequence[BatchBranch]) -> tuple[float, ...]:
        """How wide the names, the amounts, who has it and which bottles are; () where they have no room beside each other."""
        font, gap = self._font, self.sizes.gap
        put = self.sizes.figures.text
        name = max(
            max(natural_wide(b.name, font), natural_wide(b.standing, self.sizes.note)) for b in batches
        )
        amount = max(natural_wide(put(b.amount), font) for b in batches) + gap
        places = [p for b in batches for p in b.places]
        who, which, since = (
            max((natural_wide(text, font) for text in texts), default=0.0) + 1.5 * gap
            for texts in ([p.who for p in places], [p.which for p in places], [p.since for p in places])
        )
        name += font * 1.3 + gap
        whole = font * (FROM_TRUNK + TO_PLACES) + name + amount + who + which + since
        return (name, amount, who, which) if whole <= self.wide else ()

    def _room(self) -> float:
        """How high the batches may be, under the heads of their columns."""
        return self.pen_y - self.low - self._heads_high()

    def _heads_high(self) -> float:
        return wrapped_high("x", self.sizes.note, False, 400) + self.sizes.gap * 0.3 if self._columns else 0.0

    def _heads(self) -> None:
        """What stands in the columns of amounts and of places."""
        name, amount, *_ = self._columns
        x = self.left + THICK + self._font * FROM_TRUNK + name
        used, who = (
            TextLabel(tr("of this lot"), self.sizes.note, d.SLATE),
            TextLabel(tr("who has it"), self.sizes.note, d.SLATE),
        )
        self.hang(used, who)
        wide, _ = used.natural()
        used.place(x + amount - self.sizes.gap - wide, self.pen_y, wide + 1)
        who.place(x + amount + self._font * TO_PLACES, self.pen_y, self.wide / 3)
        self.pen_y -= self._heads_high()

    def _line_high(self) -> float:
        return wrapped_high("x", self._font, True, 400) + self.sizes.gap * 0.2

    def _high(self, b: BatchBranch) -> float:
        """Of one batch, with what keeps it from the next."""
        own = wrapped_high(b.name, self._font, True, int(self.wide))
        if self._columns or not self._on_one_line(b):
            own += wrapped_high(b.standing, self.sizes.note, False, int(self.wide))
        if self._columns:
            return max(own, self._line_high() * len(b.places)) + self.sizes.gap * 0.7
        return own + self._run_on_high(b) + self.sizes.gap * 0.7

    def _on_one_line(self, b: BatchBranch) -> bool:
        """Whether how it stands has room between its name and how much of the lot is in it."""
        put, font = self.sizes.figures.text, self._font
        words = natural_wide(b.name, font) + natural_wide(b.standing, self.sizes.note)
        return words + natural_wide(put(b.amount), font) + self._indent + 3 * self.sizes.gap <= self.wide

    @property
    def _indent(self) -> float:
        """How far a batch's words stand from the left edge where there are no columns."""
        return THICK + self._font * (FROM_TRUNK + 1.3)

    def _run_on_high(self, b: BatchBranch) -> float:
        return wrapped_high(_run_on(b), self._font, False, int(self.wide - self._indent))

    def _draw(self, batches: Sequence[BatchBranch]) -> None:
        if self._columns:
            self._heads()
        font, trunk = self._font, self.left + THICK
        room = self.pen_y - self.low - sum(self._high(b) for b in batches)
        between = min(room / max(len(batches), 1), self.sizes.gap * 0.6)
        top, ends = self.pen_y, []
        for b in batches:
            ends.append(self._branch(b, trunk + font * FROM_TRUNK, top))
            top -= self._high(b) + between
        with self.canvas:
            Color(*d.DRIFT)
            Line(points=[trunk, self.pen_y, trunk, ends[-1]], width=THICK / 2, cap="none")
            for y in ends:
                Line(points=[trunk, y, trunk + font * (FROM_TRUNK - 0.25), y], width=THICK / 2, cap="none")

    def _branch(self, b: BatchBranch, x: float, top: float) -> float:
        """One batch and who has it; the height at which it leaves the trunk."""
        s, font, indent = self.sizes, self._font, self._font * 1.3
        put = s.figures.text
        name, standing = TextLabel(b.name, font, d.INK, bold=True), TextLabel(b.standing, s.note, d.SLATE)
        amount = TextLabel(put(b.amount), font, d.TIDE, bold=True)
        amount_wide, _ = amount.natural()
        self.hang(name, standing, amount)
        name_wide = natural_wide(b.name, font) + 2
        middle = top - wrapped_high("x", font, True, 400) / 2
        with self.canvas:
            draw_mark(b.mark, x, middle - font * 0.48, font * 0.95)
        low = name.place(x + indent, top, name_wide)
        if not self._columns:
            amount.place(self.left + self.wide - amount_wide, top, amount_wide + 1)
            self._run_on(b, standing, (x + indent, name_wide + s.gap), (top, low))
            return middle
        standing.place(x + indent, low, self._columns[0] - indent)
        name_col, amount_col, *_ = self._columns
        amount.place(x + name_col + amount_col - s.gap - amount_wide, top, amount_wide + 1)
        self._places(b, x + name_col + amount_col, top)
        return middle

    def _run_on(
        self, b: BatchBranch, standing: TextLabel, place: tuple[float, float], line: tuple[float, float]
    ) -> None:
        """How it stands beside its name or under it, and whoever has it run on under that; ``place``: where its name begins and
        how wide it is, ``line``: its top and its foot."""
        (x, after), (top, low) = place, line
        wide = self.left + self.wide - x
        if self._on_one_line(b):
            standing.place(x + after, top, standing.natural()[0] + 1)
        else:
            low = standing.place(x, low, wide)
        words = TextLabel(_run_on(b), self._font, d.INK)
        self.hang(words)
        words.place(x, low, wide)

    def _places(self, b: BatchBranch, x: float, top: float) -> None:
        """Beside the batch, a line each, under a line of its own."""
        _, _, who, which = self._columns
        high, start = self._line_high(), x + self._font * TO_PLACES
        heights = []
        for n, place in enumerate(b.places):
            y, at = top - n * high, start
            for text, wide, bold in (
                (place.who, who, True),
                (place.which, which, False),
                (place.since, 0.0, False),
            ):
                words = TextLabel(text, self._font, d.INK, bold=bold)
                self.hang(words)
                words.place(at, y, (wide or self.left + self.wide - at) - 2)
                at += wide
            heights.append(y - high / 2)
        if not heights:
            return
        fork = x + self._font * 0.6
        with self.canvas:
            Color(*d.DRIFT)
            Line(points=[x, heights[0], fork, heights[0]], width=THICK / 2, cap="none")
            Line(points=[fork, heights[0], fork, heights[-1]], width=THICK / 2, cap="none")
            for y in heights:
                Line(points=[fork, y, start - self._font * 0.25, y], width=THICK / 2, cap="none")


def _run_on(b: BatchBranch) -> str:
    """Who has which bottles since when, one after the other."""
    said = (", ".join(part for part in (p.who, p.which, p.since) if part) for p in b.places)
    return held_together(" · ".join(one.replace(" ", "\u00a0") for one in said))
