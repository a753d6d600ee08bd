"""A signature on the glass: who signs, picked from the names, then a PIN on large keys; it is never shown."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.screens import design as d
from benchapp.screens.overlays import Sheet
from benchapp.screens.parts import Press, Words

if TYPE_CHECKING:
    from benchapp.make.moment import Moment
    from benchapp.screens.panel import Panel, Sizes

#: As many digits as a PIN may have.
LONGEST = 12
SHORTEST = 4

Signed = Callable[[str, str], None]


class SignSheet(Sheet):
    """Who, then the PIN. ``done`` gets the name and the PIN; ``back`` leaves without signing."""

    def __init__(
        self,
        panel: Panel,
        sizes: Sizes,
        people: Sequence[str],
        meaning: str,
        done: Signed,
        back: Callable[[], None],
        enter: str = "Sign",
    ) -> None:
        super().__init__(panel, sizes)
        self._enter = enter
        self._meaning, self._done_act, self._back = meaning, done, back
        self.who, self.typed = "", ""
        self._people = tuple(people)
        if len(self._people) == 1:
            self._ask_pin(self._people[0])
        else:
            self._ask_who()

    def stays(self, before: Moment, after: Moment) -> bool:
        """While the same act wants the same signature."""
        same = before.prompt.partition("#")[0] == after.prompt.partition("#")[0]
        return same and before.face.choices == after.face.choices

    def _title(self, text: str, width: float) -> float:
        s = self.sizes
        words = Words(text, s.note if width < self.panel.width * 0.6 else s.instruction, d.INK, bold=True)
        self.add_widget(words)
        return words.place(s.pad, self.panel.height - s.pad, width) - s.gap

    def _ask_who(self) -> None:
        s = self.sizes
        self.clear_widgets()
        wide = self.panel.width - 2 * s.pad
        low = self._title(f"Who signs? {self._meaning.capitalize()}.", wide)
        if not self._people:
            words = Words(
                "Nobody is enrolled here who could sign: benchapp person enrol, at the desk.", s.note
            )
            self.add_widget(words)
            low = words.place(s.pad, low, wide) - s.gap
        labels = [(name, partial(self._ask_pin, name), "plain") for name in self._people]
        self.grid(
            [*labels, ("Back", self._back, "plain")], 1 if self.panel.portrait else 2, s.pad, s.pad, wide, low
        )

    def _ask_pin(self, who: str) -> None:
        s, panel = self.sizes, self.panel
        self.clear_widgets()
        self.who, self.typed = who, ""
        portrait = panel.portrait
        pad_w = panel.width - 2 * s.pad if portrait else panel.width * 0.52
        pad_x = s.pad if portrait else panel.width - s.pad - pad_w
        pad_top = panel.height * 0.62 if portrait else panel.height - s.pad
        side_w = panel.width - 2 * s.pad if portrait else panel.width - pad_w - 3 * s.pad
        low = self._title(f"PIN of {who}", side_w)
        said = f"It says: {self._meaning}." if self._enter == "Sign" else self._meaning
        meaning = Words(said, s.small, d.SLATE)
        self.dots = Words("–", s.instruction, d.TIDE, bold=True)
        for words in (meaning, self.dots):
            self.add_widget(words)
            low = words.place(s.pad, low, side_w) - s.gap
        keys: list[tuple[str, Callable[[], None], str]] = [
            (c, partial(self._key, c), "plain") for c in "789456123"
        ]
        keys += [("Rub out", self._rub, "plain"), ("0", partial(self._key, "0"), "plain")]
        rows_low = float(s.pad) + (s.action + s.gap if portrait else 0)
        self.grid(keys, 3, pad_x, rows_low, pad_w, pad_top)
        half = (side_w - s.gap) / 2
        for n, (label, act, kind) in enumerate(
            ((self._enter, self._sign, "main"), ("Back", self._back, "plain"))
        ):
            press = Press(label, act, kind, s.note)
            press.size, press.pos = (half, s.action), (s.pad + n * (half + s.gap), s.pad)
            self.add_widget(press)

    def _key(self, digit: str) -> None:
        if len(self.typed) < LONGEST:
            self.typed += digit
            self._show()

    def _rub(self) -> None:
        self.typed = self.typed[:-1]
        self._show()

    def _show(self) -> None:
        self.dots.text = "• " * len(self.typed) or "–"
        self.dots.place(self.dots.x, self.dots.top, self.dots.width)

    def _sign(self) -> None:
        if len(self.typed) >= SHORTEST:
            pin, self.typed = self.typed, ""
            self._done_act(self.who, pin)
