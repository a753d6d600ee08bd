"""Wait: the simulated hands walk the batch to where the scenario begins; how far they are, and what comes then."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr, translated
from benchapp.screens.display import design as d
from benchapp.screens.make.signed_press import SignedPress
from benchapp.screens.widgets.button import least_width
from benchapp.screens.widgets.named_lines import NamedLine, named_on
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high

if TYPE_CHECKING:
    from benchapp.make.view_model import ViewModel
    from benchapp.screens.display.sizes import Sizes
    from benchapp.service.training_facts import Practice


class LeadInPage(Page):
    """One word in large over a bar that fills; under it what is being done, then whose turn it is next and for what."""

    one_line_title = True

    def __init__(self, sizes: Sizes, p: Practice, stop: Callable[[], None]) -> None:
        super().__init__(sizes, tr("You will practise: {title}", title=p.title))
        #: How many steps are done by now, with the share of the one that runs.
        self._ahead, self.done = max(p.begins_at - 1, 0), -1.0
        self._theirs = False  # whether it is the turn of whoever practises
        self._stop(stop)
        self.low = self.above_bottom
        self.line(tr("Wait"), self._word_font(), bold=True, color=d.TIDE)
        self.word = self.texts[-1]
        self._parts = Widget(size_hint=(None, None))
        self.add_widget(self._parts)
        self._bar_top = self.pen_y
        self.pen_y -= sizes.gap * 3
        self._step_top, font = self.pen_y, self._step_font()
        self._step_high = wrapped_high("x", font, True, int(self.wide)) * 2
        self.step = TextLabel(" ", font, d.INK, bold=True)
        self.add_widget(self.step)
        self.pen_y -= self._step_high + sizes.gap
        named_on(self, _then(p))
        if not self._ahead:
            self._say(tr("The beginning is being done for you."))

    def _stop(self, stop: Callable[[], None]) -> None:
        s, said = self.sizes, tr("Stop practising")
        press = SignedPress(s, said, stop, "serious", None, "stop")
        whole = natural_wide(said, s.line) + 3 * s.gap
        wide = whole if whole < self.wide / 2 else max(1.05 * s.action, least_width(said, s.line))
        press.size, press.pos = (wide, s.action), (s.pad, s.pad)
        self.add_widget(press)

    def _word_font(self) -> int:
        """As large as what is acted on at a glance, where the glass is high enough."""
        s = self.sizes
        return s.across if self.pen_y - self.low > 5 * s.across else s.instruction

    def _step_font(self) -> int:
        s = self.sizes
        return s.line if self._bar_top - self.low > 8 * s.line else s.note

    def show(self, view: ViewModel) -> None:
        """How far they are."""
        done = min(view.progress * view.step_count, float(self._ahead))
        theirs = view.step_number > self._ahead
        if (done, theirs) == (self.done, self._theirs) or not self._ahead:
            return
        self.done, self._theirs = done, theirs
        self._bar(done)
        if theirs:
            self.word.text = tr("Your turn")
            self._say(tr("It begins now."))
            return
        self._say(tr(
            "Being done for you now, step {number} of {count}: {step_title}", number=view.step_number, count=self._ahead,
            step_title=view.step_title,
        ))  # fmt: skip

    def _say(self, text: str) -> None:
        fonts = [f for f in self.sizes.ladder if f <= self._step_font()]
        fits = (f for f in fonts if wrapped_high(text, f, True, int(self.wide)) <= self._step_high)
        self.step.text, self.step.font_size = text, next(fits, fonts[-1])
        self.step.place(self.left, self._step_top, self.wide)

    def _bar(self, done: float) -> None:
        """One bar, filled as far as is done for you, with a notch where a step ends: nothing to press."""
        high, wide = self.sizes.gap * 2, self.wide / self._ahead
        low = self._bar_top - high
        self._parts.canvas.clear()
        with self._parts.canvas:
            Color(*d.WET_SAND)
            Rectangle(pos=(self.left, low), size=(self.wide, high))
            Color(*d.TIDE)
            Rectangle(pos=(self.left, low), size=(wide * done, high))
            Color(*d.SAND)
            for n in range(1, self._ahead):
                Rectangle(pos=(self.left + n * wide - 3, low), size=(6, high))


def _then(p: Practice) -> list[NamedLine]:
    """Where the part of whoever practises begins, and what they are to reach."""
    goal = NamedLine(tr("What comes"), translated(p.goal))
    if not p.begins_with:
        return [goal]
    part = tr("from step {number}: {step_title}", number=p.begins_at, step_title=p.begins_with)
    return [NamedLine(tr("Your part"), part), goal]
