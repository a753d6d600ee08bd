"""One live value: the number huge, what is still to go beside it, how it stands in shape and word, where it comes from."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product

from kivy.uix.widget import Widget

from benchapp.foundation.language import tr
from benchapp.make.view_model import LiveValue
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import (
    DIGIT_EM,
    number_em,
    number_of,
    short_source,
    source_line,
    to_go_of,
)
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.shapes import draw_shape
from benchapp.screens.widgets.text_label import TextLabel, natural_wide


class LiveReadout(Widget):
    """The number, and a block that says how it stands: beside it where there is room, else under it."""

    def __init__(
        self, sizes: Sizes, big: bool, named: bool, alone: bool = False, curve: d.RGB | None = None
    ) -> None:
        """``named``: one of several, so it bears its name. ``alone``: what is too much is said elsewhere already.
        ``curve``: the colour in which it is drawn beside it, which its number has on its way."""
        super().__init__(size_hint=(None, None))
        self.sizes, self.named, self.beside, self._alone = sizes, named, False, alone
        self._curve = curve
        self.number = TextLabel("", sizes.reading if big else sizes.across, bold=True)
        self.unit = TextLabel("", sizes.instruction, bold=True)
        self.name = TextLabel("", sizes.line, bold=True)
        self.source = TextLabel("", sizes.small, d.SLATE)
        self.across = TextLabel("", sizes.across, bold=True)  # to go, or that it is right
        self.word = TextLabel("", sizes.line, bold=True)
        for part in (self.number, self.unit, self.name, self.source, self.across, self.word):
            self.add_widget(part)
        self._left = self._top = self._width = 0.0
        self._shown: tuple[object, ...] = ()

    @property
    def _number_high(self) -> float:
        return float(self.number.font_size * 1.17)

    def _block_high(self, live: LiveValue) -> float:
        """What is to go, and under it the word and the source; nothing where there is nothing to say of it."""
        s = self.sizes
        big, words = to_go_of(live, s.figures, self._alone)
        if not big and not words:
            return 0.0 if self.named or self._alone else s.small * 1.25
        if not big and not self.named:
            return s.line * 1.2 + s.small * 1.25
        return s.across * 1.17 + (0.0 if self.named else s.line * 1.2 + s.small * 1.25)

    def _source_high(self, live: LiveValue, width: float) -> float:
        """What is alone and has no room for its source beside its unit has it under the number."""
        room = width - self.number_wide(live) - self.sizes.gap
        narrow = self._alone and natural_wide(short_source(live), self.sizes.small) > room
        return self.sizes.note * 1.25 if narrow else 0.0

    def number_wide(self, live: LiveValue) -> float:
        """The number with its unit, as wide as it gets on its way to where it is right."""
        number = number_em(live, self.sizes.figures) * self.number.font_size
        unit = 0.7 * len(self._unit(live, number_of(live, self.sizes.figures)[1])) + 0.1
        return float(number + self.sizes.gap + self.sizes.instruction * unit)

    @staticmethod
    def _unit(live: LiveValue, unit: str) -> str:
        """The unit; of seconds, which are counted down, that they are what is left."""
        return tr("{unit} left", unit=unit) if live.unit == "s" else unit

    def _block_wide(self, live: LiveValue) -> float:
        return float(self.sizes.across * (max(number_em(live, self.sizes.figures), 4 * DIGIT_EM) + 0.85))

    def fits_beside(self, live: LiveValue, width: float) -> bool:
        """Whether the block has room beside the number."""
        return not self.named and self.number_wide(live) + self.sizes.gap + self._block_wide(live) <= width

    def high(self, live: LiveValue, beside: bool) -> float:
        """How high it is, with the block beside the number or under it."""
        block = self._block_high(live)
        if self.named:
            return float(self.sizes.line * 1.25 + self._number_high + block)
        return float(max(self._number_high, block) if beside else self._number_high + block)

    def place(self, left: float, top: float, width: float, live: LiveValue) -> float:
        """Where it goes; returns its bottom."""
        self._left, self._top, self._width = left, top, width
        self.beside = self.fits_beside(live, width)
        self._shown = ()
        high = self.high(live, self.beside) + self._source_high(live, width)
        self.pos, self.size = (left, top - high), (width, high)
        return top - high

    def show(self, live: LiveValue) -> None:
        """Put the numbers in; nothing is drawn anew where nothing changed."""
        value, unit = number_of(live, self.sizes.figures)
        shown = (value, unit, live.word, live.name, live.source, live.device, live.checked, live.to_go)
        if shown == self._shown:
            return
        self._shown = shown
        colour, shape = d.standing(live.word)
        self.number.text = value
        if self._curve is not None and live.word in ("below", ""):
            colour = (
                self._curve
            )  # all that is said of a vessel has the colour of its curve, until it is there
        self.number.color = (*(d.INK if live.word in ("waiting", "cooling") else colour), 1)
        if self._curve is not None:
            self.name.color = (*self._curve, 1)
        top = self._top
        if self.named:
            top = self._name_line(live, unit)
        size = self.number.natural()
        self.number.pos = (self._left, top - size[1])
        if not self.named:
            self.unit.text = self._unit(live, unit)
            self.unit.natural()
            self.unit.pos = (self.number.right + 8, self.number.y + self.number.height * 0.1)
        self._block(live, colour, shape)

    def _name_line(self, live: LiveValue, unit: str) -> float:
        """Its name, and at the end of the line where it comes from; nothing that is not read has a source."""
        self.name.text = f"{live.name}, {unit}"
        wide, _ = self.name.natural()
        low = self.name.place(self._left, self._top, min(wide + 2, self._width))
        room = self._left + self._width - self.name.right - self.sizes.gap
        usual = live.value is None or (live.source == "measured" and live.checked)
        said = [] if usual else [short_source(live)]  # by a checked device: nothing is to be said of that
        if not self._say_source(said, room, self.sizes.ladder):
            self.source.text = ""
        self.source.natural()
        self.source.pos = (self.name.right + self.sizes.gap, low + self.sizes.line * 0.1)
        return low

    def _block(self, live: LiveValue, colour: d.RGB, shape: str) -> None:
        s = self.sizes
        x = self.unit.right + s.gap * 1.5 if self.beside else self._left
        if self.beside:  # it stays where it is while the number gets longer
            x = max(x, self._left + self.number_wide(live) + s.gap * 0.5)
        top = self._top if self.beside else self.number.y
        big, words = to_go_of(live, s.figures, said_elsewhere=self._alone)
        if self.named and big and words:
            words = words.rpartition("°C ")[2].rpartition("°F ")[2]  # its unit stands beside its name
        self.across.text = big
        if big and not words and x + self.across.natural()[0] + s.across > self._left + self._width:
            big, words = "", big
        self.canvas.before.clear()
        side = s.across * 0.62 if big else s.line
        low = top - s.across * 1.17
        if shape and (big or words):
            y = low + (s.across * 1.17 - side) / 2 if big or self.named else top - side * 1.15
            with self.canvas.before:
                draw_shape(shape, x, y, side, colour)
        indent = side + s.gap * 0.7 if shape else 0.0
        self.across.text = big
        self.across.color = self.word.color = (*colour, 1)
        self.across.natural()
        self.across.pos = (x + indent, low)
        self.word.text, self.word.font_size = words, s.line
        if self.named:
            self._word_beside(x + indent, low, bool(big))
            return
        self.word.natural()
        if big:
            self.word.pos = (x, low - s.line * 1.15 if words else low)
        else:
            self.word.pos = (x + indent, top - self.word.height)
        self._lay_source(live, x, bool(words), bool(big or words))

    def _word_beside(self, x: float, low: float, big: bool) -> None:
        """The word of one of several in line with what is large, clear of the one beside it; else by itself."""
        s = self.sizes
        if big:
            x = self.across.right + s.gap * 0.6
            room = self._left + self._width - x
            fits = (f for f in (s.line, s.between) if natural_wide(self.word.text, f) <= room)
            self.word.font_size = next(fits, s.note)
        _, high = self.word.natural()
        self.word.pos = (x, low + (s.across * 0.17 if big else (s.across * 1.17 - high) / 2))

    def _say_source(self, said: Sequence[str], room: float, fonts: Sequence[int]) -> bool:
        """In the largest of the sizes the first of the texts that has so much room on one line; whether one has."""
        for self.source.font_size, self.source.text in product(fonts, said):
            if self.source.natural()[0] <= room:
                return bool(self.source.text)
        return False

    def _lay_source(self, live: LiveValue, x: float, words: bool, block: bool) -> None:
        """Where the value comes from: beside or under what is said of it, else beside the unit, else under the number; as
        large as there is room for on one line."""
        s, end = self.sizes, self._left + self._width
        said = (source_line(live), short_source(live)) if source_line(live) else ("",)
        beside = self.word.right + s.gap
        good = live.word == "in band" and not live.checked  # what is good is the number, and not the scale
        if words and not good and self._say_source(said, end - beside, s.ladder[:3]):
            self.source.pos = (beside, self.word.center_y - self.source.height / 2)
            return
        said = said if said[-1] else ("",)  # a checked device is named only where that costs no room
        if block:
            self._say_source(said, end - x, (s.small,) if words else s.ladder[1:])
            self.source.place(x, self.word.y - 2, max(end - x, 1.0))
        elif self.beside or self._alone:
            room = end - self.unit.right - s.gap
            if self._say_source(said, room, s.ladder):
                self.source.pos = (self.unit.right + s.gap, self.unit.y + s.small * 0.5)
            else:
                self._say_source(said, self._width, (s.note, s.small))
                self.source.place(self._left, self.number.y, self._width)
        else:
            self._say_source(said, self._width, (s.note, s.small))
            self.source.place(self._left, self.number.y, self._width)
