"""A container that fills to its band, and those that are done."""

from __future__ import annotations

from kivy.graphics import Color, Line, Rectangle

from benchapp.foundation.language import tr
from benchapp.make import pictures
from benchapp.screens.display import design as d
from benchapp.screens.drawings.canvas import Canvas

#: Words in the name of a container that tell its shape; any other is drawn as a bottle.
SHAPES = {
    "jar": ("jar", "tin", "pot", "tub", "can", "cup", "box", "dish"),
    "tube": ("tube",),
    "mould": ("bar", "mould", "block", "stick"),
}
#: How wide each is drawn, as a share of a bottle, and how high its body, as a share of the place for it.
SIZES = {"bottle": (1.0, 0.78), "tube": (0.9, 0.78), "jar": (1.35, 0.6), "mould": (1.5, 0.4)}


def shape_of(container: str) -> str:
    """As what a container of that name is drawn; a tube is no tub."""
    words = container.casefold()
    if any(word in words for word in SHAPES["tube"]):
        return "tube"
    return next((shape for shape, names in SHAPES.items() if any(word in words for word in names)), "bottle")


def _outline(shape: str, x: float, y: float, w: float, body: float, h: float) -> list[float]:
    """A neck and shoulders, a tube on its cap, a wide jar with its rim, or an open mould."""
    if shape == "mould":
        return [x, y + body, x, y, x + w, y, x + w, y + body]
    if shape == "tube":
        low = y - h * 0.06
        return [x, y + body, x, y, x + w * 0.3, y, x + w * 0.3, low, x + w * 0.7, low, x + w * 0.7, y, x + w, y,
                x + w, y + body]  # fmt: skip
    if shape == "jar":
        rim = y + body + h * 0.06
        return [x, y, x, y + body, x - w * 0.05, y + body, x - w * 0.05, rim, x + w * 1.05, rim, x + w * 1.05, y + body,
                x + w, y + body, x + w, y, x, y]  # fmt: skip
    return [x, y, x, y + body, x + w * 0.3, y + body + h * 0.06, x + w * 0.3, y + h, x + w * 0.7, y + h,
            x + w * 0.7, y + body + h * 0.06, x + w, y + body, x + w, y, x, y]  # fmt: skip


def container_wide(shape: str, high: float) -> float:
    """How wide a container of that shape is drawn in a place of that height."""
    return high * 0.42 * SIZES[shape][0]


def draw_container(shape: str, place: tuple[float, float, float, float], share: float, colour: d.RGB) -> None:
    """A container in a place (left, low, width, height), filled to that share of its body."""
    x, y, w, h = place
    body = h * SIZES[shape][1]
    Color(*d.WET_SAND)
    Rectangle(pos=(x, y), size=(w, body))
    Color(*colour)
    Rectangle(pos=(x, y), size=(w, body * share))
    Color(*d.DRIFT)
    Line(points=_outline(shape, x, y, w, body, h), width=3, joint="round")


def draw_bottles(c: Canvas, p: pictures.BottlesPicture) -> None:
    """The container on the scale, and a row of those that are done."""
    row_h, shape = c.font * 1.6, shape_of(p.container)
    h = c.height - row_h - 10
    w = min(container_wide(shape, h), c.width * 0.42 * SIZES[shape][0], c.width * 0.5)
    x, y = c.x + c.width * 0.1, c.y + row_h + 6 + (h * 0.06 if shape == "tube" else 0.0)
    share = 0.0 if p.net_g is None else min(max(p.net_g / (p.high_g * 1.08), 0.0), 1.0)
    body, net = h * SIZES[shape][1], p.net_g or 0.0
    colour = d.CORAL if net > p.high_g else d.KELP if net >= p.low_g else d.TIDE
    draw_container(shape, (x, y, w, h), share, colour)
    low, high = (y + body * grams / (p.high_g * 1.08) for grams in (p.low_g, p.high_g))
    Color(*d.KELP)
    apart, middle = max(high - low, c.font * 1.35), (low + high) / 2
    over, under = middle + apart / 2 + c.font * 1.2, middle - apart / 2 - c.font * 1.2
    where = over if over + c.font * 0.6 <= c.y + c.height else under
    c.text(tr("good"), x + w + c.font * 0.9, where, d.KELP, bold=True)
    for grams, line, at in ((p.high_g, high, middle + apart / 2), (p.low_g, low, middle - apart / 2)):
        # From its own line to its figure, since two lines may lie nearer than two figures.
        Color(*d.KELP)
        Line(points=[x - 6, line, x + w + 4, line, x + w + c.font * 0.7, at], width=2.2)
        c.text(c.figure(grams, "g", 1), x + w + c.font * 0.9, at, d.KELP, bold=True)
    of = tr(" of {count}", count=p.count) if p.count else ""
    c.text(tr("{count}{of} filled", count=len(p.filled_g), of=of), c.x, c.y + row_h / 2)
