"""The live values of an act beside each other: one huge, or each of several under its name."""

from __future__ import annotations

from kivy.uix.widget import Widget

from benchapp.make.pictures import HeatPicture, PourOverPicture
from benchapp.make.view_model import LiveValue, ViewModel
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.make.live_readout import LiveReadout
from benchapp.screens.make.remedy_rows import Box

#: Which curve of a picture each value has, where its pots are drawn beside the values.
CURVES = {HeatPicture: (0, 1), PourOverPicture: (1, 0)}


class LiveReadouts:
    """They are made anew with each layout, and only their numbers change in between."""

    def __init__(self, screen: Widget, sizes: Sizes) -> None:
        self._screen, self.sizes = screen, sizes
        self.all: list[LiveReadout] = []

    def clear(self) -> None:
        """None stands there."""
        for reading in self.all:
            self._screen.remove_widget(reading)
        self.all = []

    def numbers(self, m: ViewModel) -> None:
        """Only numbers have changed."""
        for reading, live in zip(self.all, m.act_view.live, strict=False):
            reading.show(live)

    def lay(self, m: ViewModel, box: Box, top: float) -> float:
        """All of them from ``top`` downwards; returns where what follows begins, in pixels."""
        lives, s = m.act_view.live, self.sizes
        if not lives:
            return top
        each = box.wide / len(lives)
        self.all = [self._of(x, m, n) for n, x in enumerate(lives)]
        bottom = top
        for n, (reading, live) in enumerate(zip(self.all, lives, strict=True)):
            self._screen.add_widget(reading)
            bottom = min(bottom, reading.place(box.left + n * each, top, each - s.gap, live))
            reading.show(live)
        return bottom - s.gap * 0.3

    def high(self, m: ViewModel, wide: float | None = None) -> float:
        """How high they are, in pixels: with what is to go beside the number in a box so ``wide`` where it has room there, as if it
        had room where no width is given."""
        readouts = [(self._of(x, m), x) for x in m.act_view.live]
        return max((r.high(x, wide is None or r.fits_beside(x, wide)) for r, x in readouts), default=0.0)

    def high_alone(self, m: ViewModel) -> float:
        """How high the first is, with what is to go under its number."""
        return sum(self._of(x, m).high(x, False) for x in m.act_view.live[:1])

    def _of(self, live: LiveValue, m: ViewModel, number: int = 0) -> LiveReadout:
        big, several = live.source == "measured" or live.unit == "s", len(m.act_view.live) > 1
        colours = CURVES.get(type(m.act_view.picture), ())
        curve = d.curve_colour(colours[number % 2]) if several and colours else None
        return LiveReadout(self.sizes, big, several, m.act_view.too_much is not None, curve)
