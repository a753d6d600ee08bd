"""Who may do what: a person's levels."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.record.competence import LEVELS, STEP_KINDS
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import day
from benchapp.screens.display.phrases import step_kinds
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.training.level_table import HEADS, NEVER, LevelTable, kind_said
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page, body_size
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.training_facts import Competent, Held

#: What whoever makes may do, whatever is on record.
EVERY_STEP = tr_noop("every step")


def summary(one: Competent) -> str:
    """Which kinds of step a person may do, a line for each of the two highest levels they have; what else there is stands on their page."""
    if "maker" in one.roles:
        return tr("{level}: {kinds}", level=tr(HEADS["independent"]), kinds=tr(EVERY_STEP))
    said = []
    for level in reversed(LEVELS):
        kinds = [held.kind for held in one.held if held.level == level]
        if kinds:
            said.append(tr("{level}: {kinds}", level=tr(HEADS[level]), kinds=step_kinds(kinds)))
    none = tr("{level}: {kinds}", level=tr(NEVER), kinds=tr(EVERY_STEP))
    return "\n".join(said[:2] or [none])


def roles(one: Competent) -> str:
    """What a person is here."""
    return ", ".join(translated(role) for role in one.roles) or tr("not enrolled")


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
        super().__init__(sizes, tr("What {name} may do", name=one.who))
        self._one = one
        give: list[ButtonSpec] = [(tr("Allow a step"), grant, "plain")] if granters else []
        self.low = self.above_bottom
        points, lacking = _open_points(one, granters), missing_of(one) if one.held else []
        if one.held and self._table(one, points, lacking):
            self.bottom([paging.back_button, *give])
            return
        if not one.held:
            if one.witnessed:  # else it is said of each
                kinds = step_kinds(one.witnessed)
                points.append(tr("In a real batch a second person signs: {kinds}.", kinds=kinds))
            self.bottom([paging.back_button, *give])
            self.listed_large([TextLine(text) for text in points])
            return
        kinds = ", ".join(kind_said(kind, one) for kind in lacking)
        missing = [tr("{level}: {kinds}", level=tr(NEVER), kinds=kinds)] if lacking else []
        for text in (*points, *missing):
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

    def _table(self, one: Competent, points: Sequence[str], missing: Sequence[str]) -> bool:
        """What is open, and every kind of step in the line of its level; False where they have no room."""
        s = self.sizes
        for font in dict.fromkeys((s.between, s.note)):
            over = sum(wrapped_high(text, font, True, int(self.wide)) + s.gap * 0.4 for text in points)
            table = LevelTable(self, one, missing, self.pen_y - self.low - over - s.gap)
            if table.font:
                for text in points:
                    self.line(text, font, bold=True)
                self.pen_y -= s.gap
                table.draw()
                return True
        return False

    def _row(self, held: Held) -> None:
        top = self.pen_y
        self._lay(held, top)
        self.pen_y = top - self._high

    def _lay(self, held: Held, top: float | None) -> float:
        """The words of a row, beside each other or one under the other; without a top only how high they are."""
        s = self.sizes
        what = TextLabel(
            f"{kind_said(held.kind, self._one)}: {tr(HEADS[held.level])}", self._size, d.INK, bold=True
        )
        since = TextLabel(tr("since {since}, {why}", since=day(held.since), why=held.why), self._size, d.INK)
        left = self.wide * 0.42
        whats, sinces = (self.wide,) * 2 if self._narrow else (left, self.wide - left - s.gap)
        highs = what.height_at(whats), since.height_at(sinces)
        if top is not None:
            self.hang(what, since)
            what.place(self.left, top, whats)
            if self._narrow:
                since.place(self.left, top - highs[0], sinces)
            else:
                since.place(self.left + left + s.gap, top, sinces)
        return (sum(highs) if self._narrow else max(highs)) + s.gap * 0.5


def missing_of(one: Competent) -> list[str]:
    """The kinds of step of which nothing is on record."""
    return [kind for kind in STEP_KINDS if kind not in {h.kind for h in one.held}]


def _open_points(one: Competent, granters: Sequence[str]) -> list[str]:
    out = []
    if "maker" in one.roles:
        return [tr("May do every step alone, as every maker.")]
    if not one.held:
        out.append(tr("Nothing is on record yet. It begins with practising a scenario to its goal."))
    if not one.roles:
        out.append(tr("Not enrolled here: nothing can be granted. A releaser enrols them at the desk."))
    elif not granters:
        out.append(tr("Nobody here may grant them a level: that takes another maker or releaser."))
    return out
