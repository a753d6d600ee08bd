"""How a value stands, as a shape and a word."""

from __future__ import annotations

from kivy.uix.widget import Widget

from benchapp.screens.display import design as d
from benchapp.screens.drawings.shapes import draw_shape
from benchapp.screens.widgets.text_label import TextLabel


class StatusMark(Widget):
    """How a reading stands, as a shape and a word."""

    def __init__(self, size: int) -> None:
        super().__init__(size_hint=(None, None))
        self.label = TextLabel("", size, d.INK, bold=True)
        self.add_widget(self.label)
        self.word = ""
        self._font = size

    def show(self, word: str, x: float, y: float) -> float:
        """Draw it with its left bottom corner there; returns its width."""
        colour, shape = d.standing(word)
        self.word = word
        side = self._font * 1.3
        self.pos, self.size = (x, y), (side, side)
        self.canvas.before.clear()
        with self.canvas.before:
            draw_shape(shape, x, y, side, colour)
        self.label.text = word
        self.label.color = (*colour, 1)
        self.label.natural()
        self.label.pos = (x + side + 8, y + (side - self.label.height) / 2)
        return float(side + 8 + self.label.width)
