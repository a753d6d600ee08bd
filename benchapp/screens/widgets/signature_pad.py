"""A signature on the glass: who signs, picked from the names, then a PIN on large keys; it is never shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.widgets.button import ABSENT, ButtonSpec
from benchapp.screens.widgets.keypad import go_on_beside, pad_layout, side_font
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.row_plan import lay_lines
from benchapp.screens.widgets.surface import Area, Surface, same_act
from benchapp.screens.widgets.text_label import TextLabel

if TYPE_CHECKING:
    from benchapp.make.view_model import ViewModel
    from benchapp.screens.display.sizes import Sizes

#: As many digits as a PIN may have.
LONGEST = 12
SHORTEST = 4


class SignatureText(NamedTuple):
    """What a signature says, and of what: ``of`` is "" where ``meaning`` says it. ``roles``: what each person is here."""

    meaning: str
    of: str = ""
    roles: Mapping[str, str] = MappingProxyType({})


class SignaturePad(Surface):
    """Who, then the PIN. ``done`` gets the name and the PIN; ``back`` leaves without signing."""

    def __init__(
        self,
        sizes: Sizes,
        people: Sequence[str],
        says: SignatureText,
        done: Callable[[str, str], None],
        back: Callable[[], None],
        enter: str = "Sign",
    ) -> None:
        super().__init__(sizes)
        self._enter, self._of, self._roles = enter, says.of, says.roles
        self._meaning, self._done_act, self._back = says.meaning, done, back
        self.who, self.typed = "", ""
        self._people = tuple(people)
        if len(self._people) == 1:
            self._ask_pin(self._people[0])
        else:
            self._ask_who()

    def stays(self, before: ViewModel, after: ViewModel) -> bool:
        """While the same act wants the same signature."""
        return same_act(before, after) and before.act_view.choices == after.act_view.choices

    def _title(self, text: str, width: float) -> float:
        s = self.sizes
        beside = width < self.panel.width * 0.6
        words = TextLabel(text, side_font(s, text, width) if beside else s.instruction, d.INK, bold=True)
        self.add_widget(words)
        return words.place(s.pad, self.panel.height - s.pad, width) - s.gap

    def _says(self, top: float, width: float, font: int) -> float:
        """What is signed for, and what the signature says of it; returns where it ends."""
        meaning = self._meaning
        if self._enter == "Sign":
            meaning = tr("The signature will say: {meaning}.", meaning=self._meaning)
        for text in (self._of, meaning):
            if text:
                words = TextLabel(text, font, d.INK, bold=text is meaning)
                self.add_widget(words)
                top = words.place(self.sizes.pad, top, width) - self.sizes.gap * 0.5
        return top - self.sizes.gap * 0.5

    def _ask_who(self) -> None:
        s = self.sizes
        self.clear_widgets()
        low = self._title(tr("Who signs?"), self.wide)
        low = self._says(low + s.gap * 0.5, self.wide, s.line)
        if not self._people:
            words = TextLabel(
                tr("Nobody is enrolled here who could sign. That is done at the desk's computer."), s.note
            )
            self.add_widget(words)
            low = words.place(s.pad, low, self.wide) - s.gap
        names = [
            RowSpec(name, partial(self._ask_pin, name), figure=self._roles.get(name, ""))
            for name in self._people
        ]
        columns = 1 if self.panel.portrait or len(names) < 3 else 2
        floor = s.pad + s.action + s.gap
        self.row([("Back", self._back, "plain")], self.wide)
        lines = [names[n : n + columns] for n in range(0, len(names), columns)]
        wide = (self.wide - s.gap * (columns - 1)) / columns
        lay_lines(self, s, lines, lambda row: wide, Area(s.pad, floor, self.wide, low))

    def _ask_pin(self, who: str) -> None:
        s = self.sizes
        self.clear_widgets()
        self.who, self.typed = who, ""
        area, side_w = pad_layout(s)
        low = self._title(tr("PIN of {who}", who=who), side_w)
        low = self._says(low, side_w, side_font(s, self._meaning, side_w))
        self.dots = TextLabel(_masked(0), s.across, d.TIDE, bold=True)
        self.add_widget(self.dots)
        self.dots.place(s.pad, low, side_w)
        keys: list[ButtonSpec] = [(c, partial(self._key, c), "plain") for c in "789456123"]
        keys += [
            ("", self._rub, ABSENT),
            ("0", partial(self._key, "0"), "plain"),
            (tr("Rub out"), self._rub, "plain"),
        ]
        self.grid(keys, 3, area)
        self._signing = go_on_beside(self, ("Back", self._back, "plain"), (self._enter, self._sign, "main"))

    def _key(self, digit: str) -> None:
        if len(self.typed) < LONGEST:
            self.typed += digit
            self._show()

    def _rub(self) -> None:
        self.typed = self.typed[:-1]
        self._show()

    def _show(self) -> None:
        self.dots.text = _masked(len(self.typed))
        self.dots.place(self.dots.x, self.dots.top, self.dots.width)
        self._signing.dim(len(self.typed) < SHORTEST)

    def _sign(self) -> None:
        if len(self.typed) >= SHORTEST:
            pin, self.typed = self.typed, ""
            self._done_act(self.who, pin)


def _masked(typed: int) -> str:
    """A dot for each digit that is typed, and a dash for each that is missing at the least."""
    return "•" * typed + "–" * max(SHORTEST - typed, 0)
