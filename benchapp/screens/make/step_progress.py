"""The make as a line of time: beads for the work of the hands, a string for what is waited for, and a pointer at now."""

from __future__ import annotations

from collections.abc import Sequence

from kivy.graphics import Color, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr, translated
from benchapp.make.view_model import StepSpan, ViewModel
from benchapp.make.waits import still, wait
from benchapp.screens.display import design as d
from benchapp.screens.drawings.shapes import polygon

#: How long a step's own work is drawn, and what heats or cools until its end is known: for the drawing only, in seconds.
HANDS_S, OPEN_S = 120.0, 600.0
#: Less waiting than this is not worth saying, in seconds.
WORTH_SAYING_S = 300.0
#: And of the whole make less than this, in seconds.
LAST_S = 60.0
#: How high a bead and the string are, as a share of the widget; the pointer stands above them, as on the long rule.
BEAD, STRING = 0.6, 0.18


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
                Line(points=[x + hands, middle, end, middle], width=1.4, dash_length=7, dash_offset=5)
            else:
                Rectangle(pos=(x + hands, middle - 1.5), size=(wide - hands, 3))
        body = max(hands - 3, 2.0)
        Color(*d.DRIFT)
        Line(rectangle=(x, self.y, body, bead), width=1.2)
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


def still_to_come(m: ViewModel) -> str:
    """How long the make takes yet by finished makes like it; where there are none at the least, since then nobody knows how long
    hands and what has no set time will take. "" where nothing is to be said."""
    until = m.until_done
    if until is not None:
        if until.late_s < LAST_S:
            return ""
        if until.makes == 1:
            return tr("last time: {wait} more", wait=still(until))
        return tr("about {wait} more", wait=still(until))
    known = m.left_s >= WORTH_SAYING_S
    return tr("at least {wait} more", wait=wait(m.left_s)) if known else waits_to_come(m, False)


def waits_to_come(m: ViewModel, foretold: bool) -> str:
    """What of it is waited for, "" where nothing is. ``foretold``: the open end of this step is in it."""
    later = (x for x in m.spans if x.state == "next" or (x.state == "now" and not foretold))
    ends = [translated(end) for end in dict.fromkeys(x.open_end for x in later) if end]
    known = m.left_s >= WORTH_SAYING_S
    return " + ".join([*([tr("{wait} of waits", wait=wait(m.left_s))] if known else []), *ends])
