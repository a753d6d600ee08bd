"""A person's levels as one table: a column for each level with the kinds of step in it, and one for those of which nothing
is on record."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.foundation.language import tr, tr_noop
from benchapp.record.competence import LEVELS
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day, leaf
from benchapp.screens.display.phrases import step_kinds
from benchapp.screens.widgets.button import least_width
from benchapp.screens.widgets.page_base import MARK_SHARE, Page
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high
from benchapp.service.training_facts import Competent, Held

#: What a level means for whoever makes: the head of its column.
HEADS = {
    "independent": tr_noop("Alone"),
    "supervised": tr_noop("With help"),
    "rehearsed": tr_noop("Only practised"),
}
#: The head of those of which nothing is on record.
NEVER = tr_noop("Not yet learnt")


class LevelTable:
    """Hangs on a page from where its text ends, in a size in which all of it has room, one for all kinds; ``fonts`` () where
    none has."""

    def __init__(self, page: Page, one: Competent, missing: Sequence[str], room: float) -> None:
        """``missing``: the kinds of which nothing is on record; ``room`` in pixels."""
        s = page.sizes
        self._page, self._alike = page, len({why_held(held) for held in one.held}) == 1
        first = one.held[0]
        each = tr("On record since {day}: {why}.", day=day(first.since), why=first.why)
        self._under = each if self._alike else ""
        self._rows = {
            HEADS[level]: [
                (step_kinds((h.kind,)), self._detail(h, one)) for h in one.held if h.level == level
            ]
            for level in reversed(LEVELS)
        }
        if missing:
            self._rows[NEVER] = [(step_kinds((kind,)), signed_too(kind, one)) for kind in missing]
        count = len(self._rows)
        self._wide = int((page.wide - s.gap * 2 * (count - 1)) / count)
        middle = round((s.between + s.note) / 2)
        sizes = (
            (s.between, s.line, s.between),
            (s.between, round((s.line + s.between) / 2), s.between),
            (s.between, s.line, s.note),
            (s.between, round((s.line + s.between) / 2), s.note),
            (s.between, s.between, s.note),
            (middle, middle, s.note),
            (s.note, s.note, s.note),
            (s.note, s.note, s.small),
        )
        self.fonts = self._largest(sizes, room)
        if not self.fonts and self._alike:  # then those of a column stand in one sentence
            self._rows = {
                head: [(", ".join(f"{kind} ({said})" if said else kind for kind, said in rows), "")]
                if rows
                else []
                for head, rows in self._rows.items()
            }
            small = ((s.note, s.small, s.small), (s.small, s.small, s.small))
            self.fonts = self._largest((*sizes, *small), room)

    def _detail(self, held: Held, one: Competent) -> str:
        """What stands under a kind of step: by what it is held, where they differ, and that a second person signs."""
        return "\n".join(x for x in ("" if self._alike else why_held(held), signed_too(held.kind, one)) if x)

    def _largest(self, sizes: Sequence[tuple[int, int, int]], room: float) -> tuple[int, ...]:
        """Those in which all of it has room; () where none has."""
        fitting = [fonts for fonts in sizes if self._fits(fonts, room)]
        whole = (
            f
            for f in fitting
            if all(natural_wide(tr(head), f[0]) <= self._inner(f[0]) for head in self._rows)
        )
        return next(whole, next(iter(fitting), ()))

    def _fits(self, fonts: tuple[int, int, int], room: float) -> bool:
        """Whether all of it has room at these sizes, and no word is broken."""
        words = [*map(tr, self._rows), *(kinds for rows in self._rows.values() for kinds, _ in rows)]
        broken = least_width(" ".join(words), max(fonts[:2])) > self._inner(fonts[0]) + 20
        return not broken and self._high(fonts) <= room

    def _inner(self, head: int) -> int:
        """How wide the words of a column are beside the mark of a head of that size, in pixels."""
        return int(self._wide - head * MARK_SHARE)

    def _high(self, fonts: tuple[int, int, int]) -> float:
        s, small = self._page.sizes, fonts[2]
        under = (
            wrapped_high(self._under, small, False, int(self._page.wide)) + s.gap * 0.6
            if self._under
            else 0.0
        )
        columns = [sum(self._row_high(row, fonts) for row in rows) for rows in self._rows.values()]
        return self._heads_high(fonts[0]) + under + s.gap + max(columns)

    def _heads_high(self, font: int) -> float:
        highest = max(wrapped_high(tr(head), font, True, self._inner(font)) for head in self._rows)
        return highest + self._page.sizes.gap * 0.5

    def _row_high(self, row: tuple[str, str], fonts: tuple[int, int, int]) -> float:
        (_, kind, small), wide = fonts, self._inner(fonts[0])
        return (
            wrapped_high(row[0], kind, True, wide)
            + (wrapped_high(row[1], small, False, wide) if row[1] else 0.0)
            + self._page.sizes.gap * 0.4
        )

    def draw(self) -> None:
        """All of it, from where the page's text ends."""
        page, (head, kind, small) = self._page, self.fonts
        s, top = page.sizes, page.pen_y
        lowest = top
        for nth, (said, rows) in enumerate(self._rows.items()):
            x = page.left + nth * (self._wide + 2 * s.gap)
            alone = said == HEADS["independent"]  # what may be done stands out from what may not yet
            inner = x + self._wide - self._inner(head)
            self._put(tr(said), (inner, top), (head, d.KELP if alone else d.INK, True), self._inner(head))
            if alone:
                page.sign("good", head, page.texts[-1], (x, top))
            y = top - self._heads_high(head)
            for kinds, why in rows:
                look = (kind, d.SLATE if said == NEVER else d.INK, True)
                y = self._put(kinds, (inner, y), look, self._inner(head))
                if why:
                    y = self._put(why, (inner + kind * 0.6, y), (small, d.INK, False), self._inner(head))
                y -= s.gap * 0.4
            lowest = min(lowest, y)
        page.pen_y = lowest - s.gap * 0.5
        if self._under:
            page.line(self._under, small)

    def _put(self, text: str, at: tuple[float, float], look: tuple[int, d.RGB, bool], wide: int) -> float:
        words = TextLabel(text, look[0], look[1], bold=look[2])
        self._page.hang(words)
        return words.place(at[0], at[1], wide)


def signed_too(kind: str, one: Competent) -> str:
    """That a second person signs this kind of step in a real make, "" where this one needs nobody."""
    return tr("+ a second signature") if kind in one.witnessed else ""


def kind_said(kind: str, one: Competent) -> str:
    """A kind of step, and what is said of it beside its level."""
    said, besides = step_kinds((kind,)), signed_too(kind, one)
    return f"{said} ({besides})" if besides else said


def why_held(held: Held) -> str:
    """Since when, and by what."""
    return f"{' '.join(leaf(held.since))}, {held.why}"
