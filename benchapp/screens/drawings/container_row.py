"""Containers in a row: filled where they are still here, empty where they went."""

from __future__ import annotations

from collections.abc import Set

from kivy.graphics import Canvas, Color, Line, Rectangle, RoundedRectangle

from benchapp.screens.display import design as d

#: No more containers than this are drawn one by one.
MOST_DRAWN = 24
#: From one to the next, as a share of how high they are.
_APART, _WIDE = 0.62, 0.46


def row_wide(count: int, high: float) -> float:
    """How much of a line so many take, in pixels; 0 where they are too many to be drawn."""
    return (count + 0.3) * high * _APART if 0 < count <= MOST_DRAWN else 0.0


def draw_containers(
    canvas: Canvas, place: tuple[float, float], high: float, count: int, gone: Set[int]
) -> None:
    """``place`` is the left lower corner of the first; ``gone`` holds the numbers of those that went."""
    x, y = place
    for n in range(1, count + 1) if row_wide(count, high) else ():
        _draw(canvas, (x + (n - 1) * high * _APART, y), high, n in gone)


def _draw(canvas: Canvas, place: tuple[float, float], high: float, gone: bool) -> None:
    """Body, neck and cap."""
    (x, y), wide, body, round_ = place, high * _WIDE, high * 0.74, high * 0.12
    neck, cap = (x + wide * 0.32, y + body), (x + wide * 0.24, y + high * 0.84)
    with canvas:
        Color(*(d.DRIFT if gone else d.TIDE))
        if gone:
            Line(rounded_rectangle=(x, y, wide, body, round_), width=1.3)
            Line(rectangle=(*neck, wide * 0.36, high * 0.1), width=1.0)
        else:
            RoundedRectangle(pos=(x, y), size=(wide, body), radius=[round_])
            Rectangle(pos=neck, size=(wide * 0.36, high * 0.1))
        Rectangle(pos=cap, size=(wide * 0.52, high * 0.16))
