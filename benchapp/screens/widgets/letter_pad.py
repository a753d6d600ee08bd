"""A name or a lot on the glass: letters and digits as large as everything else that is pressed."""

from __future__ import annotations

from collections.abc import Callable

from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.surface import Area, Surface
from benchapp.screens.widgets.text_label import TextLabel

#: The longest that can be typed.
LONGEST = 32
ABC, DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ", "1234567890-."


class LetterPad(Surface):
    """``done`` gets what was typed. ``name``: words begin with a capital and go on small, as names are written."""

    longest = LONGEST

    def __init__(
        self, sizes: Sizes, what: str, done: Callable[[str], None], back: Callable[[], None], name: bool = True,
        may_be_empty: bool = False,
    ) -> None:  # fmt: skip
        super().__init__(sizes)
        self._what, self._done_act, self._back, self._name = what, done, back, name
        self.typed = ""
        self._may_be_empty = may_be_empty
        self._keys = ABC
        self._draw()

    def _draw(self) -> None:
        s = self.sizes
        self.clear_widgets()
        self.value = TextLabel(" ", s.note, d.TIDE, bold=True)
        self.add_widget(self.value)
        self._show()
        other = DIGITS if self._keys == ABC else ABC
        below: list[ButtonSpec] = [
            ("Back", self._back, "plain"), (other[:3], self._other, "plain"), (tr("Rub out"), self.rub_out, "plain"),
            ("Space", self._key(" "), "plain"), ("Enter", self.type_enter, "main"),
        ]  # fmt: skip
        keys: list[ButtonSpec] = [(c, self._key(c), "plain") for c in self._keys]
        columns = int((self.wide + s.gap) // (s.action + s.gap))
        rows = -(-len(keys) // columns)
        top, floor = self.value.y - s.gap * 0.5, s.pad + s.action + s.gap
        if rows * (s.action + s.gap) - s.gap > top - floor:  # no room for a row of their own
            self.grid([*keys, *below[1:4], below[0], below[4]], columns, Area(s.pad, s.pad, self.wide, top))
            return
        self.grid(keys, -(-len(keys) // rows), Area(s.pad, floor, self.wide, top))
        self.row(below, self.wide)

    def _key(self, sign: str) -> Callable[[], None]:
        def act() -> None:
            self.type_sign(self._cased(sign))

        return act

    def _cased(self, sign: str) -> str:
        follows = self.typed and self.typed[-1] != " "
        return sign.lower() if self._name and follows else sign

    def type_sign(self, sign: str) -> None:
        """A sign, as it is on the key of a real keyboard."""
        if len(self.typed) < self.longest and not (sign == " " and (not self.typed or self.typed[-1] == " ")):
            self.typed += sign
            self._show()

    def _other(self) -> None:
        self._keys = DIGITS if self._keys == ABC else ABC
        self._draw()

    def rub_out(self) -> None:
        """The last sign away."""
        self.typed = self.typed[:-1]
        self._show()

    def _show(self) -> None:
        self.value.text = f"{self._what}: {self.typed or '–'}"
        self.value.place(
            self.sizes.pad, self.panel.height - self.sizes.pad, self.panel.width - 2 * self.sizes.pad
        )

    def type_enter(self) -> None:
        """Enter, on the glass or on a real keyboard."""
        if self.typed.strip() or self._may_be_empty:
            self._done_act(self.typed.strip())
