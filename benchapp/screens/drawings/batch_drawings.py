"""What explains a batch in the making: one vessel poured into another, and a titration."""

from __future__ import annotations

from collections.abc import Callable

from kivy.graphics import Color, Line, Rectangle

from benchapp.foundation.language import tr
from benchapp.make import pictures
from benchapp.screens.display import design as d
from benchapp.screens.drawings.canvas import Canvas, vessel_outline
from benchapp.screens.drawings.chart import ticks
from benchapp.screens.drawings.shapes import polygon

#: From this on a vessel is drawn hot, in °C: bare metal burns within seconds (ISO 13732-1, from memory).
HOT_C = 60.0
#: From a value to its place in pixels.
Place = Callable[[float], float]


def draw_pour_over(c: Canvas, p: pictures.PourOverPicture) -> None:
    """Two named pots and the arrow; below them the gap of their temperatures against its limit."""
    gap_h = c.font * 2.6 if p.within_k is not None else 0.0
    names = sum(c.width_of(name, bold=True) for name in (p.source, p.into)) + c.font
    below = 1.5 if names < c.width * 0.8 else 2.8  # one under the other where they are long
    base, high = c.y + gap_h + c.font * below, c.height - gap_h - c.font * (below + 1.5)
    wide = min(c.width * 0.36, high * 0.9)
    left, right = c.x + c.width * 0.04, c.x + c.width * 0.96 - wide
    for x, name, temp, colour in (
        (left, p.source, p.source_c, d.curve_colour(1)),
        (right, p.into, p.into_c, d.curve_colour(0)),
    ):
        tall = high * 0.5
        Color(*colour)
        Rectangle(pos=(x, base), size=(wide, tall * 0.6))
        vessel_outline(c, x, base, wide, tall)
        under = 0.75 if below < 2 or x == left else 2.0
        c.text(name, x + wide / 2, base - c.font * under, anchor="centre", bold=True)
        if temp is not None and temp >= HOT_C:
            _steam(x, base + tall, wide, high * 0.2)
    _arrow(c, left + wide / 2, right + wide / 2, base + high * 0.74, high * 0.24)
    hot = any(t is not None and t >= HOT_C for t in (p.source_c, p.into_c))
    if hot and c.width_of(tr("hot handles"), bold=True) < c.width:
        c.text(
            tr("hot handles"), c.x + c.width / 2, c.y + c.height - c.font * 0.7, d.INK, "centre", bold=True
        )
    if p.within_k is not None:
        _gap(c, p, p.within_k)


def _steam(x: float, y: float, wide: float, high: float) -> None:
    Color(*d.DRIFT)
    for n in range(3):
        left = x + wide * (0.25 + 0.25 * n)
        Line(bezier=[left, y, left - wide * 0.08, y + high * 0.35, left + wide * 0.08, y + high * 0.6, left, y + high],
             width=2.0)  # fmt: skip


def _arrow(c: Canvas, start: float, end: float, y: float, drop: float) -> None:
    """From the mouth of one over into the other."""
    Color(*d.INK)
    Line(bezier=[start, y, start, y + drop, end, y + drop, end, y], width=5)
    s = c.font * 0.55
    polygon([(end, y - s * 1.3), (end - s, y), (end + s, y)])


def _gap(c: Canvas, p: pictures.PourOverPicture, within_k: float) -> None:
    """The gap as a rule: how far apart they are of how far they may be."""
    top = max(within_k * 1.6, (p.gap_k or 0.0) * 1.05)
    y, high = c.y + c.font * 1.45, c.font * 0.8
    Color(*d.WET_SAND)
    Rectangle(pos=(c.x, y), size=(c.width, high))
    if p.gap_k is not None:
        Color(*(d.KELP if p.gap_k <= within_k else d.CORAL))
        Rectangle(pos=(c.x, y), size=(max(c.width * p.gap_k / top, 3), high))
    x = c.x + c.width * within_k / top
    Color(*d.INK)
    Line(points=[x, y - 6, x, y + high + 6], width=2.5)
    gap = tr("gap not known") if p.gap_k is None else tr("{kelvin} apart", kelvin=c.kelvin(p.gap_k))
    most = tr("most {kelvin}", kelvin=c.kelvin(within_k))
    c.text(gap, c.x, c.y + c.font * 0.65, bold=True)
    if c.width_of(gap, bold=True) + c.width_of(most) + c.font < c.width:
        c.text(most, c.x + c.width, c.y + c.font * 0.65, d.SLATE, "right")


def draw_titration(c: Canvas, p: pictures.TitrationPicture) -> None:
    """pH over the grams that went in, the window, and where the next addition should bring it."""
    added = [grams for grams, _ in p.points]
    so_far = added[-1] if added else 0.0
    most = max(so_far + (p.next_g or 0.0), 1e-3) * 1.15
    values = [ph for _, ph in p.points] + [v for v in (p.next_low, p.next_high) if v is not None]
    low, high = min([*values, p.low]) - 0.4, max([*values, p.high]) + 0.4
    left, right = c.x + c.font * 1.9, c.x + c.width - 6
    bottom, top = c.y + c.font * 2.75, c.y + c.height - c.font * 0.7

    def px(grams: float) -> float:
        return left + c.font * 0.4 + (right - left - c.font * 0.8) * grams / most

    def py(ph: float) -> float:
        return bottom + (top - bottom) * (ph - low) / (high - low)

    Color(*d.KELP, 0.25)
    Rectangle(pos=(left, py(p.low)), size=(right - left, py(p.high) - py(p.low)))
    Color(*d.DRIFT)
    Line(points=[left, top, left, bottom, right, bottom], width=1.3)
    apart = max(py(p.high) - py(p.low), c.font * 1.3)
    middle = (py(p.high) + py(p.low)) / 2
    for value, y in ((p.high, middle + apart / 2), (p.low, middle - apart / 2)):
        c.text(c.figure(value, "pH"), left - 6, y, d.KELP, "right", bold=True)
    _grams(c, most, px, bottom)
    c.text(tr("g added"), right, c.y + c.font * 0.6, d.SLATE, "right")
    Color(*d.INK)
    if len(p.points) > 1:
        Line(points=[v for grams, ph in p.points for v in (px(grams), py(ph))], width=2.6)
    for grams, ph in p.points:
        Line(circle=(px(grams), py(ph), c.font * 0.2), width=3)
    if p.next_g is not None and p.points:
        _next(c, p, (px(so_far), py(p.points[-1][1])), px(so_far + p.next_g), py)


def _grams(c: Canvas, most: float, px: Place, bottom: float) -> None:
    """Round amounts under the axis."""
    scale = 10.0 if most < 3 else 1.0
    shown = [value / scale for value in ticks(0.0, most * scale, 3)]
    for grams in shown:
        c.text(
            c.figure(grams, "g", 1 if scale > 1 else 0), px(grams), bottom - c.font * 0.88, d.SLATE, "centre"
        )


def _next(c: Canvas, p: pictures.TitrationPicture, here: tuple[float, float], x: float, py: Place) -> None:
    """The next addition as a dashed line to the range it should bring."""
    low, high = p.next_low, p.next_high
    y = py((low + high) / 2) if low is not None and high is not None else here[1]
    Color(*d.MUSSEL)
    Line(points=[*here, x, y], width=2.2, dash_length=7, dash_offset=6)
    if low is not None and high is not None:
        Line(points=[x, py(low), x, py(high)], width=4)
        for end in (low, high):
            Line(points=[x - 9, py(end), x + 9, py(end)], width=3)
