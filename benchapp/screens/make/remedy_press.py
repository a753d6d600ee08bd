"""A press for one of several ways on, with what the batch is afterwards: a bar along its foot, and how large the batch is; the
one that is advised says so and has an edge of its own."""

from __future__ import annotations

from collections.abc import Callable

from kivy.graphics import Color, Line, Rectangle, RoundedRectangle

from benchapp.foundation.language import tr
from benchapp.make.pictures import Outcome
from benchapp.make.view_model import Choice
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import DETAIL_EDGE, TouchButton
from benchapp.screens.widgets.text_label import TextLabel, natural_wide

#: The least width in which a part of the bar is seen, in pixels.
SEEN = 5.0
#: How far *best* reaches down over the upper edge of a press on which it has no other room, as a share of its letters; the rest
#: of it is in the gap over that.
OVER = 0.6


class RemedyPress(TouchButton):
    """``whole_g`` is the largest batch that may come of the choices beside it, in grams: all bars have one scale."""

    def __init__(
        self,
        sizes: Sizes,
        choice: Choice,
        act: Callable[[], None],
        kind: str,
        meaning: object,
        whole_g: float,
    ) -> None:
        assert choice.outcome is not None
        self._advised = False
        self._sizes, self._outcome, self._whole_g = sizes, choice.outcome, whole_g
        # What the hands do is read from where one works, and goes before how the bar looks.
        self.foot = sizes.gap
        super().__init__(choice.label, act, kind, sizes.line, meaning, choice.effect)
        number, unit = sizes.figures.live(choice.outcome.after_g, "g", 0)
        batch = tr("batch {number} {unit}", number=number, unit=unit)
        self.figure = TextLabel(batch, sizes.between, self._ink, bold=True)
        self._arrange()

    def advise(self) -> None:
        """It is the one that is advised."""
        self._advised = True
        self.figure.text = tr("best: {batch}", batch=self.figure.text)
        self.figure.color = (*d.FOAM, 1)
        self._edged.rgb, self._edge.width = d.KELP, 3.0
        self._arrange()

    def _arrange(self, *_: object) -> None:
        if self._advised:
            self.head = self._sizes.small * OVER if self.detail is None else 0.0
        super()._arrange()
        self.canvas.after.clear()
        self._place_figure()
        if self._advised:
            self._draw_advice()
        x, low, high = self.x + DETAIL_EDGE, self.y + self.foot * 0.25, self.foot * 0.7
        room = self.width - 2 * DETAIL_EDGE
        with self.canvas.after:
            for grams, colour, filled in _parts(self._outcome):
                wide = max(room * grams / self._whole_g, SEEN)
                Color(*colour)
                if filled:
                    Rectangle(pos=(x, low), size=(wide, high))
                else:
                    Line(rectangle=(x + 1, low, max(wide - 1, 2), high), width=1.3)
                x += wide

    def _draw_advice(self) -> None:
        """Its word on a ground of the colour of what is right before how large the batch is."""
        edge = DETAIL_EDGE / 2
        self.figure.canvas.before.clear()
        with self.figure.canvas.before:
            Color(*d.KELP)
            x, wide = self.figure.x - edge, self.figure.width + 2 * edge
            RoundedRectangle(pos=(x, self.figure.y), size=(wide, self.figure.height), radius=[6])

    @property
    def _said_to(self) -> float:
        """How far its words reach."""
        return float(self.caption.x + natural_wide(self.caption.text, round(self.caption.font_size)))

    def _place_figure(self) -> None:
        """At the right end of its words, where a row has room for both; where it has none, *best* alone stands over its upper edge."""
        if self._advised and self.detail is None:
            self._place_best()
            return
        wide, _ = self.figure.natural()
        left = self.right - DETAIL_EDGE - wide
        beside = self.detail is not None and left > self._said_to + self._sizes.gap
        if beside and self.figure.parent is None:
            self.add_widget(self.figure)
        elif not beside and self.figure.parent is not None:
            self.remove_widget(self.figure)
        self.figure.pos = (left, self.caption.top - self.figure.height)

    def _place_best(self) -> None:
        self.figure.text, self.figure.font_size = tr("best"), self._sizes.small
        self.figure.size = self.figure.natural()
        self.figure.pos = (self.center_x - self.figure.width / 2, self.top - self._sizes.small * OVER)
        if self.figure.parent is None:
            self.add_widget(self.figure)


def _parts(after: Outcome) -> tuple[tuple[float, d.RGB, bool], ...]:
    """What the bar is made of: the batch as planned, what has yet to go in, what is too much, and what is thrown away."""
    parts = (
        (after.batch_g, d.TIDE, True), (after.more_g, d.TIDE, False), (after.over_g, d.CORAL, True),
        (after.waste_g, d.CORAL, False),
    )  # fmt: skip
    return tuple(part for part in parts if part[0] > 0)
