"""A finished batch in one picture: what it was filled into on a shelf, and where its mass went."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from kivy.graphics import Color, Rectangle

from benchapp.foundation.language import tr
from benchapp.make.pictures import BatchPicture
from benchapp.screens.display import design as d
from benchapp.screens.drawings.canvas import Canvas
from benchapp.screens.drawings.vessel_drawings import container_wide, draw_container, shape_of

#: A row of words, the bar of the mass, and the least and most a shelf is high, as multiples of the font.
ROW, BAR, SHELF, HIGHEST = 1.35, 1.3, 4.0, 9.0
#: How far apart a word and its figure are at the least, and how wide a colour's mark is, of the font.
BETWEEN, MARK = 0.8, 1.1
#: How full a full container is drawn.
FULL = 0.93

Line = tuple[str, str]


class ShelfPlan(NamedTuple):
    """How it is laid out: the font, and how high the shelf is, in pixels."""

    font: int
    shelf: float


def draw_batch(c: Canvas, p: BatchPicture) -> None:
    """As large as all of it has room for; on a low glass what has no room is counted."""
    plan = next(_plans(c, p), None) or ShelfPlan(round(c.font * 0.81), 0.0)
    inner = Canvas(c.x, c.y, c.width, c.height, plan.font, c.figures)
    _batch(inner, p, plan)
    c.texts.extend(inner.texts)


def _plans(c: Canvas, p: BatchPicture) -> Iterator[ShelfPlan]:
    """Those that have room for everything, the best first: with its shelf, then the largest, then with the highest shelf."""
    fonts = [round(c.font * share) for share in (1.8, 1.6, 1.3, 1.15, 1.0, 0.81)]
    shelves = [(font, shelf) for font in fonts for shelf in (HIGHEST, SHELF)] if p.filled_g else []
    for font, shelf in [*shelves, *((font, 0.0) for font in fonts)]:
        one = Canvas(c.x, c.y, c.width, c.height, font, c.figures)
        spare = c.height - (len(p.parts) * ROW + BAR + 0.6) * font
        if spare >= shelf * font and _needed(one, _parts(one, p)) <= c.width:
            yield ShelfPlan(font, min(spare, HIGHEST * font) if shelf else 0.0)


def _parts(c: Canvas, p: BatchPicture) -> list[Line]:
    return [(what, f"{c.figure(grams, 'g', 1)} g") for what, grams in p.parts]


def _needed(c: Canvas, lines: Sequence[Line]) -> float:
    """How wide they have to be for each to stand on one line, behind its mark."""
    words = (c.width_of(what) + c.width_of(how, bold=True) for what, how in lines)
    return max(words, default=0.0) + (BETWEEN + MARK + 0.1) * c.font


def _colours() -> tuple[d.RGB, ...]:
    return (d.KELP, d.mixed(d.KELP, d.SAND, 0.55), d.MUSSEL, d.DRIFT, d.SLATE, d.INK)


def _batch(c: Canvas, p: BatchPicture, plan: ShelfPlan) -> None:
    top = c.y + c.height
    if plan.shelf:
        _shelf(c, p, top - plan.shelf, plan.shelf - 0.5 * c.font)
        top -= plan.shelf
    _bar(c, p, top - BAR * c.font)
    top -= (BAR + 0.6) * c.font
    parts = _parts(c, p)
    colours = [_colours()[n % len(_colours())] for n in range(len(parts))]
    _lines(c, parts, top, colours)


def _shelf(c: Canvas, p: BatchPicture, low: float, high: float) -> None:
    """The containers side by side, each in the colour of its part; how many there are where not all have room."""
    shape = shape_of(p.container)
    full = max(p.filled_g)
    shares = [(grams / full, d.KELP) for grams in p.filled_g] + (
        [(p.last_g / full, _colours()[1])] if p.last_g else []
    )
    high = min(high, c.width * 0.5)
    wide = container_wide(shape, high)
    step = min(wide * 1.5, c.width / len(shares))
    if step < wide * 1.15:  # fewer, and how many there are
        step = wide * 1.3
        room = int((c.width - 4 * c.font) / step)
        shares = shares[: max(room, 1)]
        c.text(
            tr("{count} in all", count=len(p.filled_g)),
            c.x + c.width,
            low + high / 2,
            anchor="right",
            bold=True,
        )
    foot = high * 0.06 if shape == "tube" else 0.0
    for n, (share, colour) in enumerate(shares):
        place = (c.x + step * n + wide * 0.08, low + foot, wide, high - foot - 4)
        draw_container(shape, place, min(share, 1.0) * FULL, colour)


def _bar(c: Canvas, p: BatchPicture, low: float) -> None:
    """Everything that went in, as parts of one bar."""
    whole, x = max(p.went_in_g, 1e-6), c.x
    for n, (_, grams) in enumerate(p.parts):
        wide = c.width * max(grams, 0.0) / whole
        Color(*_colours()[n % len(_colours())])
        Rectangle(pos=(x, low), size=(max(wide - 2, 1), c.font * BAR))
        x += wide


def _lines(c: Canvas, lines: Sequence[Line], top: float, colours: Sequence[d.RGB]) -> None:
    """A line each behind its colour, with its figure at the right end; what has no room is counted."""
    row = ROW * c.font
    room = max(int((top - c.y) / row + 0.02), 0)
    shown = len(lines) if len(lines) <= room else max(room - 1, 0)
    for n, (what, how) in enumerate(lines[:shown]):
        y, x = top - row * (n + 0.5), c.x + c.font * MARK
        Color(*colours[n])
        Rectangle(pos=(c.x, y - c.font * 0.35), size=(c.font * 0.7, c.font * 0.7))
        c.text(what, x, y, d.INK)
        if c.width_of(what) + c.width_of(how, bold=True) + (BETWEEN + MARK) * c.font < c.width:
            c.text(how, c.x + c.width, y, anchor="right", bold=True)
    if shown < len(lines) and room:
        c.text(tr("{left} more in More", left=len(lines) - shown), c.x, top - row * (room - 0.5), d.SLATE)
