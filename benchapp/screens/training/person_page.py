"""Who may do what: a person's levels."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kivy.graphics import Canvas, Color, RoundedRectangle

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.record.competence import LEVELS, STEP_KINDS
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day
from benchapp.screens.display.phrases import step_kinds
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page, body_size
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.text_label import TextLabel
from benchapp.service.training_facts import Competent, Held

#: What a level means for whoever makes: the head of its column.
HEADS = {
    "independent": tr_noop("alone"),
    "supervised": tr_noop("with somebody beside"),
    "rehearsed": tr_noop("only practised"),
}


def summary(one: Competent) -> str:
    """What a person is, and how many kinds of step they have at which level."""
    counts = {level: sum(h.level == level for h in one.held) for level in reversed(LEVELS)}
    said = [tr("{level} in {n}", level=level, n=n) for level, n in counts.items() if n]
    roles = ", ".join(one.roles) or tr("not enrolled")
    held = tr("{levels} kinds of step", levels=", ".join(said)) if said else tr("nothing on record yet")
    return f"{roles}; {held}"


def alone(one: Competent) -> float | None:
    """In which share of the kinds of step somebody who learns may work alone; None for whoever makes."""
    if "maker" in one.roles or not one.held:
        return None
    return sum(h.level == LEVELS[-1] for h in one.held) / len(STEP_KINDS)


class PersonPage(Page):
    """What one person holds: for each kind of step the level, since when, and by what."""

    def __init__(
        self,
        sizes: Sizes,
        one: Competent,
        granters: Sequence[str],
        paging: Paging,
        grant: Callable[[], None],
    ) -> None:
        super().__init__(sizes, one.who)
        give: list[ButtonSpec] = [(tr("Grant a level"), grant, "plain")] if granters else []
        self.low = self.above_bottom
        under, points = self.pen_y, _open_points(one, granters)
        if one.held and not self.panel.portrait and self._table(one, points):
            self.bottom([paging.back_button, *give])
            return
        for words in [w for w in self.texts if w.y < under]:
            self.remove_widget(words)
            self.texts.remove(words)
        self.pen_y = under
        for text in (*points, *_missing(one)):
            self.line(text, body_size(sizes))
        self.pen_y -= sizes.gap * 0.5
        self._narrow = self.panel.portrait or self.panel.width < 1024
        for self._size in sizes.ladder[1:]:
            self._high = max((self._lay(held, None) for held in one.held), default=1.0)
            if self._high * len(one.held) <= self.pen_y - self.low:
                break
        room = max(int((self.pen_y - self.low) // self._high), 1)
        part, buttons = paging.part(one.held, room)
        self.bottom([*buttons, *give])
        for held in part:
            self._row(held)

    def _table(self, one: Competent, points: Sequence[str]) -> bool:
        """Every kind of step in the column of its level; False (and only words hung) where they have no room."""
        s = self.sizes
        for text in points:
            self.line(text, s.note, bold=True)
        self.pen_y -= s.gap * 0.5
        columns = [
            (HEADS[level], level, [h for h in one.held if h.level == level]) for level in reversed(LEVELS)
        ]
        wide = (self.wide - s.gap * 3 * len(columns)) / (len(columns) + 1)
        top, lowest = self.pen_y, self.pen_y
        for nth, (head, level, held) in enumerate(columns):
            x = self.left + nth * (wide + 3 * s.gap)
            y = self._put(tr(head), x, top - s.note * 0.9, wide, (s.note, d.TIDE, True)) - s.gap * 0.4
            for one_held in held:
                y = self._put(step_kinds((one_held.kind,)), x, y, wide, (s.note, d.INK, True))
                why = tr("since {since}, {why}", since=day(one_held.since), why=one_held.why)
                y = self._put(why, x, y, wide, (s.small, d.SLATE, False)) - s.gap * 0.3
            lowest = min(lowest, y)
            self._pips(level, x, top, s.note * 0.55)
        x = self.left + len(columns) * (wide + 3 * s.gap)
        y = self._put(tr("not yet"), x, top - s.note * 0.9, wide, (s.note, d.SLATE, True)) - s.gap * 0.4
        lacking = _lacking(one)
        room = (y - self.low) / (s.note * 1.25 + s.gap * 0.2)
        for text in lacking if len(lacking) <= room else [step_kinds(lacking)] * bool(lacking):
            y = self._put(step_kinds((text,)), x, y, wide, (s.note, d.SLATE, False)) - s.gap * 0.2
        self._pips("", x, top, s.note * 0.55)
        if min(lowest, y) >= self.low:
            return True
        self.canvas.remove(self._drawn)
        return False

    def _put(self, text: str, x: float, top: float, wide: float, look: tuple[int, d.RGB, bool]) -> float:
        words = TextLabel(text, look[0], look[1], bold=look[2])
        self.hang(words)
        return words.place(x, top, wide)

    def _pips(self, level: str, x: float, top: float, side: float) -> None:
        """As many filled squares as the level is high."""
        if not hasattr(self, "_drawn"):
            self._drawn = Canvas()
            self.canvas.add(self._drawn)
        with self._drawn:
            for nth in range(len(LEVELS)):
                Color(*(d.TIDE if level and nth <= LEVELS.index(level) else d.WET_SAND))
                RoundedRectangle(pos=(x + nth * side * 1.3, top - side), size=(side, side), radius=[3])

    def _row(self, held: Held) -> None:
        side, top = self._size * 0.8, self.pen_y
        for nth in range(len(LEVELS)):
            with self.canvas:
                Color(*(d.TIDE if nth <= LEVELS.index(held.level) else d.WET_SAND))
                RoundedRectangle(
                    pos=(self.left + nth * side * 1.25, top - self._size * 1.05),
                    size=(side, side),
                    radius=[3],
                )
        self._lay(held, top)
        self.pen_y = top - self._high

    def _lay(self, held: Held, top: float | None) -> float:
        """The words of a row, beside each other or one under the other; without a top only how high they are."""
        s = self.sizes
        pips = self._size * 0.8 * 1.25 * len(LEVELS) + s.gap
        what = TextLabel(
            f"{step_kinds((held.kind,))}: {translated(held.level)}", self._size, d.INK, bold=True
        )
        since = TextLabel(tr("since {since}, {why}", since=day(held.since), why=held.why), self._size, d.INK)
        left = self.wide * 0.42
        whats, sinces = (self.wide - pips,) * 2 if self._narrow else (left - pips, self.wide - left - s.gap)
        highs = what.height_at(whats), since.height_at(sinces)
        if top is not None:
            self.hang(what, since)
            what.place(self.left + pips, top, whats)
            if self._narrow:
                since.place(self.left + pips, top - highs[0], sinces)
            else:
                since.place(self.left + left + s.gap, top, sinces)
        return (sum(highs) if self._narrow else max(highs)) + s.gap * 0.5


def _lacking(one: Competent) -> list[str]:
    """The kinds of step of which nothing is on record."""
    return [kind for kind in STEP_KINDS if kind not in {h.kind for h in one.held}]


def _missing(one: Competent) -> list[str]:
    lacking = _lacking(one)
    return (
        [tr("Nothing yet in: {step_kinds}.", step_kinds=step_kinds(lacking))] if one.held and lacking else []
    )


def _open_points(one: Competent, granters: Sequence[str]) -> list[str]:
    out = []
    if one.witnessed:
        out.append(
            tr(
                "In a real make a second person signs beside them: {step_kinds}.",
                step_kinds=step_kinds(one.witnessed),
            )
        )
    if not one.held:
        out.append(tr("Nothing is on record yet. It begins with practising a scenario to its goal."))
    if not one.roles:
        out.append(tr("Not enrolled here: nothing can be granted. A releaser enrols them at the desk."))
    elif not granters:
        out.append(tr("Nobody here may grant them a level: that takes another maker or releaser."))
    return out
