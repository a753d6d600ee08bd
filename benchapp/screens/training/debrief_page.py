"""How a rehearsal went."""

from __future__ import annotations

from collections.abc import Callable
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


class DebriefPage(PagedText):
    """The verdict over the pages of what happened, what it did to the batch, and what a master would have done."""

    def __init__(
        self, sizes: Sizes, found: Debrief, paging: Paging, again: Callable[[], None] | None
    ) -> None:
        """``again``: the same once more; None where the scenario is not here any more."""
        more: list[ButtonSpec] = [(tr("Once more"), again, "main")] if again is not None else []
        super().__init__(sizes, _verdict(found), debrief_lines(found), paging, more, body_size(sizes))
        self.titled("off" if found.verdict.broken_off else "good" if found.verdict.reached else "bad")


def _verdict(found: Debrief) -> str:
    from benchapp.rehearsal.debrief import verdict_words

    return verdict_words(found.verdict)


def debrief_lines(found: Debrief) -> list[TextLine]:
    """A debrief from the goal to what a master would have done."""
    from benchapp.rehearsal.debrief import minutes

    out = [TextLine(f"{found.title}, {found.maker}", color=d.SLATE), TextLine(found.goal)]
    out += [TextLine(why, bold=True) for why in found.verdict.why]
    out += [TextLine(tr("What a master would have done"), head=True), TextLine(found.master)]
    if found.timeline:
        out.append(TextLine(tr("What happened"), head=True))
        out += [
            TextLine(line.text, bool(line.mark), _ink(line.mark), line.mark, minutes(line.after_s).strip())
            for line in found.timeline
        ]
    if found.effects:
        out.append(TextLine(tr("What it did to the batch"), head=True))
        out += [TextLine(text) for text in found.effects]
    return out


def _ink(mark: str) -> d.RGB:
    return {"good": d.KELP, "bad": d.CORAL}.get(mark, d.INK)
