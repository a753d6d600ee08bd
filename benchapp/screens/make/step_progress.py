"""How far the make is, as a waterline over its steps."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.screens.display import design as d


class StepProgress(Widget):
    """The whole make as a waterline that comes in from the left, with a notch for every step."""

    def __init__(self) -> None:
        super().__init__(size_hint=(None, None))
        self.share, self.steps, self.now = 0.0, 1, 1
        self.bind(pos=self.draw, size=self.draw)

    def show(self, share: float, now: int, steps: int) -> None:
        """So much is done; step ``now`` of ``steps``."""
        if (share, now, steps) != (self.share, self.now, self.steps):
            self.share, self.now, self.steps = share, now, steps
            self.draw()

    def draw(self, *_: object) -> None:
        """Draw it anew."""
        self.canvas.clear()
        with self.canvas:
            Color(*d.WET_SAND)
            Rectangle(pos=self.pos, size=self.size)
            Color(*d.TIDE)
            Rectangle(pos=self.pos, size=(self.width * self.share, self.height))
            Color(*d.SAND)
            for n in range(1, self.steps):
                x = self.x + self.width * n / self.steps
                Rectangle(pos=(x - 1, self.y), size=(2, self.height))
            Color(*d.INK)
            x = self.x + self.width * (self.now - 1) / self.steps
            Rectangle(pos=(x, self.y), size=(self.width / self.steps, 4))
