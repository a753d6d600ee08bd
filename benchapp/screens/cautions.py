"""Cautions: a strip of signs while a step goes on, and full pages before it begins."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.make.moment import Shown
from benchapp.screens import design as d
from benchapp.screens.drawings.signs import Sign
from benchapp.screens.panel import Sizes
from benchapp.screens.parts import Words


def ground_of(caution: Shown) -> tuple[d.RGB, d.RGB]:
    """Ground and text of its signal word: ANSI Z535 for physical hazards, plain ink for a sheet's word."""
    return d.SIGNAL.get(caution.word, d.SHEET_WORD) if caution.scheme == "physical" else d.SHEET_WORD


def word_of(caution: Shown) -> str:
    """The signal word, or what the notice is where the sheet has none."""
    return caution.word or "Safety data sheet"


class CautionStrip(Widget):
    """The signs that hold for this step, with their words, at the top right."""

    def __init__(self, sizes: Sizes) -> None:
        super().__init__(size_hint=(None, None))
        self.sizes = sizes
        self.shown: tuple[Shown, ...] = ()

    def show(self, cautions: tuple[Shown, ...], right: float, top: float, height: float) -> float:
        """Draw them leftwards from there; returns the width used."""
        self.clear_widgets()
        self.canvas.clear()
        self.shown = cautions
        x = right
        for word, signs in reversed(self._grouped(cautions)):
            words = Words(word, self.sizes.small, d.INK, bold=True)
            words.text_size = (None, None)
            words.texture_update()
            words.size = words.texture_size
            words.pos = (x - words.width, top - height / 2 - words.height / 2)
            self.add_widget(words)
            x = words.x - 4
            for reference in reversed(signs):
                sign = Sign(reference)
                sign.size, sign.pos = (height, height), (x - height, top - height)
                self.add_widget(sign)
                x = sign.x - 4
            x -= self.sizes.gap
        self.pos, self.size = (x, top - height), (right - x, height)
        return float(right - x)

    def _grouped(self, cautions: tuple[Shown, ...]) -> list[tuple[str, list[str]]]:
        """Each signal word once, with the signs that stand under it."""
        groups: dict[str, list[str]] = {}
        for caution in cautions:
            signs = groups.setdefault(word_of(caution), [])
            if caution.sign not in signs:
                signs.append(caution.sign)
        return list(groups.items())


class CautionPages(Widget):
    """Every caution of a step in full, one page each; the last page lets the maker go on."""

    def __init__(self, sizes: Sizes, cautions: tuple[Shown, ...]) -> None:
        super().__init__(size_hint=(None, None))
        self.sizes, self.cautions, self.page = sizes, cautions, 0

    @property
    def last(self) -> bool:
        """Whether this is the last page."""
        return self.page >= len(self.cautions) - 1

    def turn(self) -> None:
        """The next page."""
        self.page = min(self.page + 1, len(self.cautions) - 1)
        self.draw()

    def draw(self) -> None:
        """Draw the page: sign, signal word, what it is, first aid, statements."""
        s = self.sizes
        self.clear_widgets()
        self.canvas.clear()
        caution = self.cautions[self.page]
        ground, ink = ground_of(caution)
        bar = s.instruction * 1.25
        top = self.top
        with self.canvas:
            Color(*d.SHELL)
            Rectangle(pos=self.pos, size=self.size)
            Color(*ground)
            Rectangle(pos=(self.x, top - bar), size=(self.width, bar))
        count = f"   {self.page + 1} of {len(self.cautions)}" if len(self.cautions) > 1 else ""
        word = Words(word_of(caution) + count, round(s.instruction * 0.8), ink, bold=True)
        word.height_at(self.width)
        self.add_widget(word)
        word.place(
            self.x + s.gap, top - (bar - word.height_at(self.width - 2 * s.gap)) / 2, self.width - 2 * s.gap
        )
        side = min(self.height * 0.42, self.width * 0.24)
        sign = Sign(caution.sign)
        sign.size, sign.pos = (side, side), (self.x + s.gap, top - bar - s.gap - side)
        self.add_widget(sign)
        left = self.x + side + 3 * s.gap
        width = self.right - left - s.gap
        y = top - bar - s.gap
        body = [(caution.text, True), (caution.first_aid, False), (", ".join(caution.statements), False)]
        for scale in (1.6, 1.3, 1.0):
            size = round(s.note * scale)
            laid = [Words(text, size, d.INK, bold=bold) for text, bold in body if text]
            high = sum(w.height_at(width) + s.gap * 0.6 for w in laid)
            if high <= y - self.y:
                break
        self.fits = high <= y - self.y
        for words in laid:
            self.add_widget(words)
            y = words.place(left, y, width) - s.gap * 0.6
