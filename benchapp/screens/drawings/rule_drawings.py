"""The long rule: what is measured or waited for lies along it, with the band cut out and its two limits beneath."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

from kivy.graphics import Color, Line, Rectangle

from benchapp.foundation.band import Band
from benchapp.foundation.language import tr
from benchapp.make import pictures
from benchapp.screens.display import design as d
from benchapp.screens.drawings.canvas import Canvas
from benchapp.screens.drawings.shapes import draw_shape, polygon

#: How thick the rest of such a rule is against that part, and how far its two cuts stand from their middle, in pixels.
SLIM, CUT = 0.5, 4.0
#: Where on a rule the part lies that is drawn wider, and how narrow a band wants it, as shares of the rule.
NEAR, NARROW = (0.52, 0.94), 0.12


def rule_high(font: float) -> float:
    """How high a rule with its labels is."""
    return font * 2.5


@dataclass(frozen=True, slots=True)
class LongRule:
    """Where the rule lies, and how a value becomes a place on it. ``near``: between these two values it is drawn wider, where the
    band would be too narrow to see the pointer in it."""

    c: Canvas
    low: float
    high: float
    near: tuple[float, float] | None = None

    @property
    def bottom(self) -> float:
        """The lower edge of the bar."""
        return self.c.y + self.c.font * 1.2

    @property
    def thick(self) -> float:
        """How thick the bar is."""
        return self.c.font * 0.95

    def at(self, value: float) -> float:
        """The place of a value, kept on the rule."""
        wider = () if self.near is None else tuple(zip(self.near, NEAR, strict=True))
        for (a, x), (b, y) in pairwise(((self.low, 0.0), *wider, (self.high, 1.0))):
            if value <= b:
                return self.c.x + self.c.width * (x + (y - x) * max(value - a, 0.0) / max(b - a, 1e-9))
        return self.c.x + self.c.width

    def bar(self, start: float, end: float, colour: d.RGB, alpha: float = 1.0) -> None:
        """A part of the bar, between two values."""
        Color(*colour, alpha)
        stops = (self.low, *(self.near or ()), self.high)
        for n, (a, b) in enumerate(pairwise(stops)):
            left, right = self.at(min(max(start, a), b)), self.at(min(max(end, a), b))
            thin = self.thick * (1.0 - SLIM) / 2 if self.near is not None and n != 1 else 0.0
            if right > left:
                Rectangle(pos=(left, self.bottom + thin), size=(right - left, self.thick - 2 * thin))

    def breaks(self) -> None:
        """Where its scale changes: cut through, as a broken axis is drawn."""
        Color(*d.SAND)
        for x in map(self.at, self.near or ()):
            for n in (-1, 1):
                low, high = self.bottom - 2, self.bottom + self.thick + 2
                Line(points=[x + n * CUT - CUT, low, x + n * CUT + CUT, high], width=1.6)

    def track(self) -> None:
        """The whole of it, empty."""
        self.bar(self.low, self.high, d.WET_SAND)

    def gate(
        self, low: float, high: float, label: Callable[[float], str], words: str = pictures.GOOD
    ) -> None:
        """The band: two posts that reach over the bar, and what they stand for."""
        left, right = self.at(low), max(self.at(high), self.at(low) + 8)
        over = self.thick * 0.16
        Color(*d.KELP)
        for x in (left, right):
            Rectangle(pos=(x - 2, self.bottom - 4), size=(4, self.thick + over + 4))
        for y in (self.bottom - 4, self.bottom + self.thick + over - 4):
            Rectangle(pos=(left, y), size=(right - left, 4))
        y = self.c.y + self.c.font * 0.56
        limits = tr(words, low=label(low), high=label(high))
        wide = self.c.width_of(limits, bold=True)
        start = min(max((left + right - wide) / 2, self.c.x), self.c.x + self.c.width - wide)
        self.c.text(limits, start, y, d.KELP, bold=True)

    def mark(self, value: float, colour: d.RGB) -> None:
        """A pointer on the bar, at its ends whole within it."""
        s = self.thick * 0.36
        x = min(max(self.at(value), self.c.x + s), self.c.x + self.c.width - s)
        Color(*colour)
        Rectangle(pos=(x - 2.5, self.bottom), size=(5, self.thick))
        polygon([(x, self.bottom + self.thick * 0.9), (x - s, self.bottom + self.thick + s), (x + s, self.bottom + self.thick + s)])  # fmt: skip

    def under(self, words: str, colour: d.RGB | None = None) -> None:
        """Words beneath its beginning."""
        self.c.text(words, self.c.x, self.c.y + self.c.font * 0.65, colour)


def rule_of(c: Canvas, p: pictures.VesselPicture) -> LongRule:
    """The rule along which that vessel fills, in grams."""
    wide = p.high_g - p.low_g
    near = (p.low_g - wide, p.high_g + wide) if wide < NARROW * p.scale_top_g else None
    return LongRule(c, 0.0, p.scale_top_g, near)


def draw_vessel(c: Canvas, p: pictures.VesselPicture) -> None:
    """What is poured, along the rule, into its band; paler, up to where it lands when the pouring stops now, once that is in it."""
    rule = rule_of(c, p)
    rule.track()
    net = max(p.net_g or 0.0, 0.0)
    over = net > p.high_g
    rule.bar(0.0, net, d.CORAL if over else d.KELP if net >= p.low_g else d.TIDE)
    if p.landing_g is not None and p.net_g is not None and p.landing_g > max(net, p.low_g):
        rule.bar(net, p.landing_g, d.TIDE, 0.45)
    rule.breaks()
    rule.mark(net, d.INK)
    digits = 2 if p.target_g < 20 else 1
    rule.gate(p.low_g, p.high_g, lambda g: c.figure(g, "g", digits))


def draw_timer(c: Canvas, p: pictures.TimerPicture) -> None:
    """Time along the rule; bursts as parts of it."""
    rule = LongRule(c, 0.0, max(p.total_s, 1e-6))
    rule.track()
    rule.bar(0.0, min(p.elapsed_s, p.total_s), d.TIDE)
    if p.label != "ready":  # it runs, from its first second on
        rule.mark(min(p.elapsed_s, p.total_s), d.INK)
    for n in range(p.of):
        side = c.font * 0.9
        name = "tick" if n < p.count else "dot"
        draw_shape(name, c.x + n * side * 1.5, c.y + c.font * 0.2, side, d.KELP if n < p.count else d.DRIFT)
    whole = "" if p.of else _time(p.total_s)  # a burst's seconds are counted down above it
    wide = c.width_of(whole)
    if p.of and p.of * c.font * 1.4 + wide < c.width:
        words = tr("{count} of {of} bursts done", count=p.count, of=p.of)
        if p.of * c.font * 1.4 + c.width_of(words) + wide + c.font < c.width:
            c.text(words, c.x + p.of * c.font * 1.4, c.y + c.font * 0.65)
    c.text(whole, c.x + c.width, c.y + c.font * 0.65, d.SLATE, "right")


def _time(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 90 else tr("{seconds:.0f} min", seconds=seconds / 60)


def draw_band(c: Canvas, p: pictures.BandPicture) -> None:
    """A value against its band."""
    reach = max(p.high - p.low, 1e-6)
    rule = LongRule(c, p.low - 1.2 * reach, p.high + 1.2 * reach)
    rule.track()
    rule.bar(p.low, p.high, d.KELP, 0.3)
    digits = (
        0
        if p.unit == "g" and p.low > 100
        else 1
        if round(p.low, 1) == p.low and round(p.high, 1) == p.high
        else None
    )
    rule.gate(p.low, p.high, lambda v: c.figure(v, p.unit, digits), p.words)
    if p.value is not None:
        rule.mark(p.value, d.INK if Band(p.low, p.high).holds(p.value) else d.CORAL)


def draw_list(c: Canvas, p: pictures.ListPicture) -> None:
    """A part of the rule for each thing: done, now, still to come."""
    count = max(len(p.items), 1)
    rule = LongRule(c, 0.0, float(count))
    for n in range(count):
        rule.bar(n + 0.02, n + 0.98, d.KELP if n < p.done else d.WET_SAND)
        if n == p.done:
            Color(*d.INK)
            left = rule.at(n + 0.02)
            Line(rectangle=(left, rule.bottom, rule.at(n + 0.98) - left, rule.thick), width=2.5)
    rule.under(tr("Task {done} of {count} in this step", done=min(p.done + 1, count), count=count))
