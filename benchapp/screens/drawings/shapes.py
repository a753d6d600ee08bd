"""Small shapes that say without colour how something stands."""

from __future__ import annotations

import math
from collections.abc import Callable

from kivy.graphics import Color, Ellipse, Line, Mesh, Rectangle

from benchapp.screens.display import design as d


def polygon(points: list[tuple[float, float]]) -> None:
    """A filled convex polygon in the current colour."""
    vertices: list[float] = []
    for x, y in points:
        vertices += [x, y, 0, 0]
    Mesh(vertices=vertices, indices=list(range(len(points))), mode="triangle_fan")


def draw_shape(name: str, x: float, y: float, side: float, colour: d.RGB) -> None:
    """One of SHAPES in a square of that side; nothing for any other name."""
    Color(*colour)
    draw = SHAPES.get(name)
    if draw is not None:
        draw(x, y, side)


def _dot(x: float, y: float, side: float) -> None:
    """What comes, or is neither right nor wrong. No ring and no square: those are taken for boxes to tick."""
    Ellipse(pos=(x + side * 0.3, y + side * 0.3), size=(side * 0.4, side * 0.4))


def _call(x: float, y: float, side: float) -> None:
    """What has to be done."""
    Ellipse(pos=(x + side * 0.04, y + side * 0.04), size=(side * 0.92, side * 0.92))
    Color(*d.FOAM)
    Rectangle(pos=(x + side * 0.43, y + side * 0.4), size=(side * 0.14, side * 0.38))
    Ellipse(pos=(x + side * 0.42, y + side * 0.18), size=(side * 0.16, side * 0.16))


def _clock(x: float, y: float, side: float) -> None:
    """What falls due at a time of its own."""
    middle, centre, width = x + side / 2, y + side / 2, max(side * 0.05, 1.5)
    Line(circle=(middle, centre, side * 0.43), width=width)
    Line(
        points=[middle, y + side * 0.76, middle, centre, x + side * 0.68, centre], width=width, joint="round"
    )


def _up(x: float, y: float, side: float) -> None:
    _triangle(x, side, y + side * 0.92, y + side * 0.2)


def _down(x: float, y: float, side: float) -> None:
    _triangle(x, side, y + side * 0.08, y + side * 0.8)


def _triangle(x: float, side: float, tip: float, base: float) -> None:
    polygon([(x + side * 0.5, tip), (x + side * 0.08, base), (x + side * 0.92, base)])


def _tick(x: float, y: float, side: float) -> None:
    Ellipse(pos=(x + side * 0.04, y + side * 0.04), size=(side * 0.92, side * 0.92))
    Color(*d.FOAM)
    Line(points=[x + side * 0.27, y + side * 0.5, x + side * 0.44, y + side * 0.32, x + side * 0.74, y + side * 0.68],
         width=max(side * 0.055, 1.5), cap="round", joint="round")  # fmt: skip


def _stop(x: float, y: float, side: float) -> None:
    c = side * 0.29
    polygon([(x + c, y), (x + side - c, y), (x + side, y + c), (x + side, y + side - c),
             (x + side - c, y + side), (x + c, y + side), (x, y + side - c), (x, y + c)])  # fmt: skip
    Color(*d.FOAM)
    Rectangle(pos=(x + side * 0.22, y + side * 0.43), size=(side * 0.56, side * 0.14))


def _cross(x: float, y: float, side: float) -> None:
    """What is wrong, or was refused; the octagon is what stops, and nothing else."""
    Ellipse(pos=(x + side * 0.04, y + side * 0.04), size=(side * 0.92, side * 0.92))
    Color(*d.FOAM)
    low, high, width = side * 0.32, side * 0.68, max(side * 0.055, 1.5)
    Line(points=[x + low, y + low, x + high, y + high], width=width, cap="round")
    Line(points=[x + low, y + high, x + high, y + low], width=width, cap="round")


def _dots(x: float, y: float, side: float) -> None:
    for n in range(3):
        Ellipse(pos=(x + side * (0.06 + 0.32 * n), y + side * 0.38), size=(side * 0.24, side * 0.24))


def _gap(x: float, y: float, side: float) -> None:
    """A line with a piece missing: nothing comes."""
    for left in (0.02, 0.62):
        Rectangle(pos=(x + side * left, y + side * 0.42), size=(side * 0.36, side * 0.16))


def _diamond(x: float, y: float, side: float) -> None:
    """What was not in the real world."""
    middle, centre, half = x + side / 2, y + side / 2, side * 0.42
    Line(points=[middle, centre + half, middle + half, centre, middle, centre - half, middle - half, centre],
         close=True, width=max(side * 0.05, 1.5), joint="miter")  # fmt: skip


def _info(x: float, y: float, side: float) -> None:
    """The letter i in a ring: what is to be known."""
    Line(circle=(x + side / 2, y + side / 2, side * 0.44), width=max(side * 0.035, 1.5))
    Ellipse(pos=(x + side * 0.43, y + side * 0.65), size=(side * 0.14, side * 0.14))
    Rectangle(pos=(x + side * 0.44, y + side * 0.24), size=(side * 0.12, side * 0.34))


def _round(x: float, y: float, side: float) -> None:
    """Two arrows round a ring: what is pressed changes where it stands."""
    middle_x, middle_y, far, tip = x + side / 2, y + side / 2, side * 0.36, side * 0.2
    for way, first in ((1, 20), (-1, 200)):
        Line(circle=(middle_x, middle_y, far, first, first + 130), width=max(side * 0.05, 1.5))
        end = math.radians(first + 130)
        at_x, at_y = middle_x + far * math.sin(end), middle_y + far * math.cos(end)
        back = at_x + way * tip * 0.2
        polygon([(at_x - way * tip * 1.2, at_y), (back, at_y + tip), (back, at_y - tip)])


def _lock(x: float, y: float, side: float) -> None:
    """A padlock: what is touched does nothing."""
    Rectangle(pos=(x + side * 0.18, y + side * 0.06), size=(side * 0.64, side * 0.48))
    middle, bow, low = x + side / 2, side * 0.2, y + side * 0.54
    points = [middle - bow, low]
    for degrees in range(180, -1, -6):
        angle = math.radians(degrees)
        points += [middle + bow * math.cos(angle), y + side * 0.72 + bow * math.sin(angle)]
    Line(points=[*points, middle + bow, low], width=max(side * 0.05, 2.0), joint="round")


SHAPES: dict[str, Callable[[float, float, float], None]] = {
    "dot": _dot, "up": _up, "down": _down, "tick": _tick, "stop": _stop, "cross": _cross, "call": _call, "clock": _clock,
    "dots": _dots, "gap": _gap, "diamond": _diamond, "info": _info, "lock": _lock, "round": _round,
}  # fmt: skip
