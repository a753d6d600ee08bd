"""One batch: what became of it, what wants something done, and the ways on from it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kivy.graphics import Color, Line, RoundedRectangle

from benchapp.foundation.language import capitalised, tr, tr_n, translated
from benchapp.screens.desk.release_pages import STATES, requirement
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day, product_named
from benchapp.screens.display.phrases import standing_of
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import MARK_SHARE, Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.surface import Area
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high
from benchapp.screens.widgets.text_line import MARKS, TextLine

if TYPE_CHECKING:
    from benchapp.record.deviations import Deviation
    from benchapp.record.journal import BatchLine
    from benchapp.record.release import DueCheck
    from benchapp.service.desk_facts import BatchFacts

#: Where so many presses have room over each other, the ways on stand beside the rows, which take this share of the width.
WAYS, ROWS_SHARE = 4, 0.7
#: No more containers than this are drawn one by one.
MOST_DRAWN = 24


@dataclass(frozen=True, slots=True)
class BatchLinks:
    """What one batch's page leads to."""

    back: Callable[[], None]
    record: Callable[[], None]
    contents: Callable[[], None]
    release: Callable[[], None]
    again: Callable[[], None]
    compare: Callable[[], None]
    turn: Callable[[int], None]
    trend: Callable[[], None]


class BatchPage(RowsPage):
    """What came of it over what is due and what went wrong; the ways of lesser weight stand beside the rows where there is
    room, and the one next thing is filled."""

    def __init__(self, sizes: Sizes, b: BatchFacts, links: BatchLinks, number: int = 0) -> None:
        self._b = b
        ways: list[ButtonSpec] = [
            (tr("Its record"), links.record, "plain"), (tr("What is in it"), links.contents, "plain"),
            (tr("Beside another"), links.compare, "plain"), (tr("Its trend"), links.trend, "plain"),
        ]  # fmt: skip
        probe = Page(sizes, heading(b.line))
        probe.low = probe.above_bottom
        self._beside = ways if not sizes.panel.portrait and probe.rows_that_fit() >= WAYS else []
        more = [*([] if self._beside else ways), *_next_things(b, links)]
        pressing = [c for c in b.checks if c.state in ("due", "failed")]
        rows = [
            _check_row(c, links.release) for c in (*pressing, *(c for c in b.checks if c not in pressing))
        ]
        rows += [_deviation_row(x, links.record) for x in b.deviations]
        super().__init__(sizes, heading(b.line), rows, Paging(links.back, links.turn, number), more)

    @property
    def rows_wide(self) -> float:
        """Less than all of it where the ways on stand beside them."""
        return self.wide * ROWS_SHARE if self._beside else self.wide

    def _say(self, lines: Sequence[TextLine], rows: int) -> None:
        """How it stands, over the rows."""
        s, line = self.sizes, self._b.line
        if self._beside:
            x = self.left + self.rows_wide + 2 * s.gap
            high = WAYS * s.action + (WAYS - 1) * s.gap
            top = self.pen_y - max(self.pen_y - self.low - high, 0.0) * 0.3
            self.grid(self._beside, 1, Area(x, top - high, self.left + self.wide - x, top), s.between)
        mark, standing = standing_of(line)
        outcome = s.figures.text(_outcome(line, standing, self._b.practised))
        below = (
            s.action + s.gap + (0.0 if self._beside else s.action + s.gap)
        )  # a row, and a second line of presses
        room, said = self.pen_y - self.low - below, " · ".join(self._facts())
        size, small = next(
            (
                pair
                for pair in ((s.between, s.note), (s.note, s.small), (s.small, s.small))
                if self._high(outcome, said, pair) <= room
            ),
            (s.small, 0),
        )
        side = size * MARK_SHARE
        words = TextLabel(outcome, size, d.TIDE, bold=True)
        self.hang(words)
        self.sign(MARKS[mark], size, words)
        self.pen_y = words.place(self.left + side, self.pen_y, self.rows_wide - side)
        if small:
            self._containers(small, said)

    def _high(self, outcome: str, said: str, fonts: tuple[int, int]) -> float:
        """How much both lines take at these sizes, in pixels."""
        wide = int(self.rows_wide - fonts[0] * MARK_SHARE)
        drawn = int(self._drawn_wide(fonts[1]))
        return (
            wrapped_high(outcome, fonts[0], True, wide)
            + wrapped_high(said, fonts[1], False, int(self.rows_wide) - drawn)
            + self.sizes.gap * 0.6
        )

    def _facts(self) -> list[str]:
        """How many containers, who made it, which."""
        line, said = self._b.line, []
        if line.containers:
            said.append(tr_n("{n} container", "{n} containers", n=line.containers))
            if self._b.gone:
                said.append(tr("{n} of them gone", n=len(self._b.gone)))
        return [*said, tr("by {maker}", maker=line.maker), line.batch]

    def _drawn_wide(self, size: int) -> float:
        """How much of the line the containers take, in pixels; 0 where they are not drawn."""
        many = self._b.line.containers > MOST_DRAWN
        return (
            0.0
            if many or not self._b.line.containers
            else self._b.line.containers * size * 0.72 + self.sizes.gap * 0.5
        )

    def _containers(self, size: int, said: str) -> None:
        """Each as it is: filled where it is still here, empty where it went; and who made it."""
        drawn, high = self._drawn_wide(size), size * 1.15
        for n in range(1, self._b.line.containers + 1) if drawn else ():
            _container(
                self, self.left + (n - 1) * size * 0.72, self.pen_y - high - 2, high, n in self._b.gone
            )
        words = TextLabel(said, size, d.SLATE)
        self.hang(words)
        self.pen_y = words.place(self.left + drawn, self.pen_y, self.rows_wide - drawn) - self.sizes.gap * 0.6


