"""A value over batches, with its limits."""

from __future__ import annotations

from collections.abc import Callable

from kivy.graphics import Color, Ellipse, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.display.dates import leaf, product_named
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import TextLabel, natural_wide
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.desk_facts import Trend

#: The figure of each batch stands at its dot up to so many of them.
MOST_FIGURES = 12


def trend_page(sizes: Sizes, procedure: str, t: Trend | None, back: Callable[[], None]) -> Page:
    """A value over batches with its limits, and what the rules flag in words."""
    page = Page(sizes, tr("{procedure}: yield over batches", procedure=product_named(procedure)))
    page.bottom([("Back", back, "plain")])
    if t is None:
        page.listed_large([TextLine(tr("A chart needs at least three finished batches."))])
        return page
    for text in t.said[:3] or (tr("Within what is usual here."),):
        page.line(text, sizes.note, True, d.CORAL if t.said else d.KELP, "bad" if t.said else "good")
    limits = t.chart
    few = tr(" Provisional: there are few batches.") if limits.provisional else ""
    page.line(
        tr(
            "{centre:.1f} % as a rule; {lower:.1f} to {upper:.1f} % is the usual spread.{few}",
            centre=limits.centre,
            lower=limits.lower,
            upper=limits.upper,
            few=few,
        ),
        sizes.small,
        color=d.SLATE,
    )
    chart = TrendChart(t)
    chart.pos, chart.size = (page.left, page.low), (page.wide, max(page.pen_y - page.low - sizes.gap, 60.0))
    chart.draw(sizes)
    page.add_widget(chart)
    page.texts += chart.texts
    return page


class TrendChart(Widget):
    """Dots joined by a line over the days they were made on; the usual value and its two limits, with their numbers."""

    def __init__(self, trend: Trend) -> None:
        super().__init__(size_hint=(None, None))
        self._trend = trend
        self.texts: list[TextLabel] = []

    def draw(self, sizes: Sizes) -> None:
        """Into the widget's own place."""
        size, values, t = sizes.small, self._trend.values, self._trend.chart
        low, high = min(*values, t.lower), max(*values, t.upper)
        span = (high - low) or 1.0
        left, right = self.x + natural_wide("100.0 %", size) + size * 0.6, self.right - size * 1.5
        bottom, top = float(self.y + size * 2.2), float(self.top - size * 0.8)

        def at_y(value: float) -> float:
            return bottom + (value - low) / span * (top - bottom)

        step = (right - left - 2 * size) / max(len(values) - 1, 1)
        points = [(left + size + n * step, at_y(v)) for n, v in enumerate(values)]
        with self.canvas:
            Color(*d.SHELL)
            Rectangle(pos=(left, at_y(t.lower)), size=(right - left, at_y(t.upper) - at_y(t.lower)))
            for value, wide in ((t.lower, 1.3), (t.upper, 1.3), (t.centre, 2.2)):
                Color(*(d.DRIFT if wide < 2 else d.WET_SAND))
                Line(points=[left, at_y(value), right, at_y(value)], width=wide)
            Color(*d.TIDE)
            Line(points=[c for p in points for c in p], width=2.4)
            for (x, y), value in zip(points, values, strict=True):
                out = not t.lower <= value <= t.upper
                Color(*(d.CORAL if out else d.TIDE))
                r = size * (0.55 if out else 0.4)
                Ellipse(pos=(x - r, y - r), size=(2 * r, 2 * r))
        for value in (t.lower, t.centre, t.upper):
            self._say(f"{value:.1f} %", (self.x, at_y(value) + size * 0.7), sizes, "left")
        self._name(points, sizes)

    def _name(self, points: list[tuple[float, float]], sizes: Sizes) -> None:
        """The figure over each dot, and its day on the axis, as many as have room."""
        values, size = self._trend.values, sizes.small
        days = [leaf(f"{name[:4]}-{name[4:6]}-{name[6:8]}") for name in self._trend.batches]
        end = 0.0
        for n, (x, y) in enumerate(points):
            if len(points) <= MOST_FIGURES:
                beside = [*values[max(n - 1, 0) : n], *values[n + 1 : n + 2]]
                top = y - size * 0.7 if all(values[n] < other for other in beside) else y + size * 2.0
                self._say(f"{values[n]:.1f}", (x, min(top, self.top)), sizes, "center", True)
            words = " ".join(days[n]) if n < len(days) else ""
            wide = natural_wide(words, size) if words.strip() else 0.0
            if wide and x - wide / 2 > end:
                self._say(words, (x, self.y + size * 1.5), sizes, "center")
                end = x + wide / 2 + size

    def _say(self, text: str, at: tuple[float, float], sizes: Sizes, halign: str, bold: bool = False) -> None:
        words = TextLabel(sizes.figures.text(text), sizes.small, d.TIDE if bold else d.SLATE, bold=bold)
        wide, _ = words.natural()
        x = at[0] - wide / 2 if halign == "center" else at[0]
        words.place(max(min(x, self.right - wide), self.x), at[1], wide + 1)
        self.add_widget(words)
        self.texts.append(words)
