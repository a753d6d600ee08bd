"""Cautions: a strip of signs while a step goes on, and full pages before it begins."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr, translated
from benchapp.make.cautions import ADVICE
from benchapp.make.view_model import CautionNotice
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.signs import SafetySign
from benchapp.screens.widgets.text_label import TextLabel


def ground_of(caution: CautionNotice) -> tuple[d.RGB, d.RGB]:
    """Ground and text of its signal word: ANSI Z535 for physical hazards, plain ink for a sheet's word."""
    return d.SIGNAL.get(caution.word, d.sheet_word()) if caution.scheme == "physical" else d.sheet_word()


def word_of(caution: CautionNotice) -> str:
    """The signal word, or what the notice is where the sheet has none."""
    return caution.word or tr("Safety data sheet")


class CautionStrip(Widget):
    """The signs that hold for this step, with their words, at the top right."""

    def __init__(self, sizes: Sizes) -> None:
        super().__init__(size_hint=(None, None))
        self.sizes = sizes
        self.shown: tuple[CautionNotice, ...] = ()

    def show(self, cautions: tuple[CautionNotice, ...], right: float, top: float, height: float) -> float:
        """Draw them leftwards from there; returns the width used."""
        self.clear_widgets()
        self.canvas.clear()
        self.shown = cautions
        x = right
        for word, signs in reversed(self._grouped(cautions)):
            words = TextLabel(word, self.sizes.small, d.INK, bold=True)
            words.natural()
            words.pos = (x - words.width, top - height / 2 - words.height / 2)
            self.add_widget(words)
            x = words.x - 4
            for reference in reversed(signs):
                sign = SafetySign(reference)
                sign.size, sign.pos = (height, height), (x - height, top - height)
                self.add_widget(sign)
                x = sign.x - 4
            x -= self.sizes.gap
        self.pos, self.size = (x, top - height), (right - x, height)
        return float(right - x)

    def _grouped(self, cautions: tuple[CautionNotice, ...]) -> list[tuple[str, list[str]]]:
        """Each signal word once, with the signs that stand under it."""
        groups: dict[str, list[str]] = {}
        for caution in cautions:
            signs = groups.setdefault(word_of(caution), [])
            if caution.sign not in signs:
                signs.append(caution.sign)
        return list(groups.items())


CautionPage = tuple[
    CautionNotice, tuple[tuple[str, bool], ...]
]  # a caution, and (text, bold) of what stands on this page


class CautionPages(Widget):
    """Every caution of a step in full, one page each, two where one is too small; after the last one goes on."""

    def __init__(
        self,
        sizes: Sizes,
        cautions: tuple[CautionNotice, ...],
        pos: tuple[float, float],
        size: tuple[float, float],
    ) -> None:
        super().__init__(size_hint=(None, None), pos=pos, size=size)
        self.sizes, self.page, self.fits = sizes, 0, True
        self._bar = sizes.instruction * 1.2
        self.pages: list[CautionPage] = [page for c in cautions for page in self._pages_of(c)]
        self.draw()

    @property
    def last(self) -> bool:
        """Whether this is the last page."""
        return self.page >= len(self.pages) - 1

    def turn(self) -> None:
        """The next page."""
        self.page = min(self.page + 1, len(self.pages) - 1)
        self.draw()

    def _pages_of(self, caution: CautionNotice) -> list[CautionPage]:
        what = ((caution.text, True), (", ".join(caution.statements), False))
        aid = ((caution.first_aid, False), (ADVICE, False)) if caution.first_aid else ()
        whole = (what[0], *aid, what[1])
        if self._laid(whole, self.sizes.note, 0.2)[1]:
            return [(caution, whole)]
        if not aid:
            return [(caution, what)]
        return [(caution, what), (caution, aid)]

    def _laid(
        self, body: tuple[tuple[str, bool], ...], size: float, share: float
    ) -> tuple[list[TextLabel], bool, float]:
        """The words at a size beside a sign of that share of the width, whether they fit, and the sign's side."""
        s = self.sizes
        room = self.height - self._bar - s.gap
        side = min(room - s.gap, self.width * share)
        width = self.width - side - 4 * s.gap
        words = [TextLabel(text, round(size), d.INK, bold=bold) for text, bold in body if text]
        return words, sum(w.height_at(width) + s.gap * 0.6 for w in words) <= room, side

    def draw(self) -> None:
        """Draw the page: sign, signal word, and what stands on it as large as there is room for."""
        s = self.sizes
        self.clear_widgets()
        self.canvas.clear()
        caution, body = self.pages[self.page]
        self._head(caution)
        for size, share in ((s.note * 1.6, 0.24), (s.note * 1.3, 0.24), (s.note, 0.2), (s.small, 0.12)):
            words, self.fits, side = self._laid(body, size, share)
            if self.fits:
                break
        y = self.top - self._bar - s.gap
        sign = SafetySign(caution.sign)
        sign.size, sign.pos = (side, side), (self.x + s.gap, y - side)
        self.add_widget(sign)
        left = self.x + side + 3 * s.gap
        for part in words:
            self.add_widget(part)
            y = part.place(left, y, self.right - left - s.gap) - s.gap * 0.6

    def _head(self, caution: CautionNotice) -> None:
        """The signal word on its ground, and which page this is."""
        s = self.sizes
        ground, ink = ground_of(caution)
        with self.canvas:
            Color(*d.SHELL)
            Rectangle(pos=self.pos, size=self.size)
            Color(*ground)
            Rectangle(pos=(self.x, self.top - self._bar), size=(self.width, self._bar))
        count = (
            tr("   {page} of {count}", page=self.page + 1, count=len(self.pages))
            if len(self.pages) > 1
            else ""
        )
        word = TextLabel(translated(word_of(caution)) + count, round(s.instruction * 0.8), ink, bold=True)
        width = self.width - 2 * s.gap
        self.add_widget(word)
        word.place(self.x + s.gap, self.top - (self._bar - word.height_at(width)) / 2, width)
