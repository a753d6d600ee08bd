"""Small shapes that say without colour how something stands."""

from __future__ import annotations

from kivy.graphics import Color, Ellipse, Line, Mesh, Rectangle

from benchapp.screens import design as d


def polygon(points: list[tuple[float, float]]) -> None:
    """A filled convex polygon in the current colour."""
    vertices: list[float] = []
    for x, y in points:
        vertices += [x, y, 0, 0]
    Mesh(vertices=vertices, indices=list(range(len(points))), mode="triangle_fan")


def draw_shape(name: str, x: float, y: float, side: float, colour: d.RGB) -> None:
    """One of up, down, tick, stop, dots, gap, ring, in a square of that side."""
    Color(*colour)
    if name == "ring":
        Line(circle=(x + side / 2, y + side / 2, side * 0.4), width=2.0)
        return
    if name == "up":
        polygon(
            [
                (x + side * 0.5, y + side * 0.92),
                (x + side * 0.08, y + side * 0.2),
                (x + side * 0.92, y + side * 0.2),
            ]
        )
    elif name == "down":
        polygon(
            [
                (x + side * 0.5, y + side * 0.08),
                (x + side * 0.08, y + side * 0.8),
                (x + side * 0.92, y + side * 0.8),
            ]
        )
    elif name == "tick":
        Ellipse(pos=(x + side * 0.04, y + side * 0.04), size=(side * 0.92, side * 0.92))
        Color(*d.FOAM)
        Line(points=[x + side * 0.27, y + side * 0.5, x + side * 0.44, y + side * 0.32, x + side * 0.74, y + side * 0.68],
             width=max(side * 0.055, 1.5), cap="round", joint="round")  # fmt: skip
    elif name == "stop":
        c = side * 0.29
        polygon([(x + c, y), (x + side - c, y), (x + side, y + c), (x + side, y + side - c),
                 (x + side - c, y + side), (x + c, y + side), (x, y + side - c), (x, y + c)])  # fmt: skip
        Color(*d.FOAM)
        Rectangle(pos=(x + side * 0.22, y + side * 0.43), size=(side * 0.56, side * 0.14))
    elif name == "dots":
        for n in range(3):
            Ellipse(pos=(x + side * (0.06 + 0.32 * n), y + side * 0.38), size=(side * 0.24, side * 0.24))
    elif name == "gap":
        Line(
            rectangle=(x + side * 0.1, y + side * 0.1, side * 0.8, side * 0.8),
            width=2,
            dash_length=6,
            dash_offset=5,
        )
