"""A finished batch in one picture: what it was filled into on a shelf, where its mass went, and what is known of it."""

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
#: How far apart two columns are, and a word and its figure at the least, and how wide a colour's mark is, of the font.
APART, BETWEEN, MARK = 1.5, 0.8, 1.1
#: How full a full container is drawn.
FULL = 0.93

Line = tuple[str, str]


class ShelfPlan(NamedTuple):
    """How it is laid out: the font, how wide the parts are where the facts stand beside them (0: under them), and how high the
    shelf is, in pixels."""

    font: int
    beside: float
    shelf: float


def draw_batch(c: Canvas, p: BatchPicture) -> None:
    """As large as all of it has room for; on a low glass what has no room is counted."""
    plan = next(_plans(c, p), None) or ShelfPlan(round(c.font * 0.81), 0.0, 0.0)
    inner = Canvas(c.x, c.y, c.width, c.height, plan.font, c.figures)
    _batch(inner, p, plan)
    c.texts.extend(inner.texts)


def _plans(c: Canvas, p: BatchPicture) -> Iterator[ShelfPlan]:
    """Those that have room for everything, the best first: with its shelf, then the largest, then with the highest shelf."""
    fonts = [round(c.font * share) for share in (1.8, 1.6, 1.3, 1.15, 1.0, 0.81)]
    shelves = [(font, shelf) for font in fonts for shelf in (HIGHEST, SHELF)] if p.filled_g else []
    for font, shelf in [*shelves, *((font, 0.0) for font in fonts)]:
        one = Canvas(c.x, c.y, c.width, c.height, font, c.figures)
        parts, facts = _needed(one, _parts(one, p), MARK), _needed(one, p.facts)
        beside = parts if parts + facts + APART * font <= c.width else 0.0
        lines = max(len(p.parts), len(p.facts)) if beside else len(p.parts) + len(p.facts)
        spare = c.height - (lines * ROW + BAR + 0.6) * font
        if spare >= shelf * font and max(parts, facts) <= c.width:
            yield ShelfPlan(font, beside, min(spare, HIGHEST * font) if shelf else 0.0)


def _parts(c: Canvas, p: BatchPicture) -> list[Line]:
    return [(what, f"{c.figure(grams, 'g', 1)} g") for what, grams in p.parts]


def _needed(c: Canvas, lines: Sequence[Line], mark: float = 0.0) -> float:
    """How wide they have to be for each to stand on one line, behind its ``mark``."""
    words = (c.width_of(what) + c.width_of(how, bold=True) for what, how in lines)
    return max(words, default=0.0) + (BETWEEN + mark + 0.1) * c.font


def _colours() -> tuple[d.RGB, ...]:
    return (d.KELP, d.TIDE, d.MUSSEL, d.DRIFT, d.SLATE, d.INK)


def _batch(c: Canvas, p: BatchPicture, plan: ShelfPlan) -> None:
    top = c.y + c.height
    if plan.shelf:
        _shelf(c, p, top - plan.shelf, plan.shelf - 0.5 * c.font)
        top -= plan.shelf
    _bar(c, p, top - BAR * c.font)
    top -= (BAR + 0.6) * c.font
    parts, facts = _parts(c, p), p.facts
    colours = [_colours()[n % len(_colours())] for n in range(len(parts))]
    if plan.beside:
        spare = (c.width - APART * c.font - plan.beside - _needed(c, facts)) / 2
        wide = plan.beside + spare
        _lines(c, parts, (c.x, wide, top), colours)
        _lines(c, facts, (c.x + wide + APART * c.font, c.width - wide - APART * c.font, top))
        return
    low = _lines(c, parts, (c.x, c.width, top), colours)
    _lines(c, facts, (c.x, c.width, low))


def _shelf(c: Canvas, p: BatchPicture, low: float, high: float) -> None:
    """The containers side by side, each in the colour of its part; how many there are where not all have room."""
    shape = shape_of(p.container)
    full = max(p.filled_g)
    shares = [(grams / full, d.KELP) for grams in p.filled_g] + (
        [(p.last_g / full, d.TIDE)] if p.last_g else []
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


def _lines(
    c: Canvas, lines: Sequence[Line], place: tuple[float, float, float], colours: Sequence[d.RGB] = ()
) -> float:
    """A line each, with its figure at the right end; what has no room is counted. ``place`` is (left, width, top); returns
    where they end."""
    left, width, top = place
    row = ROW * c.font
    room = max(int((top - c.y) / row + 0.02), 0)
    shown = len(lines) if len(lines) <= room else room - 1
    for n, (what, how) in enumerate(lines[: max(shown, 0)]):
        y, x = top - row * (n + 0.5), left
        if colours:
            Color(*colours[n])
            Rectangle(pos=(left, y - c.font * 0.35), size=(c.font * 0.7, c.font * 0.7))
            x += c.font * MARK
        c.text(what, x, y, d.INK if colours else d.SLATE)
        if c.width_of(what) + c.width_of(how, bold=True) + BETWEEN * c.font < width - (x - left):
            c.text(how, left + width, y, anchor="right", bold=True)
    if shown < len(lines) and room:
        c.text(
            tr("{left} more in More", left=len(lines) - max(shown, 0)),
            left,
            top - row * (room - 0.5),
            d.SLATE,
        )
    return top - row * len(lines)
