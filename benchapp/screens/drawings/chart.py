"""Axes for a curve over time: minutes below, degrees at the left, at round numbers a person can read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from kivy.graphics import Color, Line, Mesh

from benchapp.screens.display import design as d
from benchapp.screens.drawings.canvas import Canvas

#: Steps between ticks that read well.
STEPS = (1.0, 2.0, 5.0, 10.0, 15.0, 20.0, 30.0, 60.0, 120.0)
#: A curve is drawn with no more points than this.
MOST_POINTS = 300


@dataclass(frozen=True, slots=True)
class Chart:
    """A time range in seconds against a range of values, inside a canvas; ``foot`` px of it are for the axis."""

    c: Canvas
    from_s: float
    to_s: float
    low: float
    high: float

    @property
    def left(self) -> float:
        """Where the curve may begin."""
        return self.c.x + self.c.font * 1.7

    @property
    def right(self) -> float:
        """Where it ends."""
        return self.c.x + self.c.width - 4

    @property
    def bottom(self) -> float:
        """The axis."""
        return self.c.y + self.c.font * 2.75

    @property
    def top(self) -> float:
        """The upper end."""
        return self.c.y + self.c.height - self.c.font * 0.7

    def px(self, at_s: float) -> float:
        """The place of a time."""
        return self.left + (self.right - self.left) * (at_s - self.from_s) / max(
            self.to_s - self.from_s, 1e-6
        )

    def py(self, value: float) -> float:
        """The place of a value, kept inside."""
        share = (value - self.low) / max(self.high - self.low, 1e-6)
        return self.bottom + (self.top - self.bottom) * min(max(share, 0.0), 1.0)

    def axes(
        self, kept: Sequence[float] = (), edges: Sequence[float] = (), labels: Sequence[float] = ()
    ) -> None:
        """Ticks in minutes and degrees; those too near one of ``kept`` are left out, which are labelled elsewhere: at the
        heights ``labels``, in pixels, where not at their own. Of what is to come ``edges``, in seconds from now, are labelled
        where there are any, and nothing else."""
        c = self.c
        Color(*d.DRIFT)
        Line(points=[self.left, self.top, self.left, self.bottom, self.right, self.bottom], width=1.3)
        now, beside = self.px(0.0), c.width_of("now") / 2 + c.font * 0.3
        to_s = 0.0 if self._edge_labels(edges, now + beside) else self.to_s
        most = max(int((self.px(to_s) - self.left) // (c.font * 2.4)), 1)
        for minutes in ticks(self.from_s / 60, to_s / 60, most):
            x = self.px(minutes * 60)
            Color(*d.DRIFT)
            Line(points=[x, self.bottom, x, self.bottom - c.font * 0.25], width=1.3)
            words = "now" if minutes == 0 else f"{minutes:+.0f}"
            half = c.width_of(words) / 2
            clear = minutes == 0 or abs(x - now) > half + beside
            if clear and self.left - half < x < self.right - half + 4:
                c.text(words, x, self.bottom - c.font * 0.88, d.SLATE, "centre")
        c.text("minutes", self.right, c.y + c.font * 0.6, d.SLATE, "right")
        rows = max(int((self.top - self.bottom) // (c.font * 2)), 2)
        taken = (*map(self.py, kept), *labels)
        for value in ticks(self.low, self.high, rows):
            y = self.py(value)
            if all(abs(y - one) > c.font * 1.25 for one in taken) and y > self.bottom + c.font * 0.7:
                Color(*d.DRIFT)
                Line(points=[self.left - 4, y, self.left, y], width=1.3)
                c.text(c.figure(value, "°C", 0), self.left - 6, y, d.SLATE, "right")

    def _edge_labels(self, edges: Sequence[float], clear_of: float) -> bool:
        """Both edges in whole minutes under their places; in one where they stand too near each other, the later alone where even that
        would run into now; whether any has room."""
        minutes = sorted({round(t / 60) for t in edges if t >= 30.0})
        apart = [(f"+{m}", self.px(60.0 * m)) for m in minutes]
        between = (self.px(60.0 * minutes[0]) + self.px(60.0 * minutes[-1])) / 2 if minutes else 0.0
        together = [(f"+{minutes[0]}–{minutes[-1]}", between)] if len(minutes) > 1 else []
        for labels in (apart, together, apart[-1:]):
            placed, least = [], clear_of
            for words, at in labels:
                wide = self.c.width_of(words, bold=True)
                left = min(max(at - wide / 2, least), self.right + 4 - wide)
                # Moved aside at most so far that it still stands over its place.
                placed.append((words, left, least <= left <= at))
                least = left + wide + self.c.font * 0.3
            if placed and all(room for _, _, room in placed):
                for words, left, _ in placed:
                    self.c.text(words, left, self.bottom - self.c.font * 0.88, d.KELP, bold=True)
                return True
        return False

    def curve(self, points: Sequence[tuple[float, float]], colour: d.RGB, width: float = 2.4) -> None:
        """A line through (seconds, value) points."""
        if len(points) < 2:
            return
        Color(*colour)
        thin = points[:: max(len(points) // MOST_POINTS, 1)]
        flat = [v for t, value in thin if t >= self.from_s for v in (self.px(t), self.py(value))]
        if len(flat) >= 4:
            Line(points=flat, width=width)

    def area(self, points: Sequence[tuple[float, float, float]], colour: d.RGB, alpha: float = 0.35) -> None:
        """A filled area between a lower and an upper edge: (seconds, low, high)."""
        vertices: list[float] = []
        for t, low, high in points:
            vertices += [self.px(t), self.py(low), 0, 0, self.px(t), self.py(high), 0, 0]
        Color(*colour, alpha)
        Mesh(vertices=vertices, indices=list(range(len(vertices) // 4)), mode="triangle_strip")


def ticks(low: float, high: float, most: int) -> Iterator[float]:
    """Round numbers between two values, no more than that."""
    span = max(high - low, 1e-6)
    step = next((s for s in STEPS if span / s <= most), STEPS[-1])
    first = -(-low // step)
    value = first * step
    while value <= high + 1e-9:
        yield value
        value += step
