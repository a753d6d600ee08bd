"""The make as a line of time: one bar as far as it is done, the mark of now, then a block for what the hands do and a string
for what is waited for."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import Color, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.make.view_model import StepSpan
from benchapp.screens.display import design as d

#: How long a step's own work is drawn, and what heats or cools until its end is known: for the drawing only, in seconds.
HANDS_S, OPEN_S = 120.0, 600.0
#: How high a string is, as a share of the widget; how far blocks are apart, in pixels.
STRING, APART = 0.3, 3.0


class StepProgress(Widget):
    """Steps from left to right, as long as they take; an open end is dashed."""

    def __init__(self) -> None:
        super().__init__(size_hint=(None, None))
        self.share, self.spans = 0.0, ()  # type: float, tuple[StepSpan, ...]
        self._drawn: tuple[object, ...] = ()

    def show(self, share: float, spans: Sequence[StepSpan]) -> None:
        """So much of all steps is done; drawn anew where that, or its place, has changed."""
        self.share, self.spans = share, tuple(spans)
        key = (share, self.spans, *self.pos, *self.size)
        if key != self._drawn:
            self._drawn = key
            self._draw()

    def _draw(self) -> None:
        self.canvas.clear()
        if not self.spans or self.width < 1:
            return
        scale = self.width / sum(_length(span) for span in self.spans)
        done, x = self.share * len(self.spans), self.x
        with self.canvas:
            for n, span in enumerate(self.spans):
                wide = _length(span) * scale
                self._step(x, wide, span)
                if span.state == "now":
                    self._done(x + wide * min(max(done - n, 0.0), 1.0))
                x += wide
            if all(span.state == "done" for span in self.spans):
                self._done(x)

    def _step(self, x: float, wide: float, span: StepSpan) -> None:
        """What the hands do as a block, and what is waited for as a string."""
        hands, end, middle = wide * HANDS_S / _length(span), x + wide, self.center_y
        string = self.height * STRING
        Color(*d.DRIFT)
        Rectangle(pos=(x, self.y), size=(max(hands - APART, APART), self.height))
        if wide <= hands:
            return
        if span.open_end:
            Line(points=[x + hands, middle, end, middle], width=string / 2, dash_length=8, dash_offset=6)
        else:
            Rectangle(pos=(x + hands - APART, middle - string / 2), size=(wide - hands, string))

    def _done(self, now: float) -> None:
        """All that is done is one bar, up to the mark of now."""
        Color(*d.TIDE)
        Rectangle(pos=self.pos, size=(now - self.x, self.height))
        Color(*d.INK)
        left = min(max(now - self.height / 2, self.x), self.right - self.height)
        Rectangle(pos=(left, self.y), size=(self.height, self.height))


def _length(span: StepSpan) -> float:
    return HANDS_S + span.wait_s + (OPEN_S if span.open_end else 0.0)
