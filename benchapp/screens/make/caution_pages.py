"""Cautions: a strip of signs while a step goes on, and full pages before it begins."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle, RoundedRectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import capitalised, tr, tr_noop, translated
from benchapp.make.cautions import ADVICE, put_away
from benchapp.make.view_model import ActView, CautionNotice
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.signs import SafetySign
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high


def ground_of(caution: CautionNotice) -> tuple[d.RGB, d.RGB]:
    """Ground and text of its signal word: ANSI Z535 for physical hazards, plain ink for a sheet's word."""
    return d.SIGNAL.get(caution.word, d.sheet_word()) if caution.scheme == "physical" else d.sheet_word()


def word_of(caution: CautionNotice) -> str:
    """The signal word, or what the notice is where the sheet has none."""
    return caution.word or tr("Safety data sheet")


#: What a sign warns of, in a word that is read from where one works, by the caution where the sign has several uses; a sign without
#: one stands alone.
OF_WHAT = {
    "glass in a bath": tr_noop("glass"),
    "W012": tr_noop("mains"), "W017": tr_noop("hot"), "W021": tr_noop("fire risk"), "W023": tr_noop("corrosive"), "W022": tr_noop("blades"),
    "M001": tr_noop("waste"), "M004": tr_noop("eyes"), "M009": tr_noop("gloves"), "M016": tr_noop("dust"), "M017": tr_noop("breath"),
    "M006": tr_noop("unplug"),
}  # fmt: skip


def _sign_word(caution: CautionNotice, sign: str) -> str:
    """What a sign of it warns of, "" for one that stands alone."""
    return OF_WHAT.get(caution.key) or OF_WHAT.get(sign, "")


#: What is to be done about what bears a sign, before its name.
DEEDS = {
    "W021": tr_noop("fire risk, keep it away from heat"), "W023": tr_noop("corrosive"), "M004": tr_noop("glasses on"),
    "M009": tr_noop("gloves on"), "M016": tr_noop("dust mask on"), "M017": tr_noop("breathing mask on"),
}  # fmt: skip

#: Of these, what is worn.
WORN = ("M004", "M009", "M016", "M017")


def named(cautions: tuple[CautionNotice, ...], act_view: ActView) -> list[str]:
    """What it is that burns or bites, by name, and what to do about it, in a line for all that want the same. Where the order names
    one of them, that one alone is in hand, and one wears what the whole step wants worn."""
    order = act_view.instruction
    deeds: dict[str, list[str]] = {}
    for caution in cautions:
        if caution.of and put_away(caution.of) in order:
            continue  # the order says it
        for name in caution.of:
            deeds.setdefault(name, []).extend(sign for sign in caution.signs if sign in DEEDS)
    in_hand = {name for name in deeds if name in order}
    worn = [sign for signs in deeds.values() for sign in signs if sign in WORN] if in_hand else []
    names: dict[str, list[str]] = {}
    for name, wanted in deeds.items():
        if wanted and (name in in_hand or not in_hand):
            said = dict.fromkeys(translated(DEEDS[sign]) for sign in (*wanted, *worn))
            names.setdefault(", ".join(said), []).append(name)
    return [
        tr("{what}: {names}", what=capitalised(what), names=", ".join(those)) for what, those in names.items()
    ]


class CautionStrip(Widget):
    """The signs that hold for this step, each once and with what it warns of, at the top right; in the colours of its signal
    word. Where they would take more than their share, words give way, the last first; no sign does."""

    def __init__(self, sizes: Sizes) -> None:
        super().__init__(size_hint=(None, None))
        self.sizes = sizes
        self.shown: tuple[CautionNotice, ...] = ()

    def show(
        self, cautions: tuple[CautionNotice, ...], right: float, top: float, height: float, most: float
    ) -> float:
        """Draw them leftwards from there, with their words as far as they have room in ``most``; returns the width used. All
        in pixels."""
        self.clear_widgets()
        self.canvas.clear()
        self.shown = cautions
        self.pos, self.size = (right, top - height), (0.0, height)
        first = {sign: c for c in reversed(cautions) for sign in c.signs}  # the gravest under each sign
        signs = list(dict.fromkeys(sign for c in cautions for sign in c.signs))
        font = self.sizes.line if height >= self.sizes.line else self.sizes.between
        said = {sign: _sign_word(first[sign], sign) for sign in signs}
        words = {sign: self._word(word, first[sign], font) for sign, word in said.items() if word}
        gap = self.sizes.gap * 0.5
        for spare in reversed(signs):
            if sum(height + gap + (words[s].width + gap if s in words else 0.0) for s in signs) <= most:
                break
            words.pop(spare, None)
        x = right
        for reference in reversed(signs):
            if reference in words:
                x = self._chip(words[reference], first[reference], x, top) - gap / 2
            sign = SafetySign(reference)
            sign.size, sign.pos = (height, height), (x - height, top - height)
            self.add_widget(sign)
            x = sign.x - gap
        self.pos, self.size = (x, top - height), (right - x, height)
        return float(right - x)

    def _word(self, said: str, caution: CautionNotice, font: int) -> TextLabel:
        words = TextLabel(said, font, ground_of(caution)[1], bold=True)
        wide, high = words.natural()
        words.size = (wide + self.sizes.gap, high)
        return words

    def _chip(self, words: TextLabel, caution: CautionNotice, right: float, top: float) -> float:
        """A word on the ground of its signal word; returns where it begins."""
        high = words.height * 0.86
        words.pos = (right - words.width, top - high / 2 - words.height / 2)
        with self.canvas:
            Color(*ground_of(caution)[0])
            RoundedRectangle(pos=(words.x, top - high), size=(words.width, high), radius=[6])
        self.add_widget(words)
        return float(words.x)


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
        if self._has_room(whole, self.sizes.note, 0.2):
            return [(caution, whole)]
        if not aid:
            return [(caution, what)]
        return [(caution, what), (caution, aid)]

    @property
    def _room(self) -> float:
        return float(self.height - self._bar - self.sizes.gap)

    def _side(self, share: float) -> float:
        """How wide and high a sign of that share of the width is."""
        return float(min(self._room - self.sizes.gap, self.width * share))

    def _has_room(self, body: tuple[tuple[str, bool], ...], size: float, share: float) -> bool:
        """Whether the words have room at a size beside a sign of that share of the width."""
        gap = self.sizes.gap
        width = self.width - self._side(share) - 4 * gap
        highs = [wrapped_high(text, round(size), bold, width) for text, bold in body if text]
        return sum(high + gap * 0.6 for high in highs) <= self._room

    def draw(self) -> None:
        """Draw the page: sign, signal word, and what stands on it as large as there is room for."""
        s = self.sizes
        self.clear_widgets()
        self.canvas.clear()
        caution, body = self.pages[self.page]
        self._head(caution)
        for size, share in ((s.note * 1.6, 0.24), (s.note * 1.3, 0.24), (s.note, 0.2), (s.small, 0.12)):
            self.fits = self._has_room(body, size, share)
            if self.fits:
                break
        side = self._side(share)
        words = [TextLabel(text, round(size), d.INK, bold=bold) for text, bold in body if text]
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
