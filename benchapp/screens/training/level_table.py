"""A person's levels as one table: a line for each level with the kinds of step in it, and one for those of which nothing is
on record."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import Color, Rectangle

from benchapp.foundation.language import tr, tr_noop
from benchapp.record.competence import LEVELS
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day, leaf
from benchapp.screens.display.phrases import step_kinds
from benchapp.screens.widgets.page_base import MARK_SHARE, Page
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high
from benchapp.service.training_facts import Competent, Held

#: What a level means for whoever makes: the head of its line.
HEADS = {
    "independent": tr_noop("Alone"),
    "supervised": tr_noop("With help"),
    "rehearsed": tr_noop("Only practised"),
}
#: The head of those of which nothing is on record.
NEVER = tr_noop("Not yet learnt")


class LevelTable:
    """Hangs on a page from where its text ends, a line for each level, as large as all of it has room for; ``font`` 0 where it has none."""

    def __init__(self, page: Page, one: Competent, missing: Sequence[str], room: float) -> None:
        """``missing``: the kinds of which nothing is on record; ``room`` in pixels."""
        s = page.sizes
        self._page, self._alike = page, len({why_held(held) for held in one.held}) == 1
        first = one.held[0]
        each = tr("On record since {day}: {why}.", day=day(first.since), why=first.why)
        self._under = each if self._alike else ""
        held = {
            HEADS[level]: [self._said(h, one) for h in one.held if h.level == level]
            for level in reversed(LEVELS)
        }
        held[NEVER] = [kind_said(kind, one) for kind in missing]
        self._rows = {
            tr(head): (", " if self._alike else "; ").join(kinds) for head, kinds in held.items() if kinds
        }
        self.font = next((font for font in s.ladder if self._high(font) <= room), 0)

    def _said(self, held: Held, one: Competent) -> str:
        """A kind of step, and by what it is held, where they differ."""
        said = kind_said(held.kind, one)
        return said if self._alike else f"{said} ({why_held(held)})"

    def _inner(self, font: int) -> float:
        """How wide the words are beside the heads, in pixels."""
        heads = max(natural_wide(head, font) for head in self._rows)
        return float(self._page.wide - heads - font * MARK_SHARE - 2 * self._page.sizes.gap)

    def _high(self, font: int) -> float:
        s, inner = self._page.sizes, int(self._inner(font))
        lines = sum(wrapped_high(kinds, font, False, inner) + s.gap * 1.6 for kinds in self._rows.values())
        under = wrapped_high(self._under, s.note, False, int(self._page.wide)) if self._under else 0.0
        return lines + under + s.gap * 0.6

    def draw(self) -> None:
        """All of it, from where the page's text ends."""
        page, font, inner = self._page, self.font, self._inner(self.font)
        s, lead = page.sizes, font * MARK_SHARE
        for head, kinds in self._rows.items():
            alone, never = head == tr(HEADS["independent"]), head == tr(NEVER)
            said = TextLabel(head, font, d.KELP if alone else d.INK, bold=True)
            words = TextLabel(kinds, font, d.SLATE if never else d.INK)
            page.hang(said, words)
            top, x = page.pen_y, page.left + page.wide - inner
            said.place(page.left + lead, top, x - page.left - lead)
            low = words.place(x, top, inner)
            if alone:  # what may be done stands out from what may not yet
                page.sign("good", font, said, (page.left, top))
            with page.canvas:
                Color(*d.WET_SAND)
                Rectangle(pos=(page.left, low - s.gap * 0.8), size=(page.wide, 2))
            page.pen_y = low - s.gap * 1.6
        if self._under:
            page.line(self._under, s.note)


def signed_too(kind: str, one: Competent) -> str:
    """That a second person signs this kind of step in a real make, "" where this one needs nobody."""
    return tr("a second person signs") if kind in one.witnessed else ""


def kind_said(kind: str, one: Competent) -> str:
    """A kind of step, and what is said of it beside its level."""
    said, besides = step_kinds((kind,)), signed_too(kind, one)
    return f"{said} ({besides})" if besides else said


def why_held(held: Held) -> str:
    """Since when, and by what."""
    return f"{' '.join(leaf(held.since))}, {held.why}"
