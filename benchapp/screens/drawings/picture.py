"""One widget that draws whatever picture the moment has; labels are laid beside the shapes, never inside them."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from itertools import pairwise
from typing import Any

from kivy.core.text import Label as CoreLabel
from kivy.graphics import Color, Ellipse, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.make import moment as m
from benchapp.screens import design as d
from benchapp.screens.drawings.shapes import polygon
from benchapp.screens.figures import Figures

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
        self, words: str, x: float, y: float, colour: d.RGB = d.INK, anchor: str = "left", bold: bool = False
    ) -> tuple[float, float]:
        """Draw words with their vertical middle at y; anchored left, centre or right at x. Returns their size."""
        texture = _texture(words, self.font, bold)
        width, height = texture.size
        left = x - {"left": 0.0, "centre": width / 2, "right": width}[anchor]
        left = min(max(left, self.x), self.x + self.width - width)
        low = min(max(y - height / 2, self.y), self.y + self.height - height)
        Color(*colour)
        Rectangle(texture=texture, pos=(left, low), size=(width, height))
        self.texts.append((words, left, low, width, height))
        return float(width), float(height)

    def figure(self, value: float, unit: str, decimals: int | None = None) -> str:
        """A value of that unit as figures are written here; without decimals as short as it goes."""
        shown = self.figures.limit(value, unit)
        return self.figures.number(f"{round(shown, 2):g}" if decimals is None else f"{shown:.{decimals}f}")

    def width_of(self, words: str, bold: bool = False) -> float:
        """How wide these words would be."""
        return float(_texture(words, self.font, bold).size[0])


@lru_cache(maxsize=64)
def _texture(words: str, font: int, bold: bool) -> Any:
    """Words as a texture; most labels of a drawing stay the same from frame to frame."""
    label = CoreLabel(text=words, font_size=font, bold=bold)
    label.refresh()
    return label.texture


class Drawing(Widget):
    """The picture of the moment. ``font`` is the size of its labels, ``figures`` how numbers are written."""

    def __init__(self, font: int, figures: Figures = PLAIN) -> None:
        super().__init__(size_hint=(None, None))
        self.font, self.figures = font, figures
        self.picture: m.Picture = None
        self.texts: list[tuple[str, float, float, float, float]] = []
        self._drawn: tuple[Any, ...] = ()

    def show(self, picture: m.Picture) -> None:
        """Draw it, if it or the place for it changed."""
        key = (picture, tuple(self.pos), tuple(self.size))
        if key == self._drawn:
            return
        self._drawn, self.picture = key, picture
        self.canvas.clear()
        draw = DRAWINGS.get(type(picture))
        if draw is None:
            self.texts = []
            return
        with self.canvas:
            place = Canvas(self.x, self.y, self.width, self.height, self.font, self.figures)
            draw(place, picture)
        self.texts = place.texts


def vessel_outline(c: Canvas, x: float, y: float, width: float, height: float, line: float = 3.0) -> None:
    """The wall of an open vessel with a small lip."""
    Color(*d.DRIFT)
    lip = width * 0.06
    Line(points=[x - lip, y + height, x, y + height - lip, x, y + 6, x + 6, y, x + width - 6, y, x + width, y + 6,
                 x + width, y + height - lip, x + width + lip, y + height], width=line, joint="round", cap="round")  # fmt: skip


def _vessel(c: Canvas, p: m.VesselPicture) -> None:
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


def _heat(c: Canvas, p: m.HeatPicture) -> None:
    """Vessels in one bath, each with its own thermometer against the band."""
    count = max(len(p.vessels), 1)
    hold_h = c.font * 2.4 if p.hold_s else 0
    bath_h = (c.height - hold_h) * 0.5
    base = c.y + hold_h
    Color(*d.TIDE, 0.28)
    Rectangle(pos=(c.x + c.width * 0.06, base), size=(c.width * 0.88, bath_h))
    vessel_outline(c, c.x + c.width * 0.06, base, c.width * 0.88, bath_h + 4, 2.0)
    cell = c.width * 0.86 / count
    # Where names have no room, they stand above the readings beside, in the same order.
    named = all(c.width_of(name, bold=True) < cell - c.font * 0.3 for name, _, _ in p.vessels)
    name_h = c.font * 1.35 if named else 0.0
    for n, (name, temp, inside) in enumerate(p.vessels):
        width = min(cell * 0.5, (c.height - hold_h) * 0.6)
        x = c.x + c.width * 0.08 + cell * n + cell * 0.12
        y = base + 8
        height = c.height - hold_h - name_h - 16
        Color(*(d.KELP if inside else d.MUSSEL))
        Rectangle(pos=(x, y), size=(width, height * 0.62))
        vessel_outline(c, x, y, width, height)
        _thermometer(c, x + width + cell * 0.1, y, cell * 0.09, height, temp, p)
        if named:
            c.text(name, x, c.y + c.height - name_h / 2, bold=True)
    if p.hold_s:
        Color(*d.WET_SAND)
        Rectangle(pos=(c.x, c.y + c.font * 1.35), size=(c.width, c.font * 0.6))
        Color(*d.KELP)
        Rectangle(
            pos=(c.x, c.y + c.font * 1.35), size=(c.width * min(p.held_s / p.hold_s, 1.0), c.font * 0.6)
        )
        c.text(f"held {_minutes(p.held_s)} of {_minutes(p.hold_s)} min", c.x, c.y + c.font * 0.65)


def _thermometer(
    c: Canvas, x: float, y: float, width: float, height: float, temp: float | None, p: m.HeatPicture
) -> None:
    cold, hot = 15.0, max(p.over_c + 3, p.high_c + 8)

    def at(value: float) -> float:
        return y + height * min(max((value - cold) / (hot - cold), 0.0), 1.0)

    Color(*d.WET_SAND)
    Rectangle(pos=(x, y), size=(width, height))
    Color(*d.KELP)
    Line(rectangle=(x - 3, at(p.low_c), width + 6, at(p.high_c) - at(p.low_c)), width=2)
    Color(*d.CORAL)
    Line(points=[x - 3, at(p.over_c), x + width + 3, at(p.over_c)], width=2, dash_length=6, dash_offset=4)
    if temp is not None:
        Color(*(d.CORAL if temp >= p.over_c else d.KELP if temp >= p.low_c else d.MUSSEL))
        Rectangle(pos=(x, y), size=(width, at(temp) - y))


def _minutes(seconds: float) -> str:
    return f"{seconds / 60:.0f}"


def _cool(c: Canvas, p: m.CoolPicture) -> None:
    """The curve so far, the threshold, and the forecast as a fan."""
    axis = c.font * 1.5
    fan = p.fan[-1][0] if p.fan else 0.0
    past = min((t for t, _ in p.curve), default=-600.0)
    span_l, span_r = max(-past, 300.0), max(fan * 1.1, 900.0)
    temps = [t for _, t in p.curve] or [p.temp_c or 75.0]
    top = max(*temps, p.below_c + 10) + 2 if temps else 80.0
    bottom = min(p.below_c - 12, p.not_below_c - 2 if p.not_below_c is not None else p.below_c - 12)
    left, right = c.x + c.font * 2.2, c.x + c.width - 4

    def px(t: float) -> float:
        return left + (right - left) * (t + span_l) / (span_l + span_r)

    def py(value: float) -> float:
        return c.y + axis + (c.height - axis - 6) * min(max((value - bottom) / (top - bottom), 0.0), 1.0)

    Color(*d.KELP, 0.18)
    floor = p.not_below_c if p.not_below_c is not None else bottom
    Rectangle(pos=(left, py(floor)), size=(right - left, py(p.below_c) - py(floor)))
    Color(*d.KELP)
    Line(points=[left, py(p.below_c), right, py(p.below_c)], width=2.2)
    c.text(c.figure(p.below_c, "°C"), left - 8, py(p.below_c), d.KELP, "right", bold=True)
    if p.fan:
        now = p.temp_c if p.temp_c is not None else temps[-1]
        points = [(0.0, now, now), *p.fan]
        Color(*d.MUSSEL, 0.3)
        for (t1, a1, b1), (t2, a2, b2) in pairwise(points):
            Line(
                points=[px(t1), py((a1 + b1) / 2), px(t2), py((a2 + b2) / 2)],
                width=max((py(b2) - py(a2)) / 2, 1.5),
            )
    if len(p.curve) > 1:
        Color(*d.INK)
        flat = [v for t, temp in p.curve[:: max(len(p.curve) // 300, 1)] for v in (px(t), py(temp))]
        if p.temp_c is not None:
            flat += [px(0.0), py(p.temp_c)]
        Line(points=flat, width=2.4)
    Color(*d.DRIFT)
    Line(points=[px(0), c.y + axis, px(0), c.y + c.height - 6], width=1.2, dash_length=5, dash_offset=5)
    c.text("now", px(0), c.y + axis * 0.5, d.SLATE, "centre")


def _timer(c: Canvas, p: m.TimerPicture) -> None:
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


def _list(c: Canvas, p: m.ListPicture) -> None:
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


def _band(c: Canvas, p: m.BandPicture) -> None:
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


def _bottles(c: Canvas, p: m.BottlesPicture) -> None:
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


DRAWINGS: dict[type, Callable[[Canvas, Any], None]] = {
    m.VesselPicture: _vessel, m.HeatPicture: _heat, m.CoolPicture: _cool, m.TimerPicture: _timer,
    m.ListPicture: _list, m.BandPicture: _band, m.BottlesPicture: _bottles,
}  # fmt: skip
