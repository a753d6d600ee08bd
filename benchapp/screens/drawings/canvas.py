"""Where a drawing draws: a box, its labels, and the outline of a vessel."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from kivy.graphics import Color, Line, Rectangle

from benchapp.foundation.language import translated
from benchapp.screens.display import design as d
from benchapp.screens.display.figures import Figures
from benchapp.screens.drawings.typeset import typeset

PLAIN = Figures()


class Canvas:
    """Where a drawing draws: a box in pixels, text at a size that stays legible, and how figures are written."""

    def __init__(
        self, x: float, y: float, width: float, height: float, font: int, figures: Figures = PLAIN
    ) -> None:
        self.x, self.y, self.width, self.height, self.font = x, y, width, height, font
        self.figures = figures
        self.texts: list[tuple[str, float, float, float, float]] = []  # text and its box, for tests

    def text(
        self,
        words: str,
        x: float,
        y: float,
        colour: d.RGB | None = None,
        anchor: str = "left",
        bold: bool = False,
    ) -> tuple[float, float]:
        """Draw words with their vertical middle at y; anchored left, centre or right at x. Returns their size."""
        texture = _texture(translated(words), self.font, bold)
        width, height = texture.size
        left = x - {"left": 0.0, "centre": width / 2, "right": width}[anchor]
        left = min(max(left, self.x), self.x + self.width - width)
        low = min(max(y - height / 2, self.y), self.y + self.height - height)
        Color(*(d.INK if colour is None else colour))
        Rectangle(texture=texture, pos=(left, low), size=(width, height))
        self.texts.append((translated(words), left, low, width, height))
        return float(width), float(height)

    def figure(self, value: float, unit: str, decimals: int | None = None) -> str:
        """A value of that unit as figures are written here; without decimals as short as it goes."""
        shown = self.figures.limit(value, unit)
        return self.figures.number(f"{round(shown, 2):g}" if decimals is None else f"{shown:.{decimals}f}")

    def kelvin(self, difference_k: float) -> str:
        """A difference of temperatures in the unit they are shown in."""
        unit = self.figures.unit("°C")
        return f"{self.figures.number(f'{self.figures.kelvin(difference_k):.1f}')} {unit}"

    def width_of(self, words: str, bold: bool = False) -> float:
        """How wide these words would be."""
        return float(_texture(translated(words), self.font, bold).size[0])


@lru_cache(maxsize=64)
def _texture(words: str, font: int, bold: bool) -> Any:
    """Words as a texture; most labels of a drawing stay the same from frame to frame."""
    label = typeset(words, font, bold)
    label.refresh()
    return label.texture


def vessel_outline(c: Canvas, x: float, y: float, width: float, height: float) -> None:
    """The wall of an open vessel with a small lip."""
    Color(*d.DRIFT)
    lip = width * 0.06
    Line(points=[x - lip, y + height, x, y + height - lip, x, y + 6, x + 6, y, x + width - 6, y, x + width, y + 6,
                 x + width, y + height - lip, x + width + lip, y + height], width=3.0, joint="round", cap="round")  # fmt: skip
