"""A number on large keys."""

from __future__ import annotations

from collections.abc import Callable

from benchapp.foundation.language import tr
from benchapp.make.view_model import NumberRequest, ViewModel
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.surface import Area, Surface, same_act
from benchapp.screens.widgets.text_label import TextLabel

#: As many digits as can be typed.
LONGEST = 7


def pad_layout(sizes: Sizes) -> tuple[Area, float]:
    """Where the keys of a pad stand, and how wide what is read beside or above them may be."""
    s, panel = sizes, sizes.panel
    if panel.portrait:
        upright = Area(s.pad, s.pad + (s.action + s.gap), panel.width - 2 * s.pad, panel.height * 0.62)
        return upright, upright.width
    wide = panel.width * 0.52
    beside = Area(panel.width - s.pad - wide, s.pad, wide, panel.height - s.pad)
    return beside, panel.width - wide - 3 * s.pad


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
    ) -> None:
        super().__init__(sizes)
        self.ask, self._done_act = ask, done
        self.typed = ""
        s, figures = sizes, sizes.figures
        self._unit = figures.unit(ask.unit)
        self._low, self._high = (figures.limit(v, ask.unit) for v in (ask.low, ask.high))
        self.what = TextLabel(sizes.figures.text(what) or ask.what, s.note, d.INK, bold=True)
        self.value = TextLabel("", s.instruction, d.TIDE, bold=True)
        self.message = TextLabel(self._within(), s.note, d.SLATE)
        area, side_w = pad_layout(sizes)
        y = float(self.panel.height - s.pad)
        for words in (self.what, self.value, self.message):
            self.add_widget(words)
            words.text = words.text or " "
            y = words.place(s.pad, y, side_w) - s.gap
        keys: list[ButtonSpec] = [(c, self._key(c), "plain") for c in "789456123"]
        keys += [
            (figures.number("0.0")[1], self._key("."), "plain"),
            ("0", self._key("0"), "plain"),
            (tr("Rub out"), self.rub_out, "plain"),
        ]
        self.grid(keys, 3, area)
        self.row([("Enter", self._enter, "main"), (back_label, back, "plain")], side_w)
        self._show()

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
            tr("The band is {low:g} to {high:g} {unit}.", low=low, high=high, unit=self._unit)
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

    def type_enter(self) -> None:
        """Its Enter."""
        self._enter()

    def rub_out(self) -> None:
        """The last sign away."""
        self.typed = self.typed[:-1]
        self._show()

    def _show(self) -> None:
        self.value.text = f"{self.sizes.figures.number(self.typed) or self._empty()} {self._unit}"
        self.value.place(self.value.x, self.value.top, self.value.width)

    def _enter(self) -> None:
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
        self.message.text, self.message.color = text, (*d.CORAL, 1)
        self.message.place(self.message.x, self.message.top, self.message.width)
