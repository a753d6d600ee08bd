"""A value over batches, with its limits."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

from kivy.graphics import Color, Ellipse, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.calculations.control_chart import FIRM_FROM
from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import batches_in_words, leaf, product_named
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import TextLabel, natural_wide
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.desk_facts import Trend

#: The figure of each batch stands at its dot up to so many of them.
MOST_FIGURES = 12
#: No yield is more than this, in percent.
ALL_OF_IT = 100.0
#: No more lines at round numbers than so many.
MOST_LINES = 5


def trend_page(
    sizes: Sizes, procedure: str, t: Trend | None, back: Callable[[], None], batch: Callable[[str], None]
) -> Page:
    """A value over batches with its limits, what the rules flag in words, and the way to the ``batch`` that stands out."""
    page = Page(sizes, tr("{procedure}: yield over batches", procedure=product_named(procedure)))
    buttons: list[ButtonSpec] = [("Back", back, "plain")]
    if t is not None and t.batches and (out := _standing_out(t)):
        n = max(out)
        buttons.append(
            (tr("The batch of {day}", day=" ".join(_days(t)[n])), partial(batch, t.batches[n]), "plain")
        )
    page.bottom(buttons)
    if t is None:
        page.listed_large([TextLine(tr("A chart needs at least three finished batches."))])
        return page
    for line in _verdict(t):
        page.line(line.text, sizes.line, True, line.color, line.mark)
    page.line(_limits(t), sizes.note, color=d.SLATE)
    chart = TrendChart(t)
    chart.pos, chart.size = (page.left, page.low), (page.wide, max(page.pen_y - page.low - sizes.gap, 60.0))
    chart.draw(sizes)
    page.add_widget(chart)
    page.texts += chart.texts
    return page


def _verdict(t: Trend) -> list[TextLine]:
    """What the rules flag; else that nothing is flagged, and, while there are few batches, which was the lowest."""
    if t.said:
        return [TextLine(batches_in_words(text), color=d.CORAL, mark="bad") for text in t.said[:3]]
    if not t.chart.provisional:
        return [TextLine(tr("Within what is usual here."), color=d.KELP, mark="good")]
    lowest, days = _lowest(t), _days(t)
    if not days:
        return []
    said = tr(
        "The lowest: {low:.1f} % on {day}.", low=t.values[lowest], day="\u00a0".join(days[lowest])
    )  # fmt: skip
    return [TextLine(said, color=d.INK)]


def _limits(t: Trend) -> str:
    """What is usual and where the band comes from; while there are few batches, when there will be one."""
    c = t.chart
    if c.provisional:
        average = tr("Thick line: the average, {centre:.1f} %.", centre=c.centre)
        few = tr("No limits yet: they need {firm} batches.", firm=FIRM_FROM)
        return f"{average} {few}"
    said = tr(
        "The band, {lower:.1f} to {upper:.1f} %, is this bench's own spread over {n} batches; its middle is {centre:.1f} %.",
        centre=c.centre, lower=c.lower, upper=_top(t), n=len(t.values),
    )  # fmt: skip
    if c.upper > _top(t):
        said = " ".join((said, tr("No yield can be more than 100 %.")))
    return f"{said} {_begins(t)}"


def _begins(t: Trend) -> str:
    """Where the scale begins, so that nobody takes a dip for half."""
    return tr("The scale begins at {low:g} %.", low=_scale(t)[0])


def _scale(t: Trend) -> tuple[float, float, float]:
    """The lowest and the highest value that is drawn, and the distance of the lines between them, in percent."""
    ends = () if t.chart.provisional else (t.chart.lower, _top(t))
    least, most = min(*t.values, *ends), max(*t.values, *ends)
    step = _step(least, most)
    low = math.floor(least / step) * step
    low -= step if min(t.values) - low < 0.6 * step else 0.0  # its figure stands under it
    return low, min(math.ceil(most / step) * step, max(ALL_OF_IT, *t.values)), step


def _standing_out(t: Trend) -> set[int]:
    """Which batches are ringed: those the rules flag, else, while there are few, the lowest."""
    flagged = {n for n, flag in enumerate(t.flags) if flag}
    if flagged or not t.chart.provisional:
        return flagged
    return {_lowest(t)}


def _lowest(t: Trend) -> int:
    """The number of the batch of which least came out."""
    return t.values.index(min(t.values))


def _top(t: Trend) -> float:
    """The upper limit as it is drawn: no yield can be more than all of it."""
    return min(t.chart.upper, max(ALL_OF_IT, *t.values))


def _days(t: Trend) -> list[tuple[str, str]]:
    """The day of each batch, as its number and its month."""
    return [leaf(f"{name[:4]}-{name[4:6]}-{name[6:8]}") for name in t.batches]


class TrendChart(Widget):
    """Dots joined by a line over the days they were made on, over lines at round numbers; the band of what is usual once
    there are batches enough for one; a ring around what stands out."""

    def __init__(self, trend: Trend) -> None:
        super().__init__(size_hint=(None, None))
        self._trend = trend
        self.texts: list[TextLabel] = []

    def draw(self, sizes: Sizes) -> None:
        """Into the widget's own place."""
        size, values, t = sizes.note, self._trend.values, self._trend.chart
        banded = not t.provisional
        upper = _top(self._trend)
        low, high, step = _scale(self._trend)
        span = (high - low) or 1.0
        left, right = self.x + natural_wide("100 %", size) + size * 0.6, self.right
        bottom, top = float(self.y + size * 2.2), float(self.top - size * 1.9)

        def at_y(value: float) -> float:
            return bottom + (value - low) / span * (top - bottom)

        apart = (right - left - 6 * size) / max(len(values) - 1, 1)
        points = [(left + 3 * size + n * apart, at_y(v)) for n, v in enumerate(values)]
        with self.canvas.before:
            if banded:
                Color(*(0.4 * drift + 0.6 * shell for drift, shell in zip(d.WET_SAND, d.SHELL, strict=True)))
                Rectangle(pos=(left, at_y(t.lower)), size=(right - left, at_y(upper) - at_y(t.lower)))
        marks = [low + n * step for n in range(round(span / step) + 1)]
        with self.canvas.before:
            Color(*d.WET_SAND)
            for mark in marks:
                Line(points=[left, at_y(mark), right, at_y(mark)], width=1.2)
            Color(*d.DRIFT)
            Line(points=[left, at_y(t.centre), right, at_y(t.centre)], width=4.0)
        self._points(points, sizes)
        each = max(math.ceil(size * 1.3 / max((top - bottom) / max(len(marks) - 1, 1), 1.0)), 1)
        for mark in marks[::each]:  # as many as have room under each other
            self._say(f"{mark:g} %", (self.x, at_y(mark) + size * 0.7), sizes, "left")
        self._name(points, sizes)

    def _points(self, points: list[tuple[float, float]], sizes: Sizes) -> None:
        """The line, its dots, and the rings."""
        out, flags = _standing_out(self._trend), self._trend.flags
        with self.canvas:
            Color(*d.TIDE)
            Line(points=[c for p in points for c in p], width=2.4)
            for n, (x, y) in enumerate(points):
                r = sizes.note * 0.4
                Color(*(d.CORAL if n in out and any(flags) else d.TIDE))
                Ellipse(pos=(x - r, y - r), size=(2 * r, 2 * r))
                if n in out:
                    Line(circle=(x, y, sizes.note * 0.85), width=3.0)

    def _name(self, points: list[tuple[float, float]], sizes: Sizes) -> None:
        """The figure over each dot, and its day on the axis, as many as have room; that of what stands out in bold."""
        values, size, days = self._trend.values, sizes.note, _days(self._trend)
        out, centre, end = _standing_out(self._trend), self._trend.chart.centre, 0.0
        for n, (x, y) in enumerate(points):
            if len(points) <= MOST_FIGURES or n in out:
                beside = [*values[max(n - 1, 0) : n], *values[n + 1 : n + 2]]
                under = (
                    values[n] < centre
                    and all(values[n] < other for other in beside)
                    and y - size * 2.6 > self.y + size * 1.6
                )
                top = y - size * 1.0 if under else y + size * 2.7
                self._say(f"{values[n]:.1f} %", (x, min(top, self.top)), sizes, "center", True)
            words = " ".join(days[n]) if n < len(days) else ""
            wide = natural_wide(words, size) if words.strip() else 0.0
            if wide and x - wide / 2 > end:
                self._say(words, (x, self.y + size * 1.5), sizes, "center", n in out, sizes.note)
                end = x + wide / 2 + size

    def _say(
        self, text: str, at: tuple[float, float], sizes: Sizes, halign: str, bold: bool = False, size: int = 0
    ) -> None:
        words = TextLabel(
            sizes.figures.text(text),
            size or (sizes.between if bold else sizes.note),
            d.TIDE if bold else d.SLATE,
            bold=bold,
        )
        wide, _ = words.natural()
        x = at[0] - wide / 2 if halign == "center" else at[0]
        x = max(min(x, self.right - wide), self.x)
        low_y = words.place(x, at[1], wide + 1)
        if bold:  # no line of the scale runs through a figure
            with self.canvas.before:
                Color(*d.SAND)
                Rectangle(pos=(x - 4, low_y + 4), size=(wide + 8, at[1] - low_y - 8))
        self.add_widget(words)
        self.texts.append(words)


def _step(low: float, high: float) -> float:
    """The distance of round numbers of which a few lie between two values."""
    return next((step for step in (0.5, 1.0, 2.0, 5.0, 10.0) if (high - low) / step <= MOST_LINES), 20.0)
