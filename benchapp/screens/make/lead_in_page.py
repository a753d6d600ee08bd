"""The goal of a scenario, while it has not begun."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import TextLabel
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from benchapp.make.view_model import ViewModel
    from benchapp.screens.display.sizes import Sizes
    from benchapp.service.training_facts import Practice


class LeadInPage(Page):
    """The goal, while the simulated hands walk the batch to where the scenario begins."""

    def __init__(self, sizes: Sizes, p: Practice, stop: Callable[[], None]) -> None:
        super().__init__(sizes, p.title)
        self.bottom([("Stop", stop, "serious")])
        meanwhile = tr("Wait: simulated hands make the batch up to where it begins. Then it is yours.")
        self.step = TextLabel(" ", sizes.line, d.TIDE, bold=True)
        self.listed_large([TextLine(meanwhile, True, d.TIDE), TextLine(p.goal)], after=3.0 * sizes.line)
        self.add_widget(self.step)
        self.step.place(self.left, self.pen_y, self.wide)

    def show(self, view: ViewModel) -> None:
        """How far they are."""
        text = tr(
            "Step {step_number} of {step_count}: {step_title}",
            step_number=view.step_number,
            step_count=view.step_count,
            step_title=view.step_title,
        )
        if self.step.text != text:
            self.step.text = text
            self.step.place(self.left, self.step.top, self.wide)