def _container(page: Page, x: float, y: float, high: float, gone: bool) -> None:
    """A small bottle, filled or empty."""
    wide, neck = high * 0.46, high * 0.22
    with page.canvas:
        Color(*d.DRIFT if gone else d.TIDE)
        place = (x, y, wide, high - neck)
        if gone:
            Line(rounded_rectangle=(*place, 3), width=1.3)
        else:
            RoundedRectangle(pos=place[:2], size=place[2:], radius=[3])
        Line(points=[x + wide * 0.3, y + high - 1, x + wide * 0.7, y + high - 1], width=2.0)


def _next_things(b: BatchFacts, links: BatchLinks) -> list[ButtonSpec]:
    """What is done next: first the checks that are due, then the decision; a batch about which it is made is made again."""
    if b.line.rehearsal:  # nothing of one ever leaves
        return [(tr("Make this again"), links.again, "main")]
    if b.line.decision:
        return [(tr("Its release"), links.release, "plain"), (tr("Make this again"), links.again, "main")]
    again: ButtonSpec = (tr("Make this again"), links.again, "plain")
    if any(c.state in ("due", "failed") for c in b.checks):
        return [again, (tr("Do the checks"), links.release, "main")]
    return [again, ("Release", links.release, "plain" if b.against else "main")]


def _check_row(due: DueCheck, act: Callable[[], None]) -> RowSpec:
    """A release check: its state at the end of the row, and what has to be found or was found."""
    when = day(due.due) if due.state == "waiting" else ""
    figure = tr("from {day}", day=when) if when else translated(STATES[due.state])
    mark = {"waiting": "later", "due": "open", "passed": "good", "failed": "bad"}[due.state]
    return RowSpec(due.check.name, act, requirement(due), figure, due.state in ("due", "failed"), mark)


def _deviation_row(x: Deviation, act: Callable[[], None]) -> RowSpec:
    state = translated(x.grade) if x.closed else tr("{grade}, open", grade=translated(x.grade))
    said = tr("{text} Closed: {closed}", text=x.text, closed=x.closed) if x.closed else x.text
    wrong = not x.closed and x.grade not in ("note", "minor")
    mark = "good" if x.closed else "later" if x.grade == "note" else "open"
    return RowSpec(tr("Deviation {number}", number=x.number), act, said, state, wrong, mark)


def _outcome(line: BatchLine, standing: str, practised: str) -> str:
    """How it stands, with what came of it; of a scenario that was practised, which."""
    if practised:
        return capitalised(tr("practised: {practised}", practised=practised))
    how = capitalised(tr("A rehearsal, {state}", state=standing) if line.rehearsal else translated(standing))
    planned = tr("of {batch_g:g} g planned", batch_g=line.batch_g)
    if line.product_g and line.batch_g:
        planned = f"{line.product_g:.1f} g, {100 * line.product_g / line.batch_g:.1f} % {planned}"
    return f"{how}: {planned}"


def heading(line: BatchLine) -> str:
    """A batch as a person names it: the product and the day."""
    return f"{product_named(line.procedure)}{f', {day(line.wall)}' if line.wall else ''}"
