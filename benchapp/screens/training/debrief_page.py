"""How a rehearsal went: what went wrong, what to do instead, and once more; behind it, minute by minute, what happened."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, translated
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.named_lines import NamedLine, NamedLines, large_line
from benchapp.screens.widgets.page_base import Page, body_size
from benchapp.screens.widgets.pager import PagedText, Paging, paginate
from benchapp.screens.widgets.text_label import wrapped_high
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from benchapp.rehearsal.debrief import Debrief


class DebriefPage(Page):
    """The verdict, what came of it in large, then why, and what to do next time. Nothing in red: nothing came to harm."""

    one_line_title = True

    def __init__(self, sizes: Sizes, found: Debrief, paging: Paging, more: Sequence[ButtonSpec]) -> None:
        """``more``: what can be pressed beside what turns its pages."""
        from benchapp.rehearsal.debrief import verdict_of

        super().__init__(sizes, verdict_of(found))
        self.titled("good" if found.verdict.reached else "turns")
        self.low = self.above_bottom
        lead, lines = _told(found)
        pages = self._pages(lead, lines)
        self.number, self.count = paging.nearest(len(pages)), len(pages)
        self.bottom([paging.back_button, *paging.buttons(self.count), *more])
        if not self.number:
            large_line(self, lead, self.pen_y - self.low - self._high(pages[0]))
        for line in pages[self.number]:
            self.pen_y, labels = self._drawn.draw(self, line, self.left, self.pen_y)
            self.texts += labels

    def _pages(self, lead: str, lines: Sequence[NamedLine]) -> list[list[NamedLine]]:
        """The lines as large as one page has room for all of them under what stands large; in the size of what is read up
        close on as many as they take."""
        s = self.sizes
        pages: list[list[NamedLine]] = []
        for font in dict.fromkeys((*s.ladder[:3], body_size(s))):
            self._drawn = NamedLines(s, lines, font, self.wide)
            first = wrapped_high(lead, max(font, s.instruction), True, int(self.wide)) + s.gap
            room = self.pen_y - self.low
            if first + self._high(lines) <= room:
                return [list(lines)]
            pages = paginate([NamedLine("", lead, bold=True), *lines], self._drawn.high, room)
        return [pages[0][1:], *pages[1:]]

    def _high(self, lines: Sequence[NamedLine]) -> float:
        return sum(self._drawn.high(line) for line in lines)


def _told(found: Debrief) -> tuple[str, list[NamedLine]]:
    """What stands large, and the lines under it."""
    v, master = found.verdict, translated(found.master)
    if v.reached:
        lead, *others = v.why
        good = [NamedLine("", text, "good", bold=True) for text in others]
        return lead, [*good, NamedLine(tr("Remember"), master)]
    lead = found.worst or v.why[0]
    why = [text for text in (*v.seen, *v.missing) if text != lead]
    because = [NamedLine(tr("Why"), "\n".join(why))] if why else []
    return lead, [*because, NamedLine(tr("Next time"), master, bold=True)]


class TimelinePage(PagedText):
    """What happened, each line with how long after the scenario's beginning; at the end what it did to the batch."""

    def __init__(self, sizes: Sizes, found: Debrief, paging: Paging) -> None:
        title = tr("{who}: what happened", who=found.maker)
        super().__init__(sizes, title, timeline_lines(found), paging)


def timeline_lines(found: Debrief) -> list[TextLine]:
    """What happened, from where the scenario began; last what it did to the batch."""
    from benchapp.rehearsal.debrief import elapsed

    looks = {"good": (d.KELP, "good"), "bad": (d.CORAL, "bad")}
    out = []
    for line in found.timeline:
        ink, mark = looks.get(line.mark, (d.INK, ""))
        out.append(TextLine(line.text, bool(line.mark), ink, mark, elapsed(line.after_s)))
    return out + [TextLine(text, time=tr("in the end")) for text in found.effects]
