"""Connecting a device on the glass: one question a page, with the device as it reads meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from kivy.uix.widget import Widget

from benchapp.foundation.language import tr
from benchapp.screens.bench.check_pages import WAIT
from benchapp.screens.bench.device_tile import decimals_of
from benchapp.screens.bench.live_number import LiveNumber
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec, TouchButton
from benchapp.screens.widgets.keypad import Keypad
from benchapp.screens.widgets.list_pages import list_page
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.text_label import TextLabel
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.connecting_questions import NEXT, ConnectingAnswer, ConnectingStep, Sight

STOP = "Stop"
#: More answers than stand in one row with "Stop" are listed.
IN_A_ROW = 2
#: An address longer than this is named by its end, which tells it from the others.
LONGEST = 36


@dataclass(frozen=True, slots=True)
class QuestionActs:
    """What a page hands on: the answer, the end of it all, and another page of many answers."""

    answer: Callable[[str], None]
    stop: Callable[[], None]
    turn: Callable[[int], None]

    def mass(self, mass_g: float) -> None:
        """A mass as an answer."""
        self.answer(f"{mass_g} g")


def question_page(
    sizes: Sizes, step: ConnectingStep, look: Callable[[], Sight], acts: QuestionActs, number: int = 0
) -> Widget:
    """The page for a question: a keypad for a mass, a list for many answers, else the question with its presses."""
    if step.ask is not None:
        return Keypad(sizes, step.ask, acts.mass, acts.stop, back_label=STOP)
    if len(step.answers) > IN_A_ROW:
        rows = [(_shortened(one.label), partial(acts.answer, one.word)) for one in step.answers]
        paging, found = Paging(acts.stop, acts.turn, number, STOP), sizes.figures.text(" ".join(step.found))
        return list_page(sizes, step.question, rows, paging, found)
    return QuestionPage(sizes, step, look, acts)


class QuestionPage(Page):
    """The question, what came out before it, and the device as it reads; answered by a press, or by what it reads."""

    def __init__(
        self, sizes: Sizes, step: ConnectingStep, look: Callable[[], Sight], acts: QuestionActs
    ) -> None:
        super().__init__(sizes, step.question)
        self._step, self._look, self._acts = step, look, acts
        self._answered = self._ready = False
        row: list[ButtonSpec] = [
            (one.label, partial(self._press, one), "main" if one.word == NEXT.word else "plain")
            for one in reversed(step.answers)
        ]
        self.bottom([(STOP, acts.stop, "plain"), *row])
        self._next = next(
            (w for w in self.children if isinstance(w, TouchButton) and w.label == NEXT.label), None
        )
        self._number: LiveNumber | None = None
        if step.device is None:
            self.listed_large([TextLine(sizes.figures.text(text)) for text in step.found])
            self._line = TextLabel("", sizes.line, d.TIDE, bold=True)
            self.add_widget(self._line)
            return
        found = [TextLine(sizes.figures.text(text)) for text in step.found]
        self.listed_large(found, after=LiveNumber.least_high(sizes))
        self._number = LiveNumber(self, self.pen_y)
        self.live(())

    def live(self, seen: object) -> None:
        """The device as it reads now; the question is left where that answers it."""
        sight = self._look()
        self._ready = sight.ready
        one = sight.device
        if self._number is not None and one is not None:
            named = one.reading is not None and one.reading.unit
            self._number.show(one, "g" if named else "", decimals_of(one.device, one))
            if self._next is not None:
                self._next.say(NEXT.label if sight.ready else WAIT)
        elif self._number is None and sight.line and sight.line != self._line.text:
            self._line.text = sight.line
            self._line.place(self.left, self.pen_y - self.sizes.gap, self.wide)
        if sight.done:
            self._answer(NEXT.word)

    def _press(self, one: ConnectingAnswer) -> None:
        if self._ready or one != NEXT:
            self._answer(one.word)

    def _answer(self, word: str) -> None:
        """Once: what is pressed while the next question is under way answers nothing."""
        if not self._answered:
            self._answered = True
            self._acts.answer(word)


def refused_page(sizes: Sizes, why: str, again: Callable[[], None], back: Callable[[], None]) -> Page:
    """Why it cannot be gone on, and what to do."""
    page = Page(sizes, tr("It is not on the bench yet."))
    page.bottom([("Back", back, "plain"), (tr("Begin again"), again, "main")])
    page.listed_large([TextLine(sizes.figures.text(why))])
    return page


def _shortened(label: str) -> str:
    return label if len(label) <= LONGEST else f"…{label[-LONGEST:]}"
