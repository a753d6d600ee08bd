"""Heating in a bath, and cooling with its forecast."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from kivy.graphics import Color, Line, Rectangle

from benchapp.make import view_model as m
from benchapp.screens.display import design as d
from benchapp.screens.drawings.canvas import Canvas, vessel_outline


def draw_heat(c: Canvas, p: m.HeatPicture) -> None:
    """Vessels in one bath, each with its own thermometer against the band."""
    count = max(len(p.vessels), 1)
    hold_h = c.font * 2.4 if p.hold_s else 0
    bath_h = (c.height - hold_h) * 0.5
    base = c.y + hold_h
    Color(*d.TIDE, 0.28)
    Rectangle(pos=(c.x + c.width * 0.06, base), size=(c.width * 0.88, bath_h))
    vessel_outline(c, c.x + c.width * 0.06, base, c.width * 0.88, bath_h + 4, 2.0)
    cell = c.width * 0.86 / count
    # Where names have no room, they stand above the readings beside, in the same order.
    named = all(c.width_of(name, bold=True) < cell - c.font * 0.3 for name, _, _ in p.vessels)
    name_h = c.font * 1.35 if named else 0.0
    for n, (name, temp, inside) in enumerate(p.vessels):
        width = min(cell * 0.5, (c.height - hold_h) * 0.6)
        x = c.x + c.width * 0.08 + cell * n + cell * 0.12
        y = base + 8
        height = c.height - hold_h - name_h - 16
        Color(*(d.KELP if inside else d.MUSSEL))
        Rectangle(pos=(x, y), size=(width, height * 0.62))
        vessel_outline(c, x, y, width, height)
        _thermometer((x + width + cell * 0.1, y, cell * 0.09, height), temp, p)
        if named:
            c.text(name, x, c.y + c.height - name_h / 2, bold=True)
    if p.hold_s:
        Color(*d.WET_SAND)
        Rectangle(pos=(c.x, c.y + c.font * 1.35), size=(c.width, c.font * 0.6))
        Color(*d.KELP)
        Rectangle(
            pos=(c.x, c.y + c.font * 1.35), size=(c.width * min(p.held_s / p.hold_s, 1.0), c.font * 0.6)
        )
        c.text(f"held {_minutes(p.held_s)} of {_minutes(p.hold_s)} min", c.x, c.y + c.font * 0.65)


def _thermometer(place: tuple[float, float, float, float], temp: float | None, p: m.HeatPicture) -> None:
    x, y, width, height = place
    cold, hot = 15.0, max(p.over_c + 3, p.high_c + 8)

    def at(value: float) -> float:
        return y + height * min(max((value - cold) / (hot - cold), 0.0), 1.0)

    Color(*d.WET_SAND)
    Rectangle(pos=(x, y), size=(width, height))
    Color(*d.KELP)
    Line(rectangle=(x - 3, at(p.low_c), width + 6, at(p.high_c) - at(p.low_c)), width=2)
    Color(*d.CORAL)
    Line(points=[x - 3, at(p.over_c), x + width + 3, at(p.over_c)], width=2, dash_length=6, dash_offset=4)
    if temp is not None:
        Color(*(d.CORAL if temp >= p.over_c else d.KELP if temp >= p.low_c else d.MUSSEL))
        Rectangle(pos=(x, y), size=(width, at(temp) - y))


def _minutes(seconds: float) -> str:
    return f"{seconds / 60:.0f}"


def draw_cool(c: Canvas, p: m.CoolPicture) -> None:
    """The curve so far, the threshold, and the forecast as a fan."""
    axis = c.font * 1.5
    fan = p.fan[-1][0] if p.fan else 0.0
    past = min((t for t, _ in p.curve), default=-600.0)
    span_l, span_r = max(-past, 300.0), max(fan * 1.1, 900.0)
    temps = [t for _, t in p.curve] or [p.temp_c or 75.0]
    top = max(*temps, p.below_c + 10) + 2 if temps else 80.0
    bottom = min(p.below_c - 12, p.not_below_c - 2 if p.not_below_c is not None else p.below_c - 12)
    left, right = c.x + c.font * 2.2, c.x + c.width - 4

    def px(t: float) -> float:
        return left + (right - left) * (t + span_l) / (span_l + span_r)

    def py(value: float) -> float:
        return c.y + axis + (c.height - axis - 6) * min(max((value - bottom) / (top - bottom), 0.0), 1.0)

    Color(*d.KELP, 0.18)
    floor = p.not_below_c if p.not_below_c is not None else bottom
    Rectangle(pos=(left, py(floor)), size=(right - left, py(p.below_c) - py(floor)))
    Color(*d.KELP)
    Line(points=[left, py(p.below_c), right, py(p.below_c)], width=2.2)
    c.text(c.figure(p.below_c, "°C"), left - 8, py(p.below_c), d.KELP, "right", bold=True)
    _fan(p, temps[-1], px, py)
    if len(p.curve) > 1:
        Color(*d.INK)
        flat = [v for t, temp in p.curve[:: max(len(p.curve) // 300, 1)] for v in (px(t), py(temp))]
        if p.temp_c is not None:
            flat += [px(0.0), py(p.temp_c)]
        Line(points=flat, width=2.4)
    Color(*d.DRIFT)
    Line(points=[px(0), c.y + axis, px(0), c.y + c.height - 6], width=1.2, dash_length=5, dash_offset=5)
    c.text("now", px(0), c.y + axis * 0.5, d.SLATE, "centre")


def _fan(
    p: m.CoolPicture, newest_c: float, px: Callable[[float], float], py: Callable[[float], float]
) -> None:
    """The forecast: the later, the wider."""
    if not p.fan:
        return
    now = p.temp_c if p.temp_c is not None else newest_c
    Color(*d.MUSSEL, 0.3)
    for (t1, a1, b1), (t2, a2, b2) in pairwise([(0.0, now, now), *p.fan]):
        middle = [px(t1), py((a1 + b1) / 2), px(t2), py((a2 + b2) / 2)]
        Line(points=middle, width=max((py(b2) - py(a2)) / 2, 1.5))
