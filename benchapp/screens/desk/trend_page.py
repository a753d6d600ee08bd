"""A value over batches, with its limits."""

from __future__ import annotations

from collections.abc import Callable

from kivy.graphics import Color, Ellipse, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import batches_in_words, leaf, product_named
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import TextLabel, natural_wide
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.desk_facts import Trend

#: The figure of each batch stands at its dot up to so many of them.
MOST_FIGURES = 12
#: No yield is more than this, in percent.
ALL_OF_IT = 100.0


def trend_page(sizes: Sizes, procedure: str, t: Trend | None, back: Callable[[], None]) -> Page:
    """A value over batches with its limits, and what the rules flag in words."""
    page = Page(sizes, tr("{procedure}: yield over batches", procedure=product_named(procedure)))
    page.bottom([("Back", back, "plain")])
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
    lowest = min(range(len(t.values)), key=lambda n: t.values[n])
    days = _days(t)
    said = tr("{n} batches are few to judge by: nothing is flagged yet.", n=len(t.values))
    if days:
        said = tr(
            "{n} batches are few to judge by. The lowest: {low:.1f} %, {day}.",
            n=len(t.values), low=t.values[lowest], day="\u00a0".join(days[lowest]),
        )  # fmt: skip
    return [TextLine(said, color=d.TIDE, mark="later")]


def _limits(t: Trend) -> str:
    """What is usual, and that no yield can be more than all of it, where the limits would have it."""
    c = t.chart
    said = tr(
        "Usual: {centre:.1f} %. The band, {lower:.1f} to {upper:.1f} %, is the usual spread.",
        centre=c.centre, lower=c.lower, upper=_top(t),
    )  # fmt: skip
    return " ".join((said, tr("No yield can be more than 100 %."))) if c.upper > _top(t) else said


def _top(t: Trend) -> float:
    """The upper limit as it is drawn: no yield can be more than all of it."""
    return min(t.chart.upper, max(ALL_OF_IT, *t.values))


def _days(t: Trend) -> list[tuple[str, str]]:
    """The day of each batch, as its number and its month."""
    return [leaf(f"{name[:4]}-{name[4:6]}-{name[6:8]}") for name in t.batches]


class TrendChart(Widget):
    """Dots joined by a line over the days they were made on; the usual value and its two limits, with their numbers."""

    def __init__(self, trend: Trend) -> None:
        super().__init__(size_hint=(None, None))
        self._trend = trend
        self.texts: list[TextLabel] = []

    def draw(self, sizes: Sizes) -> None:
        """Into the widget's own place."""
        size, values, t = sizes.note, self._trend.values, self._trend.chart
        upper = _top(self._trend)
        low, high = min(*values, t.lower), max(*values, upper)
        span = (high - low) or 1.0
        left, right = self.x + natural_wide("100.0 %", size) + size * 0.6, self.right - size * 1.5
        bottom, top = float(self.y + size * 2.2), float(self.top - size * 0.8)

        def at_y(value: float) -> float:
            return bottom + (value - low) / span * (top - bottom)

        step = (right - left - 5 * size) / max(len(values) - 1, 1)
        points = [(left + 2.5 * size + n * step, at_y(v)) for n, v in enumerate(values)]
        with self.canvas:
            Color(*(0.4 * drift + 0.6 * shell for drift, shell in zip(d.WET_SAND, d.SHELL, strict=True)))
            Rectangle(pos=(left, at_y(t.lower)), size=(right - left, at_y(upper) - at_y(t.lower)))
            for value, wide in ((t.lower, 1.3), (upper, 1.3), (t.centre, 2.2)):
                Color(*d.DRIFT)
                Line(points=[left, at_y(value), right, at_y(value)], width=wide)
            Color(*d.TIDE)
            Line(points=[c for p in points for c in p], width=2.4)
            for (x, y), value in zip(points, values, strict=True):
                out = not t.lower <= value <= upper
                Color(*(d.CORAL if out else d.TIDE))
                r = size * (0.55 if out else 0.4)
                Ellipse(pos=(x - r, y - r), size=(2 * r, 2 * r))
        for value in (t.lower, t.centre, upper):
            self._say(f"{value:.1f} %", (self.x, at_y(value) + size * 0.7), sizes, "left")
        self._name(points, sizes)

    def _name(self, points: list[tuple[float, float]], sizes: Sizes) -> None:
        """The figure over each dot, and its day on the axis, as many as have room."""
        values, size, days = self._trend.values, sizes.note, _days(self._trend)
        end = 0.0
        for n, (x, y) in enumerate(points):
            if len(points) <= MOST_FIGURES:
                beside = [*values[max(n - 1, 0) : n], *values[n + 1 : n + 2]]
                top = y - size * 0.7 if all(values[n] < other for other in beside) else y + size * 2.2
                self._say(f"{values[n]:.1f}", (x, min(top, self.top)), sizes, "center", True)
            words = " ".join(days[n]) if n < len(days) else ""
            wide = natural_wide(words, size) if words.strip() else 0.0
            if wide and x - wide / 2 > end:
                self._say(words, (x, self.y + size * 1.5), sizes, "center")
                end = x + wide / 2 + size

    def _say(self, text: str, at: tuple[float, float], sizes: Sizes, halign: str, bold: bool = False) -> None:
        words = TextLabel(
            sizes.figures.text(text),
            sizes.between if bold else sizes.note,
            d.TIDE if bold else d.SLATE,
            bold=bold,
        )
        wide, _ = words.natural()
        x = at[0] - wide / 2 if halign == "center" else at[0]
        words.place(max(min(x, self.right - wide), self.x), at[1], wide + 1)
        self.add_widget(words)
        self.texts.append(words)
