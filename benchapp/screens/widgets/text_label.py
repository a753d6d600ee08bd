"""Text on the glass: wrapped to a width, never markup."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import translated
from benchapp.screens.display import design as d
from benchapp.screens.drawings.typeset import typeset, with_company

#: A widget that asks for no style of Kivy's.
UNSTYLED: dict[str, Any] = {"__no_builder": True}


def _option(name: str) -> Any:
    """One of what the text is drawn with, as an attribute of the label."""

    def get(label: TextLabel) -> Any:
        return label._core.options[name]

    def set_(label: TextLabel, value: Any) -> None:
        if value != label._core.options[name]:
            label._core.options[name] = value
            label._changed()

    return property(get, set_)


class TextLabel(Widget):
    """Text that wraps to its width, never as markup, so that no file or device can steer it.

    Kivy's own label takes three times as long to make, and a moment of a make has thirty. Words are drawn again when
    something about them has changed: at once where they are measured or placed, else before the next frame.
    """

    def __init__(
        self,
        text: str = "",
        size: float = 24,
        color: d.RGB | None = None,
        bold: bool = False,
        halign: str = "left",
    ) -> None:
        super().__init__(size_hint=(None, None), **UNSTYLED)
        ink = (*(d.INK if color is None else color), 1)
        self._words = translated(text)
        self._core = typeset(self._words, size, bold, halign=halign, valign="top", color=ink)
        self.texture_size: tuple[float, float] = (0, 0)
        with self.canvas:
            Color(1, 1, 1)
            self._drawn = Rectangle(size=(0, 0))
        self._trigger = Clock.create_trigger(self._draw, -1)
        self.bind(pos=self._move, size=self._move)
        self._changed()

    @property
    def text(self) -> str:
        """Its words, in the language of the glass, whoever put them there."""
        return self._words

    @text.setter
    def text(self, words: str) -> None:
        words = translated(words)
        if words != self._words:
            self._words = words
            self._changed()

    @property
    def text_size(self) -> tuple[float | None, float | None]:
        """Within which width it wraps; None where it stands on one line."""
        width, height = self._core.usersize
        return width, height

    @text_size.setter
    def text_size(self, size: tuple[float | None, float | None]) -> None:
        if tuple(size) != tuple(self._core.usersize):
            self._core.usersize = size
            self._changed()

    font_size = _option("font_size")
    color = _option("color")
    halign = _option("halign")

    @property
    def bold(self) -> bool:
        """Whether it is drawn bold; that does not change."""
        return bool(self._core.options["bold"])

    def _changed(self) -> None:
        self._due = True
        self._trigger()

    def _draw(self, *_: object) -> None:
        """Draw it anew, if anything about it has changed since."""
        if not self._due:
            return
        self._due = False
        self._drawn.texture, self.texture_size = (
            None,
            (0, 0),
        )  # the same texture with other words would not be drawn anew
        if self._words.strip():
            self._set()
            drawn = self._core.texture
            drawn.min_filter = drawn.mag_filter = (
                "nearest"  # it stands on whole pixels: nothing is to be smoothed
            )
            self._drawn.texture, self.texture_size = drawn, tuple(drawn.size)
        self._move()

    def _set(self) -> None:
        """Set its words; once more where a word would stand alone on the last line."""
        core = self._core
        core.text = self._words
        core.refresh()
        if core.text_size[0] is not None and len(core._cached_lines) > 1:
            core.text = with_company(core, self._words)
            if core.text != self._words:
                core.refresh()

    def _move(self, *_: object) -> None:
        wide, high = self.texture_size
        self._drawn.size = wide, high
        self._drawn.pos = int(self.center_x - wide / 2.0), int(self.center_y - high / 2.0)

    def place(self, x: float, top: float, width: float) -> float:
        """Lay it out with its top left corner there; returns where it ends at the bottom."""
        height = self.height_at(width)
        self.size = (width, height)
        self.pos = (x, top - height)
        return float(self.y)

    def natural(self) -> tuple[float, float]:
        """Make it as large as its text is on one line; returns that size."""
        self.text_size = (None, None)
        self._draw()
        self.size = self.texture_size
        return float(self.width), float(self.height)

    def height_at(self, width: float) -> float:
        """How high it would be at that width."""
        self.text_size = (max(width, 1), None)
        self._draw()
        return float(self.texture_size[1])


def wrapped_high(text: str, size: int, bold: bool, width: float) -> float:
    """How high words are at a width, without a label of their own."""
    return _wrapped_high(translated(text), size, bold, width)


@lru_cache(maxsize=2048)
def _wrapped_high(text: str, size: int, bold: bool, width: float) -> float:
    ruler = typeset(text, size, bold, text_size=(max(width, 1), None), valign="top")
    ruler.refresh()
    return float(ruler.texture.size[1])


def natural_wide(text: str, size: int) -> float:
    """How wide bold words are on one line."""
    return _natural_wide(translated(text), size)


@lru_cache(maxsize=512)
def _natural_wide(text: str, size: int) -> float:
    return float(typeset(size=size, bold=True).get_extents(text)[0])


def fitting(text: str, size: int, width: int, high: float, bold: bool = True) -> str:
    """As many words as have room, with a mark where some are left out; "" where not even one line has."""
    text = translated(text)
    if not text or high < wrapped_high("x", size, False, width):
        return ""
    if wrapped_high(text, size, bold, width) <= high:
        return text
    words = text.split(" ")  # what stands on a line of its own stays there
    low, most = 0, len(words) - 1
    while low < most:
        middle = (low + most + 1) // 2
        if wrapped_high(" ".join(words[:middle]) + " …", size, bold, width) <= high:
            low = middle
        else:
            most = middle - 1
    return " ".join(words[:low]) + " …" if low else ""
