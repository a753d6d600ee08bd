"""The make as a line of time: beads for the work of the hands, a string for what is waited for, and a pointer at now."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import Color, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.make.view_model import StepSpan
from benchapp.screens.display import design as d
from benchapp.screens.drawings.shapes import polygon

#: How long a step's own work is drawn, and what heats or cools until its end is known: for the drawing only, in seconds.
HANDS_S, OPEN_S = 120.0, 600.0
#: How high a bead and the string are, as a share of the widget; the pointer stands above them, as on the long rule.
BEAD, STRING = 0.62, 0.3


class StepProgress(Widget):
    """Steps from left to right, as long as they take: filled what is done, an open end dashed."""

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
        lengths = [_length(span) for span in self.spans]
        scale = self.width / sum(lengths)
        done = self.share * len(self.spans)
        x, now = self.x, None
        with self.canvas:
            for n, (span, length) in enumerate(zip(self.spans, lengths, strict=True)):
                share = 1.0 if span.state == "done" else min(max(done - n, 0.0), 1.0)
                self._step(x, length * scale, span, share if span.state != "next" else 0.0)
                if span.state == "now":
                    now = x + length * scale * share
                x += length * scale
            if now is not None:
                self._pointer(now)

    def _step(self, x: float, wide: float, span: StepSpan, share: float) -> None:
        """The bead and its string, and over them as much as is done."""
        bead, string = self.height * BEAD, max(self.height * STRING, 3.0)
        hands, end = wide * HANDS_S / _length(span), x + wide
        middle = self.y + bead / 2
        if wide > hands:
            Color(*d.DRIFT)
            if span.open_end:
                Line(points=[x + hands, middle, end, middle], width=2.2, dash_length=8, dash_offset=6)
            else:
                Rectangle(pos=(x + hands, middle - 2.5), size=(wide - hands, 5))
        body = max(hands - 3, 2.0)
        Color(*d.DRIFT)
        Line(rectangle=(x, self.y, body, bead), width=1.6)
        Color(*d.TIDE)
        Rectangle(pos=(x, self.y), size=(min(wide * share, body), bead))
        if wide * share > hands:
            Rectangle(pos=(x + hands - 3, middle - string / 2), size=(wide * share - hands + 3, string))

    def _pointer(self, x: float) -> None:
        """Where it stands now: the mark that stands on the long rule, too."""
        side, top = self.height * (1.0 - BEAD), self.top
        Color(*d.INK)
        Rectangle(pos=(x - 2.5, self.y), size=(5, self.height * BEAD))
        polygon([(x, top - side * 1.15), (x - side * 0.75, top), (x + side * 0.75, top)])


def _length(span: StepSpan) -> float:
    return HANDS_S + span.wait_s + (OPEN_S if span.open_end else 0.0)
