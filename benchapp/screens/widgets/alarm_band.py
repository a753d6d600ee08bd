"""An alarm over whatever lies on the make: a sheet, the PIN, the lock. What was typed beneath stays; touches go through."""

from __future__ import annotations

from typing import TYPE_CHECKING

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr
from benchapp.make.vocabulary import TroubleKind
from benchapp.screens.display import design as d
from benchapp.screens.widgets.text_label import TextLabel

if TYPE_CHECKING:
    from benchapp.make.view_model import ViewModel
    from benchapp.screens.display.sizes import Sizes


class AlarmBand(Widget):
    """A band at the top of the glass; there while an alarm stands that what is shown does not show itself."""

    def __init__(self, sizes: Sizes) -> None:
        super().__init__(size_hint=(None, None), size=(0.0, 0.0))
        self._panel, self._sizes, self.text = sizes.panel, sizes, ""

    def show(self, text: str) -> None:
        """This alarm; "" for none."""
        if text == self.text:
            return
        self.text = text
        self.canvas.clear()
        self.clear_widgets()
        self.size = (0.0, 0.0)
        if not text:
            return
        s, wide = self._sizes, self._panel.width - 2 * self._sizes.pad
        words = TextLabel(tr("Alarm: {text}", text=text), s.note, d.FOAM, bold=True)
        high = words.height_at(wide) + s.pad
        self.pos, self.size = (0.0, self._panel.height - high), (self._panel.width, high)
        with self.canvas:
            Color(*d.CORAL)
            Rectangle(pos=self.pos, size=self.size)
        self.add_widget(words)
        words.place(s.pad, self._panel.height - s.pad / 2, wide)


def unseen_alarm(view: ViewModel | None, covered: bool) -> str:
    """The alarm that stands while something covers the make, "" for none."""
    trouble = view.trouble if view is not None else None
    return trouble.text if covered and trouble is not None and trouble.kind == TroubleKind.ALARM else ""
