"""A batch about which it is decided: what, by whom and when, its containers, and what its checks came to."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.foundation.language import tr, tr_n, tr_noop, translated
from benchapp.screens.desk.batch_rows import heading, result
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.container_row import draw_containers, row_wide
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import wrapped_high
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.desk_facts import BatchFacts

#: What is said over the containers, by what was decided; and the mark before it.
DECIDED = {
    "released": ("good", tr_noop("Released: {name}"), tr_noop("{who} released it on {day}.")),
    "rejected": ("bad", tr_noop("Rejected: {name}"), tr_noop("{who} rejected it on {day}, for good.")),
}
#: The containers are as high as has room for all under them, as a share of the glass.
_HIGH = (0.3, 0.22, 0.16)


class DecidedPage(Page):
    """One plain picture of it."""

    def __init__(self, sizes: Sizes, b: BatchFacts, buttons: Sequence[ButtonSpec]) -> None:
        mark, head, by = DECIDED[b.line.decision]
        super().__init__(sizes, tr(head, name=heading(b.line)))
        back, *rest = buttons
        self.bottom(
            [back, *((label, act, "serious") for label, act, _ in rest)]
        )  # what takes it back is no plain yes
        self.titled(mark)
        _, who, wall, why = b.decided
        if who:
            self.line(tr(by, who=who, day=day(wall).replace(" ", "\u00a0")), sizes.line, True)
        self._containers(b, translated(why))
        checks = [
            TextLine(
                f"{translated(c.check.name)}: {result(c)}", mark="good" if c.state == "passed" else "bad"
            )
            for state in ("failed", "passed")
            for c in b.checks
            if c.state == state
        ]
        s = self.sizes
        if (
            sum(wrapped_high(x.text, s.small, False, int(self.wide)) + s.gap * 0.4 for x in checks)
            > self.pen_y - self.low
        ):
            mark = "good" if all(x.mark == "good" for x in checks) else "bad"
            checks = [TextLine(" · ".join(x.text for x in checks), mark=mark)]  # none is only counted
        self.listed_large(checks)

    def _containers(self, b: BatchFacts, why: str) -> None:
        """Each as it is, and how many; and why it was decided so."""
        s, room = self.sizes, self.pen_y - self.low
        heights = [self.panel.height * share for share in _HIGH]
        high = next((high for high in heights if room > high * 2.1), heights[-1])
        wide = row_wide(b.line.containers, high)
        high *= min(1.0, self.wide / max(wide, 1.0))
        if wide and room > high * 2.1:
            self.pen_y -= high + s.gap * 1.5
            draw_containers(self.canvas, (self.left, self.pen_y), high, b.line.containers, b.gone)
            self.pen_y -= s.gap
        here = b.line.containers - len(b.gone)
        if b.gone:
            left = tr_n("One bottle has left, {here} still here.", "{n} bottles have left, {here} still here.", n=len(b.gone), here=here)  # fmt: skip
            self.line(left, s.between)
        elif b.line.containers:
            self.line(tr("None has left: {here} still here.", here=here), s.between)
        if why:
            self.line(why, s.note, color=d.SLATE)
        self.pen_y -= s.gap * 0.5
