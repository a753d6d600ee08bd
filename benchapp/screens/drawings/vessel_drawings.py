"""A container that fills to its band, and those that are done."""

from __future__ import annotations

from kivy.graphics import Color, Line, Rectangle

from benchapp.make import view_model as m
from benchapp.screens.display import design as d
from benchapp.screens.drawings.canvas import Canvas

#: Words in the name of a container that tell its shape; any other is drawn as a bottle.
JARS = ("jar", "tin", "pot", "tub", "can", "cup", "box", "dish")
MOULDS = ("bar", "mould", "block", "stick")


def _outline(container: str, at: tuple[float, float], size: tuple[float, float], body: float) -> list[float]:
    """What it is filled into: a neck and shoulders, a crimped tube on its cap, a wide jar with its rim, or a mould."""
    (x, y), (w, h), name = at, size, container.casefold()
    if any(word in name for word in MOULDS):
        return [x - w * 0.05, y + body, x, y, x + w, y, x + w * 1.05, y + body]
    if "tube" in name:
        return [x, y + body, x + w * 0.1, y, x + w * 0.9, y, x + w, y + body, x, y + body]
    if any(word in name for word in JARS):
        rim = y + body + h * 0.05
        return [x, y, x, y + body, x - w * 0.06, y + body, x - w * 0.06, rim, x + w * 1.06, rim, x + w * 1.06, y + body,
                x + w, y + body, x + w, y, x, y]  # fmt: skip
    return [x, y, x, y + body, x + w * 0.3, y + body + h * 0.06, x + w * 0.3, y + h, x + w * 0.7, y + h,
            x + w * 0.7, y + body + h * 0.06, x + w, y + body, x + w, y, x, y]  # fmt: skip


def draw_bottles(c: Canvas, p: m.BottlesPicture) -> None:
    """The container on the scale, and a row of those that are done."""
    row_h = c.font * 1.6
    h = c.height - row_h - 10
    w = min(c.width * 0.42, h * 0.42)
    x, y = c.x + c.width * 0.1, c.y + row_h + 6
    share = 0.0 if p.net_g is None else min(max(p.net_g / (p.high_g * 1.08), 0.0), 1.0)
    body = h * 0.78
    Color(*d.WET_SAND)
    Rectangle(pos=(x, y), size=(w, body))
    if p.net_g is not None and p.net_g > 0:
        Color(*(d.CORAL if p.net_g > p.high_g else d.KELP if p.net_g >= p.low_g else d.TIDE))
        Rectangle(pos=(x, y), size=(w, body * share))
    Color(*d.DRIFT)
    Line(points=_outline(p.container, (x, y), (w, h), body), width=3, joint="round")
    low, high = (y + body * grams / (p.high_g * 1.08) for grams in (p.low_g, p.high_g))
    Color(*d.KELP)
    for line in (low, high):
        Line(points=[x - 6, line, x + w + c.font * 0.6, line], width=2.2)
    apart, middle = max(high - low, c.font * 1.35), (low + high) / 2
    for grams, at in ((p.high_g, middle + apart / 2), (p.low_g, middle - apart / 2)):
        c.text(c.figure(grams, "g", 1), x + w + c.font * 0.8, at, d.KELP, bold=True)
    of = f" of {p.count}" if p.count else ""
    c.text(f"{len(p.filled_g)}{of} filled", c.x, c.y + row_h / 2)
