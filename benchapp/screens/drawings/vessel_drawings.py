"""Vessels and bottles that fill to a band."""

from __future__ import annotations

from kivy.graphics import Color, Line, Rectangle

from benchapp.make import view_model as m
from benchapp.screens.display import design as d
from benchapp.screens.drawings.canvas import Canvas, vessel_outline


def draw_vessel(c: Canvas, p: m.VesselPicture) -> None:
    """A vessel that fills to a band: the band is a gap in the wall's scale, the water rises into it."""
    label = c.font * 1.4
    width = min(c.width * 0.56, c.height * 0.7)
    height = c.height - label * 0.4
    x, y = c.x + c.width * 0.06 + width * 0.06, c.y + 4
    top = p.scale_top_g
    level = height * 0.94

    def at(grams: float) -> float:
        return y + level * min(max(grams / top, 0.0), 1.0)

    Color(*d.WET_SAND)
    Rectangle(pos=(x, y), size=(width, level))
    if p.net_g is not None and p.net_g > 0:
        over = p.net_g > p.high_g
        Color(*(d.CORAL if over else d.KELP if p.net_g >= p.low_g else d.TIDE))
        Rectangle(pos=(x, y), size=(width, at(p.net_g) - y))
    low, high = at(p.low_g), max(at(p.high_g), at(p.low_g) + 6)
    Color(*d.KELP)
    for edge in (low, high):
        Line(points=[x - 4, edge, x + width + c.font * 0.7, edge], width=2.0)
    Color(*d.KELP, 0.25)
    Rectangle(pos=(x, low), size=(width, high - low))
    if p.landing_g is not None and p.net_g is not None and p.landing_g > p.net_g:
        Color(*d.INK)
        mark = at(p.landing_g)
        Line(points=[x + width * 0.15, mark, x + width * 0.85, mark], width=2.0)
    vessel_outline(c, x, y, width, height)
    right = x + width + c.font * 0.9
    digits = 2 if p.target_g < 20 else 1
    gap = max((high - low) / 2, c.font * 0.75)
    middle = (low + high) / 2
    c.text(c.figure(p.high_g, "g", digits), right, middle + gap, d.KELP)
    c.text(c.figure(p.low_g, "g", digits), right, middle - gap, d.KELP)


def draw_bottles(c: Canvas, p: m.BottlesPicture) -> None:
    """The bottle on the scale, and a row of those that are done."""
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
    Line(points=[x, y, x, y + body, x + w * 0.3, y + body + h * 0.06, x + w * 0.3, y + h, x + w * 0.7, y + h,
                 x + w * 0.7, y + body + h * 0.06, x + w, y + body, x + w, y, x, y], width=3, joint="round")  # fmt: skip
    line = y + body * p.target_g / (p.high_g * 1.08)
    Color(*d.KELP)
    Line(points=[x - 6, line, x + w + c.font, line], width=2.2)
    c.text(c.figure(p.target_g, "g", 1), x + w + c.font * 1.2, line, d.KELP)
    of = f" of {p.count}" if p.count else ""
    c.text(f"{len(p.filled_g)}{of} filled", c.x, c.y + row_h / 2)
