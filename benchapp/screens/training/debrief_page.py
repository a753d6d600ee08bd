"""How a rehearsal went."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import body_size
from benchapp.screens.widgets.pager import PagedText, Paging
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from benchapp.rehearsal.debrief import Debrief


#: From so many pixels on, what happened stands beside what was wanted.
TWO_PX = 1000


class DebriefPage(PagedText):
    """The verdict over the pages of what happened, what it did to the batch, and what a master would have done."""

    def __init__(self, sizes: Sizes, found: Debrief, paging: Paging, more: Sequence[ButtonSpec]) -> None:
        """``more``: what can be pressed beside what turns its pages."""
        self.columns = 1 if sizes.panel.portrait or sizes.panel.width < TWO_PX else 2
        super().__init__(sizes, _verdict(found), debrief_lines(found), paging, more, body_size(sizes))
        self.titled("off" if found.verdict.broken_off else "good" if found.verdict.reached else "bad")


def _verdict(found: Debrief) -> str:
    from benchapp.rehearsal.debrief import verdict_words

    return verdict_words(found.verdict)


def debrief_lines(found: Debrief) -> list[TextLine]:
    """A debrief from the goal to what a master would have done."""
    from benchapp.rehearsal.debrief import minutes

    v = found.verdict
    wrong = "later" if v.broken_off else "good" if v.reached else "bad"
    out = [
        TextLine(f"{found.title}, {found.maker}", color=d.SLATE),
        TextLine(tr("The goal"), head=True, color=d.TIDE),
        TextLine(found.goal),
    ]
    if v.why:
        heading = tr("What was right") if v.reached else tr("What went wrong")
        out += [
            TextLine(heading, head=True, color=d.TIDE),
            *(TextLine(why, bold=True, mark=wrong) for why in v.why),
        ]
    out += [TextLine(tr("What a master would have done"), head=True, color=d.TIDE), TextLine(found.master)]
    if found.timeline:
        out.append(TextLine(tr("What happened"), head=True, color=d.TIDE, fresh=True))
        out += [
            TextLine(line.text, bool(line.mark), _ink(line.mark), line.mark, minutes(line.after_s).strip())
            for line in found.timeline
        ]
    if found.effects:
        out.append(TextLine(tr("What it did to the batch"), head=True, color=d.TIDE))
        out += [TextLine(text) for text in found.effects]
    return out


def _ink(mark: str) -> d.RGB:
    return {"good": d.KELP, "bad": d.CORAL}.get(mark, d.INK)
