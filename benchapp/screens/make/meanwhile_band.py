"""The wait that goes on beside a weighing: a band under the step progress with what it reads, red when it calls."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr
from benchapp.make.view_model import LiveValue, Meanwhile
from benchapp.make.waits import beside
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import held_together, short_forecast
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.text_label import TextLabel

#: From so many pixels of width on there is room for larger words.
ROOMY_PX = 1200


class MeanwhileBand(Widget):
    """One line while all is well, as much of it as there is room for; the whole sentence when it calls."""

    def __init__(self, sizes: Sizes) -> None:
        super().__init__(size_hint=(None, None), size=(0, 0))
        self._sizes, self._calls, self._tight = sizes, False, False
        self.label = TextLabel("", sizes.note, d.INK, bold=True)
        with self.canvas.before:
            self._ground = Color(*d.WET_SAND)
            self._box = Rectangle(size=(0, 0))
        self.add_widget(self.label)

    def place(
        self, given: Meanwhile | None, left: float, right: float, top: float, tight: bool = False
    ) -> float:
        """Lay it out from there downwards; returns where it ends. Nothing where there is no such wait. ``tight``: in
        few words, and no larger than it must be."""
        if given is None:
            self.label.text = ""
            self.label.size = self.size = self._box.size = (0.0, 0.0)
            return top
        edge, pad = self._sizes.gap, 1 if tight else 5
        self._tight = tight
        s = self._sizes
        roomy = (
            s.note
            if s.panel.width < ROOMY_PX
            else round((s.between + s.line) / 2)
            if given.calls
            else s.between
        )
        self.label.font_size = self._sizes.small if tight else roomy
        self._calls = bool(given.calls)
        self._ground.rgb = d.CORAL if self._calls else d.WET_SAND
        self.label.color = (*(d.FOAM if self._calls else d.INK), 1)
        self.label.text = self._line(given, right - left - 2 * edge)
        low = self.label.place(left + edge, top - pad, right - left - 2 * edge) - pad
        self.pos, self.size = (left, low), (right - left, top - low)
        self._box.pos, self._box.size = self.pos, self.size
        return low - (4 if tight else 0.4 * edge)

    def numbers(self, given: Meanwhile | None) -> None:
        """Only the numbers have changed."""
        if given is not None and not self._calls:
            self.label.text = self._line(given, self.label.width)

    def _number(self, live: LiveValue) -> str:
        """What it reads, and where it is going."""
        put = self._sizes.figures
        if live.value is None:
            return "–"
        number, unit = put.live(live.value, live.unit, live.decimals)
        if live.to_go is None or live.unit != "°C":
            return f"{number} {unit}"
        cools = live.word == "cooling"
        goal = put.live(live.value + (-live.to_go if cools else live.to_go), live.unit, 0)[0]
        if cools or live.to_go < 0:
            return tr("{number}, down to {goal} {unit}", number=number, goal=goal, unit=unit)
        return tr("{number} of {goal} {unit}", number=number, goal=goal, unit=unit)

    def _line(self, given: Meanwhile, width: float) -> str:
        put = self._sizes.figures
        if given.calls:
            return held_together(put.text(given.calls if self._tight else beside(given)))
        shown = [x for x in given.live if x.unit != "s"]
        numbers = [self._number(x) for x in shown]
        reads = [f"{x.name} {number}" for x, number in zip(shown, numbers, strict=True)]
        told = [put.text(short_forecast(given.forecast).partition(" (")[0])] if given.forecast else []
        for parts in ([tr("Meanwhile"), *reads, *told], [*reads, *told], reads, numbers, told):
            self.label.text = held_together(" · ".join(parts))
            if parts and self.label.natural()[0] <= width:
                return str(self.label.text)
        return str(self.label.text)
