"""What can be practised, and the goal of a scenario."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import step_kinds
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec, TouchButton
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.text_label import TextLabel
from benchapp.service.training_facts import Practice, Practices

#: The row of a whole batch in which nothing is made to go wrong.
WHOLE = ("A whole batch", "Nothing is made to go wrong. Walk a batch from its first step to its last.")
#: What is said on every page before a rehearsal begins.
SIMULATED = "On a simulated bench: it reads nothing real, and nothing of it can be sold."
#: The share of the width a row's button takes.
PRESS_SHARE = 0.36


class PracticePage(Page):
    """Everything that can be practised: a press with its title, and its goal beside it."""

    def __init__(
        self,
        sizes: Sizes,
        found: Practices,
        pick: Callable[[Practice], None],
        whole_batch: Callable[[], None],
        competence: Callable[[], None],
        paging: Paging,
    ) -> None:
        super().__init__(sizes, "Practise")
        self.line(SIMULATED, sizes.small)
        self._columns = 2 if self.panel.width >= 1280 else 1
        self._cell = (self.wide - sizes.gap * 2 * (self._columns - 1)) / self._columns
        rows: list[tuple[str, str, Callable[[], None] | None]] = [(*WHOLE, whole_batch)]
        rows += [("", text, None) for text in found.broken]
        rows += [(p.title, p.goal, partial(pick, p)) for p in found.found]
        who: ButtonSpec = ("Who may do what", competence, "plain")
        self.low = self.above_bottom
        part, buttons = paging.part(rows, self.rows_that_fit() * self._columns)
        self.bottom([*buttons, who])
        for nth, row in enumerate(part):
            self._row(nth, *row)

    def _row(self, nth: int, title: str, goal: str, act: Callable[[], None] | None) -> None:
        s = self.sizes
        down, across = divmod(nth, self._columns)
        top = self.pen_y - down * (s.action + s.gap)
        left = self.left + across * (self._cell + 2 * s.gap)
        indent = 0.0
        if act is not None:
            press = TouchButton(title, act, "plain", s.note)
            press.size, press.pos = (self._cell * PRESS_SHARE, s.action), (left, top - s.action)
            self.add_widget(press)
            indent = press.width + s.gap
        words = TextLabel(goal, s.small, d.CORAL if act is None else d.INK, bold=act is None)
        self.hang(words)
        wide = self._cell - indent
        if words.height_at(wide) > s.action:  # the whole of it stands on the page of its goal
            words.text = _shortened(words, goal, wide, s.action)
        words.place(left + indent, top - (s.action - words.height_at(wide)) / 2, wide)


def _shortened(words: TextLabel, text: str, wide: float, high: float) -> str:
    """As many of the words as there is room for."""
    parts = text.split()
    while len(parts) > 1 and words.height_at(wide) > high:
        parts.pop()
        words.text = " ".join(parts) + " …"
    return str(words.text)


def goal_page(sizes: Sizes, p: Practice, begin: Callable[[], None], back: Callable[[], None]) -> Page:
    """One scenario and its goal, before anything begins."""
    page = Page(sizes, p.title)
    page.low = page.above_bottom
    if not page.line(p.goal, round(sizes.note * 1.3), bold=True):
        page.line(p.goal, sizes.note, bold=True)
    page.bottom([("Back", back, "plain"), ("Begin", begin, "main")])
    page.line(SIMULATED, sizes.note)
    page.line(f"It teaches: {step_kinds(p.teaches)}.", sizes.note)
    return page
