"""One live value: the number huge, its unit, how it stands in shape and word, and where it comes from."""

from __future__ import annotations

from kivy.uix.widget import Widget

from benchapp.make.view_model import LiveValue
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import number_of, short_source, source_line
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.status_mark import StatusMark
from benchapp.screens.widgets.text_label import TextLabel


class LiveReadout(Widget):
    """Stacked (everything under the number) where there is room, else with the words beside the number."""

    def __init__(self, sizes: Sizes, big: bool, named: bool) -> None:
        super().__init__(size_hint=(None, None))
        self.sizes, self.named, self.beside = sizes, named, False
        self.number = TextLabel("", sizes.reading if big else sizes.instruction, d.INK, bold=True)
        self.unit = TextLabel("", sizes.instruction, d.INK, bold=True)
        self.name = TextLabel("", sizes.note, d.INK, bold=True)
        self.source = TextLabel("", sizes.small, d.SLATE)
        self.status = StatusMark(sizes.note)
        for part in (self.number, self.unit, self.name, self.source, self.status):
            self.add_widget(part)
        self._left = self._top = self._width = 0.0
        self._shown: tuple[object, ...] = ()

    def high(self, beside: bool) -> float:
        """How high it is, stacked or with the words beside the number."""
        s = self.sizes
        name = s.note * 1.25 if self.named else 0.0
        number = self.number.font_size * 1.17
        if not beside:
            return float(name + number + s.note * 1.5 + s.small * 1.25)
        if self.named:
            return float(name + number + s.note * 1.5)
        return float(max(number, s.instruction * 1.17 + s.note * 1.4))

    def place(self, left: float, top: float, width: float, beside: bool) -> float:
        """Where it goes; returns its bottom."""
        self._left, self._top, self._width, self.beside = left, top, width, beside
        self._shown = ()
        high = self.high(beside)
        self.pos, self.size = (left, top - high), (width, high)
        return top - high

    def show(self, live: LiveValue) -> None:
        """Put the numbers in; nothing is drawn anew where nothing changed."""
        value, unit = number_of(live, self.sizes.figures)
        shown = (value, unit, live.word, live.name, live.source, live.device, live.checked)
        if shown == self._shown:
            return
        self._shown = shown
        colour = d.STANDING.get(live.word, d.STANDING[""])[0]
        self.number.text = value
        self.number.color = (*(d.INK if live.word == "waiting" else colour), 1)
        if self.named:
            self._named(live, unit)
        elif self.beside:
            self._beside(live, unit)
        else:
            self._stacked(live, unit)

    def _number_at(self, top: float) -> None:
        size = self.number.natural()
        self.number.pos = (self._left, top - size[1])

    def _unit_at(self, unit: str, x: float, y: float) -> None:
        self.unit.text = unit
        self.unit.natural()
        self.unit.pos = (x, y)

    def _stacked(self, live: LiveValue, unit: str) -> None:
        self._number_at(self._top)
        self._unit_at(unit, self.number.right + 10, self.number.y + self.number.height * 0.1)
        low = self.number.y - self.sizes.note * 1.4
        self.status.show(live.word, self._left, low)
        self.source.text = source_line(live)
        self.source.place(self._left, low - 2, self._width)

    def _beside(self, live: LiveValue, unit: str) -> None:
        self._number_at(self._top)
        x = self.number.right + self.sizes.gap
        self._unit_at(unit, x, self._top - self.sizes.instruction * 1.17)
        self.source.text = short_source(live)
        wide, _ = self.source.natural()
        after = min(self.unit.right + self.sizes.gap, self._left + self._width - wide)
        self.source.pos = (after, self.unit.y + self.sizes.instruction * 0.25)
        self.status.show(live.word, x, self.unit.y - self.sizes.note * 1.4)

    def _named(self, live: LiveValue, unit: str) -> None:
        """One of several: its name above; where room is short, the source stands in line with the word."""
        self.name.text = f"{live.name}, {unit}"
        self.unit.text, self.unit.size = "", (0, 0)
        self._number_at(self.name.place(self._left, self._top, self._width))
        low = self.number.y - self.sizes.note * 1.4
        wide = self.status.show(live.word, self._left, low) if live.word else 0.0
        if self.beside:
            self.source.text = (
                "" if live.value is None else short_source(live)
            )  # nothing is read: it has no source
            x = self._left + wide + (self.sizes.gap / 2 if wide else 0)
            self.source.place(x, low + self.sizes.note * 1.3, max(self._left + self._width - x, 1.0))
        else:
            self.source.text = source_line(live)
            self.source.place(self._left, low - 2, self._width)
