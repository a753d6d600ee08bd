"""A person's levels as one table: a column for each level, the kinds of step in it, and under them those of which nothing
is on record."""

from __future__ import annotations

from benchapp.foundation.language import tr, tr_noop
from benchapp.record.competence import LEVELS
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import leaf
from benchapp.screens.display.phrases import step_kinds
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high
from benchapp.service.training_facts import Competent, Held

#: What a level means for whoever makes: the head of its column.
HEADS = {
    "independent": tr_noop("alone"),
    "supervised": tr_noop("with somebody beside"),
    "rehearsed": tr_noop("only practised so far"),
}


#: The head of those of which nothing is on record.
NEVER = tr_noop("never yet")


class LevelTable:
    """Hangs on a page from where its text ends, in a size in which all of it has room; ``fonts`` () where none has."""

    def __init__(self, page: Page, one: Competent, missing: str, room: float) -> None:
        """``missing``: the kinds of which nothing is on record, "" where there are none; ``room`` in pixels."""
        s = page.sizes
        self._page, self._alike = page, len({why_held(held) for held in one.held}) == 1
        self._each = tr("Each: {why}.", why=why_held(one.held[0])) if self._alike else ""
        self._missing = missing
        self._columns = [
            (HEADS[level], [h for h in one.held if h.level == level]) for level in reversed(LEVELS)
        ]
        self._columns += [(NEVER, [])] if missing else []
        count = len(self._columns)
        self._wide = int((page.wide - s.gap * 3 * (count - 1)) / count)
        sizes = (
            (s.between, s.line, s.note),
            (s.between, s.between, s.note),
            (s.note, s.between, s.small),
            (s.note, s.note, s.small),
        )
        self._rows = {
            head: [(step_kinds((h.kind,)), why_held(h)) for h in column] for head, column in self._columns
        }
        self.fonts: tuple[int, ...] = next((fonts for fonts in sizes if self._high(fonts) <= room), ())
        if not self.fonts and self._alike:  # then those of a column stand in one sentence
            self._rows = {
                head: [(step_kinds([h.kind for h in column]), "")] for head, column in self._columns if column
            }
            small = ((s.note, s.small, s.small), (s.small, s.small, s.small))
            self.fonts = next((fonts for fonts in (*sizes, *small) if self._high(fonts) <= room), ())

    def _high(self, fonts: tuple[int, int, int]) -> float:
        s, (_, kind, small) = self._page.sizes, fonts
        each = wrapped_high(self._each, small, False, int(self._page.wide)) + s.gap if self._each else 0.0
        rest = wrapped_high(self._missing, min(kind, s.between), False, self._wide) if self._missing else 0.0
        columns = [sum(self._row_high(row, fonts) for row in rows) for rows in self._rows.values()]
        return self._heads_high(fonts[0]) + each + max(rest, *columns)

    def _heads_high(self, font: int) -> float:
        highest = max(wrapped_high(tr(head), font, True, self._wide) for head, _ in self._columns)
        return highest + self._page.sizes.gap * 0.3

    def _row_high(self, row: tuple[str, str], fonts: tuple[int, int, int]) -> float:
        _, kind, small = fonts
        return (
            wrapped_high(row[0], kind, True, self._wide)
            + (0.0 if self._alike else wrapped_high(row[1], small, False, self._wide))
            + self._page.sizes.gap * 0.4
        )

    def draw(self) -> None:
        """All of it, from where the page's text ends."""
        page, (head, kind, small) = self._page, self.fonts
        s, top = page.sizes, page.pen_y
        lowest = top
        for nth, (said, _) in enumerate(self._columns):
            x = page.left + nth * (self._wide + 3 * s.gap)
            self._put(tr(said), (x, top), (head, d.SLATE if said == NEVER else d.TIDE, True))
            y = top - self._heads_high(head)
            for kinds, why in self._rows.get(said, ()):
                y = self._put(kinds, (x, y), (kind, d.INK, True))
                if not self._alike:
                    y = self._put(why, (x, y), (small, d.SLATE, False))
                y -= s.gap * 0.4
            if said == NEVER:
                y = self._put(self._missing, (x, y), (min(kind, s.between), d.INK, False))
            lowest = min(lowest, y)
        page.pen_y = lowest - s.gap * 0.5
        if self._each:
            page.line(self._each, small, color=d.SLATE)

    def _put(self, text: str, at: tuple[float, float], look: tuple[int, d.RGB, bool]) -> float:
        words = TextLabel(text, look[0], look[1], bold=look[2])
        self._page.hang(words)
        return words.place(at[0], at[1], self._wide)


def why_held(held: Held) -> str:
    """Since when, and by what."""
    return f"{' '.join(leaf(held.since))}, {held.why}"
