"""Text on the glass: wrapped to a width, never markup."""

from __future__ import annotations

from functools import lru_cache

from kivy.core.text import Label as CoreLabel
from kivy.uix.label import Label

from benchapp.foundation.language import translated
from benchapp.screens.display import design as d


class TextLabel(Label):
    """Text that wraps to its width, never as markup, so that no file or device can steer it."""

    def __init__(
        self,
        text: str = "",
        size: int = 24,
        color: d.RGB | None = None,
        bold: bool = False,
        halign: str = "left",
    ) -> None:
        super().__init__(
            text=translated(text), font_size=size, color=(*(d.INK if color is None else color), 1), bold=bold, halign=halign, valign="top",
            size_hint=(None, None), markup=False, line_height=1.0,
        )  # fmt: skip
        # Bound last: what draws the text hears of the words that were set before it hears of those in their place.
        self.fbind("text", self._translate)

    def _translate(self, _label: Label, text: str) -> None:
        """Words in the language of the glass, whoever put them there."""
        self.text = translated(text)

    def place(self, x: float, top: float, width: float) -> float:
        """Lay it out with its top left corner there; returns where it ends at the bottom."""
        self.text_size: tuple[float | None, float | None] = (max(width, 1), None)
        self.texture_update()
        self.size = (width, self.texture_size[1])
        self.pos = (x, top - self.height)
        return float(self.y)

    def natural(self) -> tuple[float, float]:
        """Make it as large as its text is on one line; returns that size."""
        self.text_size = (None, None)
        self.texture_update()
        self.size = self.texture_size
        return float(self.width), float(self.height)

    def height_at(self, width: float) -> float:
        """How high it would be at that width."""
        self.text_size = (max(width, 1), None)
        self.texture_update()
        return float(self.texture_size[1])


def wrapped_high(text: str, size: int, bold: bool, width: int) -> float:
    """How high words are at a width, without a label of their own."""
    return _wrapped_high(translated(text), size, bold, width)


@lru_cache(maxsize=2048)
def _wrapped_high(text: str, size: int, bold: bool, width: int) -> float:
    ruler = CoreLabel(
        text=text, font_size=size, bold=bold, text_size=(max(width, 1), None), valign="top", line_height=1.0
    )
    ruler.refresh()
    return float(ruler.texture.size[1])


def natural_wide(text: str, size: int) -> float:
    """How wide bold words are on one line."""
    return _natural_wide(translated(text), size)


@lru_cache(maxsize=512)
def _natural_wide(text: str, size: int) -> float:
    return float(CoreLabel(font_size=size, bold=True).get_extents(text)[0])


def fitting(text: str, size: int, width: int, high: float) -> str:
    """As many words as have room, with a mark where some are left out; "" where not even one line has."""
    text = translated(text)
    if not text or high < wrapped_high("x", size, False, width):
        return ""
    if wrapped_high(text, size, True, width) <= high:
        return text
    words = text.split(" ")  # what stands on a line of its own stays there
    low, most = 0, len(words) - 1
    while low < most:
        middle = (low + most + 1) // 2
        if wrapped_high(" ".join(words[:middle]) + " …", size, True, width) <= high:
            low = middle
        else:
            most = middle - 1
    return " ".join(words[:low]) + " …" if low else ""
