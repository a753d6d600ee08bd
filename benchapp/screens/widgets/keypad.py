"""A number on large keys."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.widgets.surface import Area, Surface, same_act
from benchapp.screens.widgets.text_label import TextLabel, natural_wide, wrapped_high

if TYPE_CHECKING:
    from benchapp.make.view_model import NumberRequest, ViewModel
    from benchapp.screens.display.sizes import Sizes
    from benchapp.screens.widgets.button import ButtonSpec, TouchButton

#: As many digits as can be typed.
LONGEST = 7
#: How high a line of text is, in ems.
_LINE = 1.2


def pad_layout(sizes: Sizes) -> tuple[Area, float]:
    """Where the keys of a pad stand, and how wide what is read beside or above them may be."""
    s, panel = sizes, sizes.panel
    if panel.portrait:
        upright = Area(s.pad, s.pad + (s.action + s.gap), panel.width - 2 * s.pad, panel.height * 0.62)
        return upright, upright.width
    wide = panel.width * 0.52
    beside = Area(panel.width - s.pad - wide, s.pad, wide, panel.height - s.pad)
    return beside, panel.width - wide - 3 * s.pad


def side_font(sizes: Sizes, text: str, wide: float) -> int:
    """How large words stand beside the keys: in three lines at most where they have room."""
    fits = (f for f in sizes.ladder[:3] if wrapped_high(text, f, True, int(wide)) <= 3.6 * f)
    return next(fits, sizes.note)


def key_high(sizes: Sizes) -> float:
    """How high a key of a pad is, in four rows."""
    area, _ = pad_layout(sizes)
    return max(min((area.top - area.low - 3 * sizes.gap) / 4, sizes.action * 1.6), sizes.action)


def go_on_high(sizes: Sizes, spare: float = 0.0) -> float:
    """How high what goes on is: as a key beside it; as any press upright, where it stands under them, and where more than a
    row of others stands over it, ``spare`` pixels of them."""
    return sizes.action if sizes.panel.portrait or spare > 2 * sizes.action else key_high(sizes)


def go_on_beside(pad: Surface, back: ButtonSpec, go_on: ButtonSpec, spare: float = 0.0) -> TouchButton:
    """The way back, and beside it what goes on, as wide as there is room and as high as a key; dim until there is something to
    go on with."""
    s, (_, wide) = pad.sizes, pad_layout(pad.sizes)
    way_back, press = pad.row([back, go_on], wide)
    left = way_back.right + s.gap
    press.size, press.pos = (s.pad + wide - left, go_on_high(s, spare)), (left, s.pad)
    way_back.size = (way_back.width, press.height)
    press.dim(True)
    return press


class Keypad(Surface):
    """Large digits for the value asked for, empty at first; refuses what cannot be meant, with the limits."""

    def __init__(
        self,
        sizes: Sizes,
        ask: NumberRequest,
        done: Callable[[float], None],
        back: Callable[[], None],
        what: str = "",
        back_label: str = "Back",
        spare: float = 0.0,
    ) -> None:
        """``spare``: room that is kept for more presses, in pixels."""
        super().__init__(sizes)
        self.ask, self._done_act = ask, done
        self.typed = ""
        self._entering: TouchButton | None = None  # dim until there is something to enter
        figures = sizes.figures
        self._unit = figures.unit(ask.unit)
        self._low, self._high = (figures.limit(v, ask.unit) for v in (ask.low, ask.high))
        area, self._side = pad_layout(sizes)
        said = sizes.figures.text(what) or ask.what[:1].upper() + ask.what[1:]
        self.what = TextLabel(said, side_font(sizes, said, self._side), d.INK, bold=True)
        self.value = TextLabel("", sizes.reading, d.TIDE, bold=True)
        self.message = TextLabel(self._within(), self._said_font(self._within()), d.SLATE)
        self._lay_words(
            (area.top if self.panel.portrait else sizes.pad + go_on_high(sizes, spare)) + sizes.gap + spare
        )
        keys: list[ButtonSpec] = [(c, self._key(c), "plain") for c in "789456123"]
        keys += [
            (figures.number("0.0")[1], self._key("."), "plain"),
            ("0", self._key("0"), "plain"),
            (tr("Rub out"), self.rub_out, "plain"),
        ]
        self.grid(keys, 3, area)
        self._entering = go_on_beside(
            self, (back_label, back, "plain"), ("Enter", self.type_enter, "main"), spare
        )

    def _said_font(self, said: str) -> int:
        return side_font(self.sizes, said, self._side)

    def _lay_words(self, floor: float) -> None:
        """What is asked, what is typed as large as there is room for, and the limits, down to the floor at most."""
        s = self.sizes
        for words in (self.what, self.value, self.message):
            self.add_widget(words)
            words.text = words.text or " "
        y = self.what.place(s.pad, self.panel.height - s.pad, self._side) - s.gap
        room = y - floor - self.message.height_at(self._side) - s.gap
        self._fonts = [f for f in (s.reading, s.across, s.instruction) if f * _LINE <= room] + [s.note]
        self.value.top = y
        self._show()
        self.message.place(s.pad, y - self._fonts[0] * _LINE - s.gap, self._side)

    def stays(self, before: ViewModel, after: ViewModel) -> bool:
        """What was typed is kept while the same act asks for the same value in the same words."""
        return (
            same_act(before, after)
            and before.act_view.ask == after.act_view.ask
            and before.act_view.instruction == after.act_view.instruction
        )

    def _limits(self) -> str:
        return self.sizes.figures.number(
            tr("{low:g} to {high:g} {unit}", low=self._low, high=self._high, unit=self._unit)
        )

    def _within(self) -> str:
        """The band, where there is one; else what can be meant at all."""
        figures, band = self.sizes.figures, self.ask.band
        if band is None:
            return self._limits()
        low, high = (figures.limit(v, self.ask.unit) for v in (band.low, band.high))
        return figures.number(
            tr("It should be {low:g} to {high:g} {unit}.", low=low, high=high, unit=self._unit)
        )

    def _empty(self) -> str:
        """Nothing yet, with the places after the point that are asked for."""
        return self.sizes.figures.number("0." + "0" * self.ask.decimals).rstrip(".").replace("0", "–")

    def _key(self, sign: str) -> Callable[[], None]:
        def act() -> None:
            if sign == "." and "." in self.typed:
                return
            if len(self.typed.replace(".", "")) < LONGEST:
                self.typed += sign
                self._show()

        return act

    def type_sign(self, sign: str) -> None:
        """A sign of a real keyboard: digits and either decimal mark."""
        if sign in "0123456789.,":
            self._key("." if sign == "," else sign)()

    def rub_out(self) -> None:
        """The last sign away."""
        self.typed = self.typed[:-1]
        self._show()

    def _show(self) -> None:
        """What is typed as large as there is room for, in a line that is always as high."""
        text = f"{self.sizes.figures.number(self.typed) or self._empty()} {self._unit}"
        s = self.sizes
        self.value.font_size = next((f for f in self._fonts if natural_wide(text, f) <= self._side), s.note)
        self.value.text = text
        self.value.place(s.pad, self.value.top, self._side)
        if self._entering is not None:
            self._entering.dim(not self.typed)

    def type_enter(self) -> None:
        """Enter, on the glass or on a real keyboard."""
        try:
            value = float(self.typed)
        except ValueError:
            return self._refuse(tr("Type a number first."))
        if not self._low <= value <= self._high:
            number = self.sizes.figures.number(f"{value:g}")
            return self._refuse(
                tr("{number} cannot be meant: {limits}.", number=number, limits=self._limits())
            )
        return self._done_act(self.sizes.figures.typed(value, self.ask.unit))

    def entered(self) -> str:
        """What is typed, with its unit."""
        return f"{self.sizes.figures.number(self.typed)} {self._unit}".strip()

    def _refuse(self, text: str) -> None:
        self.message.font_size, self.message.color = self.sizes.note, (*d.CORAL, 1)
        self.message.text = text
        self.message.place(self.message.x, self.message.top, self.message.width)
