"""A weighing is about to be taken: what will be taken, how to object, and a band that fills over the time to do so."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr, tr_noop
from benchapp.make.view_model import LiveValue
from benchapp.make.waits import OBJECT
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import number_of
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.text_label import TextLabel

#: What is left of it where there is hardly any room; the reading stands above it.
BRIEF = tr_noop("Taking it. Wrong? Press Not yet.")
#: How high the band is that fills where there is room, as a multiple of a gap.
BAND = 1.8


class AcceptCountdown(Widget):
    """Lies under the readings while something is about to be taken, and is gone otherwise."""

    def __init__(self, sizes: Sizes) -> None:
        super().__init__(size_hint=(None, None), size=(0.0, 0.0))
        self.sizes = sizes
        self.share: float | None = None
        self.what = TextLabel("", sizes.note, d.INK, bold=True)
        self._left = self._low = self._width = self._room = 0.0

    def place(self, left: float, low: float, width: float, room: float) -> None:
        """Where it lies when it is there, and how high it may be at the most."""
        self._left, self._low, self._width, self._room = left, low, width, room

    @property
    def room(self) -> float:
        """How high it may be."""
        return self._room

    def least_high(self, width: float) -> float:
        """How high it is in its fewest words."""
        said = self.what.text
        self.what.font_size, self.what.text = self.sizes.small, BRIEF
        high = self.what.height_at(width) + self.sizes.gap + 6
        self.what.text = said
        return high

    def show(self, live: LiveValue | None, share: float | None) -> None:
        """So much of the time to object has gone, 0 to 1; None: nothing is about to be taken."""
        if share == self.share:
            return
        self.share = share
        self.canvas.clear()
        self.clear_widgets()
        self.what.text, self.size = "", (0.0, 0.0)
        if share is None or live is None:
            return
        value, unit = number_of(live, self.sizes.figures)
        band = float(self.sizes.gap)
        given = {"value": value, "unit": unit, "object": OBJECT}
        named = tr("Taking {value} {unit}, {name}. {object}", name=live.name, **given)
        short = tr("Taking {value} {unit}. {object}", **given)
        s, thick = self.sizes, BAND * band
        for size, text, deep in (
            (s.line, named, thick), (s.line, short, thick), (s.line, named, band), (s.line, short, band), (s.between, short, band),
            (s.note, named, band), (s.small, named, band), (s.small, short, band), (s.small, BRIEF, band),
        ):  # fmt: skip # as much as there is room for
            self.what.font_size, self.what.text, band = size, text, deep
            high = self.what.height_at(self._width) + band + 6
            if high <= self._room:
                break
        self.pos, self.size = (self._left, self._low), (self._width, high)
        with self.canvas:
            Color(*d.SAND)
            Rectangle(pos=self.pos, size=self.size)
            Color(*d.WET_SAND)
            Rectangle(pos=self.pos, size=(self._width, band))
            Color(*d.KELP)
            Rectangle(pos=self.pos, size=(self._width * share, band))
        self.add_widget(self.what)
        self.what.place(self._left, self._low + high, self._width)
