"""The make as a line of time: what is done, where it stands, and which of what comes is waiting."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import Color, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr, translated
from benchapp.make.view_model import StepSpan
from benchapp.make.waits import wait
from benchapp.screens.display import design as d

#: How long a step's own work is drawn, and what heats or cools until its end is known: for the drawing only, in seconds.
HANDS_S, OPEN_S = 120.0, 600.0


class StepProgress(Widget):
    """Steps from left to right, as long as they take; the part that is waiting is drawn low, an open end dashed."""

    def __init__(self) -> None:
        super().__init__(size_hint=(None, None))
        self.share, self.spans = 0.0, ()  # type: float, tuple[StepSpan, ...]
        self.bind(pos=self.draw, size=self.draw)

    def show(self, share: float, spans: Sequence[StepSpan]) -> None:
        """So much of all steps is done."""
        if (share, tuple(spans)) != (self.share, self.spans):
            self.share, self.spans = share, tuple(spans)
            self.draw()

    def draw(self, *_: object) -> None:
        """Draw it anew."""
        self.canvas.clear()
        if not self.spans or not self.width:
            return
        lengths = [_length(span) for span in self.spans]
        scale = self.width / sum(lengths)
        done = self.share * len(self.spans)
        x = self.x
        with self.canvas:
            for n, (span, length) in enumerate(zip(self.spans, lengths, strict=True)):
                self._step(x, length * scale, span, min(max(done - n, 0.0), 1.0))
                x += length * scale

    def _step(self, x: float, wide: float, span: StepSpan, share: float) -> None:
        wide = max(wide - 3, 1.0)
        hands = wide * HANDS_S / _length(span)
        Color(*d.WET_SAND)
        Rectangle(pos=(x, self.y), size=(hands, self.height))
        if wide > hands:
            Color(*d.DRIFT)
            Line(rectangle=(x + hands, self.y + 1, wide - hands, self.height * 0.4), width=1.2,
                 **({"dash_length": 4, "dash_offset": 3} if span.open_end else {}))  # fmt: skip
        if span.state == "done":
            share = 1.0
        Color(*d.TIDE)
        Rectangle(pos=(x, self.y), size=(min(wide * share, hands), self.height))
        if wide * share > hands:
            Rectangle(pos=(x + hands, self.y), size=(wide * share - hands, self.height * 0.45))
        if span.state == "now":
            Color(*d.INK)
            Line(rectangle=(x, self.y, wide, self.height), width=2)


def _length(span: StepSpan) -> float:
    return HANDS_S + span.wait_s + (OPEN_S if span.open_end else 0.0)


def waits_to_come(spans: Sequence[StepSpan], left_s: float, foretold: bool) -> tuple[str, ...]:
    """How much waiting there still is, as far as it is known, and what of it has no set time; the same in fewer words, and
    nothing where there is none. ``foretold``: the open end of this step is in it."""
    later = (x for x in spans if x.state == "next" or (x.state == "now" and not foretold))
    parts = [wait(left_s)] if left_s >= 60.0 else []
    parts += [translated(end) for end in dict.fromkeys(x.open_end for x in later) if end]
    said = " + ".join(parts)
    return (tr("waiting: {said}", said=said), said) if parts else ()
