"""Heating in a bath, and cooling with its forecast, as curves over minutes."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from kivy.graphics import Color, Line, Rectangle

from benchapp.foundation.language import tr
from benchapp.make import pictures
from benchapp.screens.display import design as d
from benchapp.screens.drawings.canvas import Canvas
from benchapp.screens.drawings.chart import Chart

#: A curve that has just begun is drawn over at least so much time, in seconds.
LEAST_S = 600.0
#: A vessel that strayed no further from where it began only stood there (K), and how much of that is drawn, in seconds.
STOOD_K, LEAD_S = 1.0, 60.0
#: So high a chart has to be, as a multiple of its letters, for names that no curve runs through.
NAMED = 10.0
#: Where the scale of a bath begins, in °C: the room.
ROOM_C = 20.0


def draw_heat(c: Canvas, p: pictures.HeatPicture) -> None:
    """How each vessel came here, the band they have to reach and the forecast of when, and how much of the hold is over."""
    holds = p.held_s > 0.0  # before, it is said in words
    hold_h = c.font * 2.7 if holds else 0.0
    upper = Canvas(c.x, c.y + hold_h, c.width, c.height - hold_h, c.font, c.figures)
    begin = min(map(rises_s, p.curves), default=-LEAST_S)
    end = max((fan[-1][0] for fan in p.fans if fan), default=0.0)
    chart = Chart(upper, min(begin, -LEAST_S), max(end * 1.1, LEAST_S * 0.25), ROOM_C, p.high_c + 10)
    Color(*d.KELP, 0.25)
    Rectangle(
        pos=(chart.left, chart.py(p.low_c)),
        size=(chart.right - chart.left, chart.py(p.high_c) - chart.py(p.low_c)),
    )
    Color(*d.KELP)
    for edge in (p.low_c, p.high_c):
        Line(points=[chart.left, chart.py(edge), chart.right, chart.py(edge)], width=1.8)
    gap = max(chart.py(p.high_c) - chart.py(p.low_c), c.font * 1.3)
    highest = upper.y + upper.height - gap / 2 - c.font * 0.65
    lowest = chart.bottom + gap / 2 + c.font * 0.5  # over the minutes, where the chart is low
    middle = min(max((chart.py(p.high_c) + chart.py(p.low_c)) / 2, lowest), highest)
    for words, y in ((p.high_c, middle + gap / 2), (p.low_c, middle - gap / 2)):
        upper.text(upper.figure(words, "°C"), chart.left - 6, y, d.KELP, "right", bold=True)
    edges = [t for t in p.passes_s or () if t < inf]
    chart.axes((p.low_c, p.high_c), edges, (middle - gap / 2, middle + gap / 2))
    for n, ((_, temp, inside), curve) in enumerate(zip(p.vessels, p.curves, strict=False)):
        colour, points = d.curve_colour(n), [at for at in curve if at[0] >= begin]
        ended = (*points, (0.0, temp)) if temp is not None else points
        chart.curve(ended, colour, 2.8)
        if temp is not None:
            Color(*(d.KELP if inside else colour))
            Line(circle=(chart.px(0.0), chart.py(temp), c.font * 0.22), width=3)
    for n, ((_, temp, _), fan) in enumerate(zip(p.vessels, p.fans, strict=False)):
        if fan and temp is not None:
            chart.area([(0.0, temp, temp), *fan], d.curve_colour(n))
    names_high = _names(chart, p)
    _edges(chart, edges, p.low_c, names_high)
    c.texts.extend(upper.texts)
    if holds:
        _hold(c, p)


def rises_s(curve: Sequence[tuple[float, float]]) -> float:
    """A minute before it leaves where it began, in seconds from now: before that it only stood there."""
    left = next((at for at, temp in curve if abs(temp - curve[0][1]) > STOOD_K), None)
    if not curve:
        return -LEAST_S
    return max(-LEAD_S if left is None else left - LEAD_S, curve[0][0])


#: So far behind another one is a vessel called slower, in kelvin: what they were filled with is seldom of one temperature.
SLOWER_K = 2.0


def _names(chart: Chart, p: pictures.HeatPicture) -> float:
    """Whose curve it is, under where it rises to; the slower one says so. Returns how high they stand over the minutes."""
    c = chart.c
    known = [(temp, name) for name, temp, _ in p.vessels if temp is not None]
    cold = min(known, default=None)
    high = 0.0
    for n, (name, temp, inside) in enumerate(p.vessels):
        slow = (
            cold is not None
            and len(known) > 1
            and (temp, name) == cold
            and not inside
            and max(known)[0] - cold[0] >= SLOWER_K
        )
        words = tr("{name}, slower", name=name) if slow else name
        at = chart.bottom + c.font * (1.4 + 1.3 * (len(p.vessels) - 1 - n))
        roomy = chart.top - chart.bottom > NAMED * c.font  # on a low glass the colour alone says whose it is
        if roomy and c.width_of(words, bold=True) < (chart.right - chart.left) * 0.9:
            c.text(words, chart.right - 8, at, d.curve_colour(n), "right", bold=True)
            high = max(high, at + c.font * 0.7 - chart.bottom)
    return high


def _hold(c: Canvas, p: pictures.HeatPicture) -> None:
    """The hold as a rule of minutes."""
    y, high = c.y + c.font * 1.4, c.font * 0.8
    Color(*d.WET_SAND)
    Rectangle(pos=(c.x, y), size=(c.width, high))
    Color(*d.KELP)
    Rectangle(pos=(c.x, y), size=(c.width * min(p.held_s / p.hold_s, 1.0), high))
    c.text(
        tr("held {minutes} of {minutes_2} min", minutes=_minutes(p.held_s), minutes_2=_minutes(p.hold_s)),
        c.x,
        c.y + c.font * 0.65,
    )


def _minutes(seconds: float) -> str:
    return f"{seconds / 60:.0f}"


def draw_cool(c: Canvas, p: pictures.CoolPicture) -> None:
    """The curve so far, the threshold as a gate, and the forecast as an area with the times of its edges."""
    end = p.fan[-1][0] if p.fan else 0.0
    to_s = max(end * 1.1, 900.0)
    begin = max(min((t for t, _ in p.curve), default=-LEAST_S), -2.0 * to_s)
    temps = [temp for t, temp in p.curve if t >= begin] or [p.temp_c or 75.0]
    floor = p.not_below_c
    low = min(p.below_c - 8, floor - 2 if floor is not None else p.below_c - 8)
    chart = Chart(c, min(begin, -LEAST_S / 2), to_s, low, max(*temps, p.below_c + 10) + 2)
    bottom = floor if floor is not None else low
    Color(*d.KELP, 0.2)
    Rectangle(
        pos=(chart.left, chart.py(bottom)),
        size=(chart.right - chart.left, chart.py(p.below_c) - chart.py(bottom)),
    )
    Color(*d.KELP)
    Line(points=[chart.left, chart.py(p.below_c), chart.right, chart.py(p.below_c)], width=2.4)
    c.text(c.figure(p.below_c, "°C"), chart.left - 6, chart.py(p.below_c), d.KELP, "right", bold=True)
    edges = p.passes_s if p.fan and p.passes_s else (_passes(p, 1), _passes(p, 2))
    known = [t for t in edges if t is not None and t < inf]
    chart.axes((p.below_c,), known)
    now = p.temp_c if p.temp_c is not None else temps[-1]
    if p.fan:
        chart.area([(0.0, now, now), *p.fan], d.MUSSEL)
    chart.curve([*p.curve, *([(0.0, p.temp_c)] if p.temp_c is not None else [])], d.INK, 2.8)
    Color(*d.INK)
    Line(circle=(chart.px(0.0), chart.py(now), c.font * 0.2), width=3)
    _edges(chart, known, p.below_c)


def _edges(chart: Chart, passes: Sequence[float], gate_c: float, names_high: float = 0.0) -> None:
    """When the forecast's edges pass the gate, down to the minutes, but not through names that stand over these so high."""
    Color(*d.KELP)
    for t in passes:
        x, foot = chart.px(t), chart.bottom + names_high
        Line(points=[x, chart.py(gate_c), x, foot], width=1.6, dash_length=5, dash_offset=4)
        if names_high:
            Line(points=[x, chart.bottom + chart.c.font * 0.45, x, chart.bottom], width=1.6)


def _passes(p: pictures.CoolPicture, edge: int) -> float | None:
    """When that edge of the fan passes the threshold, in seconds from now."""
    before: tuple[float, ...] | None = None
    for point in p.fan:
        if point[edge] <= p.below_c:
            if before is None or before[edge] == point[edge]:
                return point[0]
            share = (before[edge] - p.below_c) / (before[edge] - point[edge])
            return before[0] + share * (point[0] - before[0])
        before = point
    return None
