"""Safety signs, drawn by us to the meaning of ISO 7010: warning triangles and mandatory discs."""

from __future__ import annotations

from kivy.graphics import Color, Ellipse, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.screens.display import design as d
from benchapp.screens.drawings.shapes import polygon

_YELLOW = d.rgb("#FFD200")
_BLUE = d.rgb("#17458F")
_BLACK = (0.0, 0.0, 0.0)
_WHITE = (1.0, 1.0, 1.0)


class SafetySign(Widget):
    """One sign by its ISO 7010 reference; an unknown one is drawn as the general warning."""

    def __init__(self, reference: str) -> None:
        super().__init__(size_hint=(None, None))
        self.reference = reference
        self.bind(pos=self._draw, size=self._draw)

    def _draw(self, *_: object) -> None:
        self.canvas.clear()
        side = min(self.size)
        with self.canvas:
            if self.reference.startswith("M"):
                _disc(self.x, self.y, side)
            else:
                _triangle(self.x, self.y, side)
            _INSIDE.get(self.reference, _exclamation)(self.x, self.y, side)


def _triangle(x: float, y: float, s: float) -> None:
    Color(*_BLACK)
    polygon([(x + s * 0.5, y + s * 0.98), (x, y + s * 0.1), (x + s, y + s * 0.1)])
    Color(*_YELLOW)
    polygon([(x + s * 0.5, y + s * 0.86), (x + s * 0.1, y + s * 0.155), (x + s * 0.9, y + s * 0.155)])
    Color(*_BLACK)


def _disc(x: float, y: float, s: float) -> None:
    Color(*_BLUE)
    Ellipse(pos=(x, y), size=(s, s))
    Color(*_WHITE)


def _exclamation(x: float, y: float, s: float) -> None:
    polygon(
        [
            (x + s * 0.44, y + s * 0.66),
            (x + s * 0.56, y + s * 0.66),
            (x + s * 0.53, y + s * 0.36),
            (x + s * 0.47, y + s * 0.36),
        ]
    )
    Ellipse(pos=(x + s * 0.455, y + s * 0.21), size=(s * 0.09, s * 0.09))


def _hot(x: float, y: float, s: float) -> None:
    Rectangle(pos=(x + s * 0.28, y + s * 0.22), size=(s * 0.44, s * 0.05))
    for n in range(3):
        left = x + s * (0.36 + 0.13 * n)
        Line(
            bezier=[
                left,
                y + s * 0.31,
                left - s * 0.06,
                y + s * 0.4,
                left + s * 0.06,
                y + s * 0.46,
                left,
                y + s * 0.56,
            ],
            width=max(s * 0.02, 1.2),
        )


def _flame(x: float, y: float, s: float) -> None:
    """Tongues of three heights over a bar, hollow in the middle."""
    Rectangle(pos=(x + s * 0.3, y + s * 0.2), size=(s * 0.4, s * 0.03))
    Ellipse(pos=(x + s * 0.37, y + s * 0.255), size=(s * 0.26, s * 0.22))
    for tongue in (
        ((0.37, 0.36), (0.4, 0.47), (0.56, 0.72), (0.56, 0.55), (0.62, 0.36)),
        ((0.37, 0.37), (0.35, 0.45), (0.37, 0.55), (0.48, 0.4)),
        ((0.52, 0.4), (0.64, 0.56), (0.65, 0.45), (0.63, 0.37)),
    ):
        polygon([(x + s * a, y + s * b) for a, b in tongue])
    Color(*_YELLOW)
    Ellipse(pos=(x + s * 0.45, y + s * 0.275), size=(s * 0.1, s * 0.09))
    polygon([(x + s * 0.45, y + s * 0.32), (x + s * 0.5, y + s * 0.45), (x + s * 0.55, y + s * 0.32)])


def _drops(x: float, y: float, s: float) -> None:
    """Corrosive: drops on a hand and on a bar."""
    Rectangle(pos=(x + s * 0.27, y + s * 0.22), size=(s * 0.2, s * 0.06))
    Line(points=[x + s * 0.54, y + s * 0.24, x + s * 0.72, y + s * 0.3], width=max(s * 0.028, 1.5))
    for left in (0.34, 0.6):
        Ellipse(pos=(x + s * left, y + s * 0.36), size=(s * 0.07, s * 0.1))
        Line(
            points=[x + s * (left - 0.02), y + s * 0.58, x + s * (left + 0.1), y + s * 0.54],
            width=max(s * 0.026, 1.5),
        )


def _blades(x: float, y: float, s: float) -> None:
    """Rotating blades: ISO 7010 has a sharp element (W022), and nothing that turns."""
    Ellipse(pos=(x + s * 0.45, y + s * 0.34), size=(s * 0.1, s * 0.1))
    cx, cy = x + s * 0.5, y + s * 0.39
    for dx, dy in ((0, 0.19), (-0.16, -0.1), (0.16, -0.1)):
        Line(points=[cx, cy, cx + s * dx, cy + s * dy], width=max(s * 0.03, 2))


def _glasses(x: float, y: float, s: float) -> None:
    for left in (0.2, 0.54):
        Line(
            rounded_rectangle=(x + s * left, y + s * 0.42, s * 0.26, s * 0.18, s * 0.05),
            width=max(s * 0.025, 1.5),
        )
    Line(points=[x + s * 0.46, y + s * 0.52, x + s * 0.54, y + s * 0.52], width=max(s * 0.025, 1.5))


def _glove(x: float, y: float, s: float) -> None:
    Rectangle(pos=(x + s * 0.38, y + s * 0.18), size=(s * 0.26, s * 0.34))
    for n, top in enumerate((0.72, 0.8, 0.78, 0.7)):
        Rectangle(pos=(x + s * (0.38 + 0.067 * n), y + s * 0.5), size=(s * 0.055, s * (top - 0.5)))
    polygon(
        [
            (x + s * 0.38, y + s * 0.34),
            (x + s * 0.38, y + s * 0.46),
            (x + s * 0.24, y + s * 0.58),
            (x + s * 0.22, y + s * 0.5),
        ]
    )


def _mask(x: float, y: float, s: float) -> None:
    Ellipse(pos=(x + s * 0.28, y + s * 0.28), size=(s * 0.44, s * 0.34))
    Line(points=[x + s * 0.14, y + s * 0.56, x + s * 0.3, y + s * 0.5], width=max(s * 0.02, 1.5))
    Line(points=[x + s * 0.86, y + s * 0.56, x + s * 0.7, y + s * 0.5], width=max(s * 0.02, 1.5))


def _plug(x: float, y: float, s: float) -> None:
    Rectangle(pos=(x + s * 0.34, y + s * 0.44), size=(s * 0.32, s * 0.2))
    for left in (0.4, 0.55):
        Rectangle(pos=(x + s * left, y + s * 0.64), size=(s * 0.05, s * 0.12))
    Line(points=[x + s * 0.5, y + s * 0.44, x + s * 0.5, y + s * 0.2], width=max(s * 0.03, 2))


_INSIDE = {
    "W017": _hot, "W021": _flame, "W023": _drops, "W022": _blades, "M004": _glasses, "M009": _glove,
    "M016": _mask, "M006": _plug,
}  # fmt: skip
