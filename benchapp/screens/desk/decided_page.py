"""A batch about which it is decided: what, by whom and when, its containers, and what its checks came to."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.foundation.language import tr, tr_n, tr_noop, translated
from benchapp.screens.desk.batch_rows import result
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day, heading
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.container_row import draw_containers, row_wide
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.desk_facts import BatchFacts

#: What is said over the containers, by what was decided; and the mark before it.
DECIDED = {
    "released": ("good", tr_noop("Released: {name}"), tr_noop("{who} released it on {day}.")),
    "rejected": ("bad", tr_noop("Rejected: {name}"), tr_noop("{who} rejected it on {day}, for good.")),
}
#: The containers are as high as has room for all under them, as a share of the glass.
_HIGH = (0.3, 0.22, 0.16)
#: How many they are stands beside them where so much of the width is left over.
_BESIDE = 0.3


class DecidedPage(Page):
    """One plain picture of it."""

    def __init__(self, sizes: Sizes, b: BatchFacts, buttons: Sequence[ButtonSpec]) -> None:
        mark, head, by = DECIDED[b.line.decision]
        super().__init__(sizes, tr(head, name=heading(b.line)))
        self.bottom(buttons)  # what takes it back asks why before it does
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
        drawn = bool(wide) and room > high * 2.1
        if drawn:
            self.pen_y -= high + s.gap * 1.5
            draw_containers(self.canvas, (self.left, self.pen_y), high, b.line.containers, b.gone)
        wide = min(wide, self.wide)
        here = b.line.containers - len(b.gone)
        said = ""
        if b.gone:
            said = tr_n("One bottle went out, {here} still here.", "{n} bottles went out, {here} still here.", n=len(b.gone), here=here)  # fmt: skip
        elif b.line.containers:
            said = tr("None went out: {here} still here.", here=here)
        if said:
            said = said.replace(f" {here} ", f" {here}\u00a0")
            beside = self.wide - wide - 2 * s.gap
            words = TextLabel(said, s.line, d.INK)
            if drawn and beside > self.wide * _BESIDE and words.height_at(beside) < high:
                self.hang(words)
                top = self.pen_y + (high + words.height_at(beside)) / 2
                words.place(self.left + wide + 2 * s.gap, top, beside)
                self.pen_y -= s.gap
            else:
                self.pen_y -= s.gap if drawn else 0.0
                self.line(said, s.between)
        if why:
            self.line(why, s.note, color=d.SLATE)
        self.pen_y -= s.gap * 0.5
