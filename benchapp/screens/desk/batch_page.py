"""One batch: what became of it, what wants something done, and the ways on from it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from benchapp.foundation.language import capitalised, tr, translated
from benchapp.screens.desk.batch_rows import check_row, containers_said, deviation_row, open_said
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import heading
from benchapp.screens.display.phrases import WAITS, held_together, standing_of
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.container_row import draw_containers, row_wide
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import MARK_SHARE, ROOMY_PX, Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.screens.widgets.surface import Area
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine
    from benchapp.service.desk_facts import BatchFacts

#: Where so many presses have room over each other, the ways on stand beside the rows, which take this share of the width.
WAYS, ROWS_SHARE = 3, 0.7
#: How high a container is drawn beside what came of it, in sizes of its letters.
DRAWN = 1.5


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


class _Head(Page):
    """As much of the page as its title takes."""

    one_line_title = True


class BatchPage(RowsPage):
    """What came of it over what is due and what went wrong; the ways of lesser weight stand beside the rows where there is
    room, and the one next thing is filled."""

    one_line_title = True

    def __init__(self, sizes: Sizes, b: BatchFacts, links: BatchLinks, number: int = 0) -> None:
        self._b = b
        ways: list[ButtonSpec] = [
            (tr("Its record"), links.record, "plain"), (tr("What is in it"), links.contents, "plain"),
            (tr("Compare it"), links.compare, "plain"),
        ]  # fmt: skip
        probe = _Head(sizes, heading(b.line))
        probe.low = probe.above_bottom
        self._beside = ways if not sizes.panel.portrait and probe.rows_that_fit() >= WAYS else []
        more = [*([] if self._beside else ways), *_next_things(b, links)]
        pressing = [c for c in b.checks if c.state in ("due", "failed")]
        rows = [check_row(c, links.release) for c in pressing]
        rows += [deviation_row(x, links.release, b.releasers) for x in b.blocking]
        rows += [check_row(c, links.release) for c in b.checks if c not in pressing]
        rows += [deviation_row(x, links.record) for x in b.deviations if x not in b.blocking]
        rows = [
            replace(row, broad=bool(self._beside)) for row in rows
        ]  # what has to be found is read from where one stands
        super().__init__(sizes, heading(b.line), rows, Paging(links.back, links.turn, number), more)

    @property
    def rows_wide(self) -> float:
        """Less than all of it where the ways on stand beside them."""
        return self.wide * ROWS_SHARE if self._beside else self.wide

    def _say(self, lines: Sequence[TextLine], rows: int) -> None:
        """How it stands, over the rows."""
        s, b = self.sizes, self._b
        if self._beside:
            x = self.left + self.rows_wide + 2 * s.gap
            top, high = self.pen_y - s.gap * 0.4, len(self._beside) * (s.action + s.gap) - s.gap
            place = Area(x, max(self.low, top - high), self.left + self.wide - x, top)
            self.grid(self._beside, 1, place, s.between)
        mark, standing = standing_of(b.line)
        how = _standing(b.line, standing, b.practised)
        if standing == WAITS and (waits := open_said(b)):
            mark, how = "open", waits
        # Two rows on a low glass, else one; without the ways beside them, and a second line of presses.
        below = (s.action + s.gap) * (1 if self._beside and s.panel.height >= ROOMY_PX else 2)
        room, came = self.pen_y - self.low - below, self._came()
        sizes = (
            (s.instruction, s.note, s.note), (s.instruction, s.note, s.small), (s.between, s.note, s.small),
            (s.note, s.small, s.small), (s.small, s.small, s.small),
        )  # fmt: skip
        size, *under = next((x for x in sizes if self._lines_high(how, came, x) <= room), (s.small,))
        side = size * MARK_SHARE
        words = TextLabel(how, size, {"good": d.KELP, "open": d.CORAL}.get(mark, d.TIDE), bold=True)
        self.hang(words)
        self.sign(mark, size, words)
        self.pen_y = words.place(self.left + side, self.pen_y, self.rows_wide - side) - s.gap * 0.3
        if under:
            self._came_out(came, *under)
        self.pen_y -= s.gap * 0.6

    def _lines_high(self, how: str, came: Sequence[str], fonts: tuple[int, int, int]) -> float:
        """How much all of it takes at these sizes, in pixels."""
        first = wrapped_high(how, fonts[0], True, int(self.rows_wide - fonts[0] * MARK_SHARE))
        drawn = row_wide(self._b.line.containers, fonts[1] * DRAWN)
        first += fonts[1] * (DRAWN - 1) if drawn else 0.0
        return first + sum(
            wrapped_high(text, size, False, int(self.rows_wide - indent))
            for text, size, indent in zip(came, fonts[1:], (drawn, 0.0), strict=True)
        )

    def _came(self) -> list[str]:
        """What came of it; and who made it under which name."""
        line = self._b.line
        made = [containers_said(self._b), held_together(self.sizes.figures.text(_mass(line)))]
        by = [tr("by {maker}", maker=line.maker), tr("batch {batch}", batch=line.batch)]
        return [" · ".join(x for x in made if x), " · ".join(by)]

    def _came_out(self, came: Sequence[str], size: int, by: int) -> None:
        """Its containers, filled where they are still here and empty where they went, before what came of it."""
        count, high = self._b.line.containers, size * DRAWN
        drawn = row_wide(count, high)
        draw_containers(self.canvas, (self.left, self.pen_y - high), high, count, self._b.gone)
        for text, font, colour, indent in (
            (came[0], size, d.INK, drawn),
            (came[1], by, d.SLATE, 0.0),
        ):
            words = TextLabel(text, font, colour)
            self.hang(words)
            foot = self.pen_y - (high if indent else 0.0)
            low = words.place(self.left + indent, self.pen_y, self.rows_wide - indent)
            self.pen_y = min(low, foot) - self.sizes.gap * 0.2


def _next_things(b: BatchFacts, links: BatchLinks) -> list[ButtonSpec]:
    """What is done next: first the checks that are due, then the decision; a batch about which it is made is made again."""
    if b.line.rehearsal:  # nothing of one ever leaves
        return [(tr("Make this again"), links.again, "main")]
    if b.line.decision:
        return [(tr("Its release"), links.release, "plain"), (tr("Make this again"), links.again, "main")]
    again: ButtonSpec = (tr("Make this again"), links.again, "plain")
    if any(c.state in ("due", "failed") for c in b.checks):
        return [(tr("Do the checks"), links.release, "main")]
    if b.line.end != "finished":
        return [again]
    return [again, (tr("Release it"), links.release, "plain" if b.against else "main")]


def _standing(line: BatchLine, standing: str, practised: str) -> str:
    """How it stands; of a scenario that was practised, which."""
    if practised:
        return capitalised(tr("practised: {practised}", practised=practised))
    return capitalised(tr("A rehearsal, {state}", state=standing) if line.rehearsal else translated(standing))


def _mass(line: BatchLine) -> str:
    """What came out of what was planned."""
    if line.yield_percent is None:
        return tr("{batch_g:g} g planned", batch_g=line.batch_g)
    return tr(
        "{product_g:.1f} g of {batch_g:g} g, {share:.1f} %",
        product_g=line.product_g, batch_g=line.whole_g, share=line.yield_percent,
    )  # fmt: skip
