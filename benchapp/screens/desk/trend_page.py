"""A value over batches, with its limits."""

from __future__ import annotations

from collections.abc import Callable

from kivy.graphics import Color, Ellipse, Line, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_label import TextLabel
from benchapp.screens.widgets.text_line import TextLine
from benchapp.service.desk_facts import Trend


def trend_page(sizes: Sizes, procedure: str, t: Trend | None, back: Callable[[], None]) -> Page:
    """A value over batches with its limits, and what the rules flag in words."""
    page = Page(sizes, tr("{procedure}: yield over batches", procedure=procedure))
    page.bottom([("Back", back, "plain")])
    if t is None:
        page.listed_large([TextLine(tr("A chart needs at least three finished batches."))])
        return page
    limits = t.chart
    few = tr(" Provisional: there are few batches.") if limits.provisional else ""
    page.line(
        tr(
            "Centre {centre:.1f} %, limits {lower:.1f} to {upper:.1f} %.{few}",
            centre=limits.centre,
            lower=limits.lower,
            upper=limits.upper,
            few=few,
        ),
        sizes.note,
    )
    for text in t.said[:3] or (tr("No rule flags a drift."),):
        page.line(text, sizes.small, bold=bool(t.said), color=d.CORAL if t.said else d.INK)
    chart = TrendChart(t)
    chart.pos, chart.size = (page.left, page.low), (page.wide, max(page.pen_y - page.low - sizes.gap, 60.0))
    chart.draw(sizes.small)
    page.add_widget(chart)
    page.texts += chart.texts
    return page


class TrendChart(Widget):
    """Dots joined by a line, the centre and two limits, each limit with its number beside it."""

    def __init__(self, trend: Trend) -> None:
        super().__init__(size_hint=(None, None))
        self._trend = trend
        self.texts: list[TextLabel] = []

    def draw(self, size: int) -> None:
        """Into the widget's own place."""
        values, t = self._trend.values, self._trend.chart
        low, high = min(*values, t.lower), max(*values, t.upper)
        span = (high - low) or 1.0
        left, right = self.x + size * 4.5, self.right - size
        bottom, top = float(self.y + size), float(self.top - size)

        def at_y(value: float) -> float:
            return bottom + (value - low) / span * (top - bottom)

        step = (right - left) / max(len(values) - 1, 1)
        points = [(left + n * step, at_y(v)) for n, v in enumerate(values)]
        with self.canvas:
            Color(*d.WET_SAND)
            Rectangle(pos=(left, at_y(t.lower)), size=(right - left, at_y(t.upper) - at_y(t.lower)))
            for value, colour in ((t.lower, d.CORAL), (t.upper, d.CORAL), (t.centre, d.DRIFT)):
                Color(*colour)
                Line(points=[left, at_y(value), right, at_y(value)], width=1.5)
            Color(*d.TIDE)
            Line(points=[c for p in points for c in p], width=2.0)
            for (x, y), value in zip(points, values, strict=True):
                out = not t.lower <= value <= t.upper
                Color(*(d.CORAL if out else d.TIDE))
                r = size * (0.5 if out else 0.3)
                Ellipse(pos=(x - r, y - r), size=(2 * r, 2 * r))
        for value in (t.lower, t.centre, t.upper):
            words = TextLabel(f"{value:.1f}", size, d.SLATE)
            words.place(self.x, at_y(value) + size * 0.7, size * 4.2)
            self.add_widget(words)
            self.texts.append(words)
