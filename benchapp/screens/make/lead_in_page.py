"""The goal of a scenario, while it has not begun."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from kivy.graphics import Color, Rectangle
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
        self.step = TextLabel(" ", s.line, d.INK, bold=True)
        self.add_widget(self.step)

    def show(self, view: ViewModel) -> None:
        """How far they are."""
        done = min(view.step_number - 1, self._ahead)
        if done == self._drawn or not self._ahead:
            return
        self._drawn, s = done, self.sizes
        low = self._bar(done)
        self.step.text = tr(
            "Wait: step {number} of {count} is being done for you, {step_title}.", step_title=view.step_title, number=min(done + 1, self._ahead),
            count=self._ahead,
        ) if view.step_number <= self._ahead else tr("Now it is your turn.")  # fmt: skip
        self.step.place(self.left, low - s.gap * 0.5, self.wide)

    def _bar(self, done: int) -> float:
        """One thin bar, filled as far as is done for you, with a notch where a step ends: nothing to press. Returns its bottom."""
        s, count = self.sizes, self._ahead
        high, wide = s.gap * 1.2, self.wide / count
        low = self.pen_y - s.gap - high
        self._parts.canvas.clear()
        with self._parts.canvas:
            Color(*d.WET_SAND)
            Rectangle(pos=(self.left, low), size=(self.wide, high))
            Color(*d.TIDE)
            Rectangle(pos=(self.left, low), size=(wide * done, high))
            Color(*d.FOAM)
            for n in range(1, count):
                Rectangle(pos=(self.left + n * wide - 2, low), size=(4, high))
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
