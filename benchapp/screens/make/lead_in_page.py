"""The goal of a scenario, while it has not begun."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kivy.graphics import Color, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr, tr_n
from benchapp.screens.display import design as d
from benchapp.screens.make.signed_press import SignedPress
from benchapp.screens.widgets.button import least_width
from benchapp.screens.widgets.named_lines import NamedLine, led_by
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high

if TYPE_CHECKING:
    from benchapp.make.view_model import ViewModel
    from benchapp.screens.display.sizes import Sizes
    from benchapp.service.training_facts import Practice


class LeadInPage(Page):
    """The goal, while the simulated hands walk the batch to where the scenario begins: the steps they do are a bar."""

    def __init__(self, sizes: Sizes, p: Practice, stop: Callable[[], None]) -> None:
        super().__init__(sizes, p.title)
        s, self._ahead, self._drawn = sizes, max(p.begins_at - 1, 0), -1
        press = SignedPress(s, "Stop", stop, "serious", None, "stop")
        press.size, press.pos = (max(1.05 * s.action, least_width("Stop", s.line)), s.action), (s.pad, s.pad)
        self.add_widget(press)
        self.low = self.above_bottom
        low = self.low
        self.low += s.across + 2 * s.gap + wrapped_high("x", s.line, True, int(self.wide)) * 2
        led_by(self, _who_does_what(p), [NamedLine(tr("Your goal"), p.goal)])
        self.low = low
        self._parts = Widget(size_hint=(None, None))
        self.add_widget(self._parts)
        self.step = TextLabel(" ", s.line, d.SLATE, bold=True)
        self.add_widget(self.step)

    def show(self, view: ViewModel) -> None:
        """How far they are."""
        done = min(view.step_number - 1, self._ahead)
        if done == self._drawn or not self._ahead:
            return
        self._drawn, s = done, self.sizes
        low = self._bar(done)
        self.step.text = tr(
            "Done for you now: {step_title}, {number} of {count}", step_title=view.step_title, number=min(done + 1, self._ahead),
            count=self._ahead,
        ) if view.step_number <= self._ahead else tr("Now it is your turn.")  # fmt: skip
        self.step.place(self.left, low - s.gap * 0.5, self.wide)

    def _bar(self, done: int) -> float:
        """A part for each step that is done for you, filled once it is, and last an open one: yours. Returns its bottom."""
        s, count = self.sizes, self._ahead + 1
        high, wide = s.across * 0.6, (self.wide - s.gap * (self._ahead)) / count
        low = self.pen_y - s.gap - high
        self._parts.clear_widgets()
        self._parts.canvas.clear()
        with self._parts.canvas:
            for n in range(count):
                x = self.left + n * (wide + s.gap)
                Color(*(d.TIDE if n < done else d.WET_SAND))
                Rectangle(pos=(x, low), size=(wide, high))
                if n == done:
                    Color(*d.TIDE)
                    Line(rectangle=(x + 1, low + 1, wide - 2, high - 2), width=2)
        for n in range(count):
            words = tr("{number}: you", number=count) if n == self._ahead else str(n + 1)
            label = TextLabel(words, s.between, d.FOAM if n < done else d.INK, bold=True)
            label.natural()
            middle = self.left + n * (wide + s.gap) + wide / 2
            label.pos = (middle - label.width / 2, low + (high - label.height) / 2)
            if label.width <= wide:
                self._parts.add_widget(label)
        return low


def _who_does_what(p: Practice) -> str:
    """What is done for whoever practises, and where their own part begins."""
    if not p.begins_with:
        return tr("The beginning is done for you. Then it is your turn.")
    yours = tr(
        "Your part begins in step {number}: {step_title}.", number=p.begins_at, step_title=p.begins_with
    )
    if p.begins_at < 2:
        return yours
    theirs = tr_n(
        "The first step is done for you.", "The first {n} steps are done for you.", n=p.begins_at - 1
    )
    return f"{theirs} {yours}"
