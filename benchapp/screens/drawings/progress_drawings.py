"""How far a wait or a list is, and where a value lies in its band."""

from __future__ import annotations

from kivy.graphics import Color, Ellipse, Line, Rectangle

from benchapp.make import view_model as m
from benchapp.screens.display import design as d
from benchapp.screens.drawings.canvas import Canvas
from benchapp.screens.drawings.shapes import polygon


def draw_timer(c: Canvas, p: m.TimerPicture) -> None:
    """Sand running through: the lower heap grows while the upper one goes."""
    share = min(p.elapsed_s / p.total_s, 1.0) if p.total_s else 0.0
    count_h = c.font * 1.8 if p.of else 0
    h = c.height - count_h - 8
    w = min(c.width * 0.7, h * 0.62)
    x, y = c.x + (c.width - w) / 2, c.y + count_h + 4
    middle = y + h / 2

    def half(at: float) -> float:
        return w * 0.06 + w * 0.44 * abs(at - middle) / (h / 2)

    cx = x + w / 2
    Color(*d.WET_SAND)
    polygon([(cx, middle), (x, y), (x + w, y)])
    polygon([(cx, middle), (x, y + h), (x + w, y + h)])
    Color(*d.TIDE)
    up = middle + (h / 2) * (1 - share)
    if share < 1:
        polygon([(cx - w * 0.03, middle), (cx - half(up), up), (cx + half(up), up), (cx + w * 0.03, middle)])
    down = y + (h / 2) * share * 0.9
    if share > 0:
        polygon([(x, y), (cx - half(down), down), (cx + half(down), down), (x + w, y)])
    Color(*d.DRIFT)
    Line(points=[x, y, x + w, y], width=3)
    Line(points=[x, y + h, x + w, y + h], width=3)
    Line(points=[x, y, cx - w * 0.05, middle, x, y + h], width=2)
    Line(points=[x + w, y, cx + w * 0.05, middle, x + w, y + h], width=2)
    for n in range(p.of):
        Color(*(d.TIDE if n < p.count else d.WET_SAND))
        size = min(c.font * 0.9, c.width / max(p.of, 1) * 0.6)
        Rectangle(pos=(c.x + c.width * (n + 0.5) / p.of - size / 2, c.y + 6), size=(size, size))


def draw_list(c: Canvas, p: m.ListPicture) -> None:
    """Pebbles, one for each thing: filled when done."""
    count = max(len(p.items), 1)
    size = min(c.width * 0.5, c.height / count * 0.72)
    for n in range(count):
        y = c.y + c.height - c.height * (n + 0.5) / count - size / 2
        x = c.x + (c.width - size) / 2
        Color(*(d.KELP if n < p.done else d.WET_SAND))
        Ellipse(pos=(x, y), size=(size, size))
        Color(*(d.INK if n == p.done else d.DRIFT))
        Line(ellipse=(x, y, size, size), width=4 if n == p.done else 1.5)
        if n < p.done:
            Color(*d.FOAM)
            Line(points=[x + size * 0.28, y + size * 0.5, x + size * 0.44, y + size * 0.34, x + size * 0.72, y + size * 0.66],
                 width=max(size * 0.05, 1.5))  # fmt: skip


def draw_band(c: Canvas, p: m.BandPicture) -> None:
    """A post with the band on it and a pointer."""
    low, high = p.low, p.high
    reach = max(high - low, 1e-6)
    bottom, top = low - 1.2 * reach, high + 1.2 * reach
    x, w = c.x + c.width * 0.3, c.width * 0.14

    def at(value: float) -> float:
        return c.y + c.font + (c.height - 2 * c.font) * min(max((value - bottom) / (top - bottom), 0.0), 1.0)

    Color(*d.WET_SAND)
    Rectangle(pos=(x, c.y + c.font), size=(w, c.height - 2 * c.font))
    Color(*d.KELP)
    Rectangle(pos=(x, at(low)), size=(w, at(high) - at(low)))
    c.text(c.figure(high, p.unit), x + w + 14, at(high), d.KELP)
    c.text(c.figure(low, p.unit), x + w + 14, at(low), d.KELP)
    if p.value is not None:
        Color(*(d.INK if low <= p.value <= high else d.CORAL))
        y, s = at(p.value), c.font * 0.8
        polygon([(x - 4, y), (x - 4 - s, y + s * 0.6), (x - 4 - s, y - s * 0.6)])
