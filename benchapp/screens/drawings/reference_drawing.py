"""What a device is held against: the weight over the pan or on it, the probe in its glass; and the reading between its limits."""

from __future__ import annotations

from dataclasses import dataclass

from kivy.graphics import Color, Line, Rectangle, RoundedRectangle
from kivy.uix.widget import Widget

from benchapp.foundation.band import Band
from benchapp.screens.display import design as d
from benchapp.screens.display.figures import Figures
from benchapp.screens.drawings.canvas import Canvas, vessel_outline
from benchapp.screens.drawings.rule_drawings import LongRule, rule_high
from benchapp.screens.drawings.shapes import polygon

#: The rule reaches so many times the limit to both sides.
REACH = 4.0


@dataclass(frozen=True, slots=True)
class ReferencePicture:
    """A known value and what the device says: ``scale`` or a probe, ``name`` as it is written on the weight, the limits
    the reading has to keep, and whether something ``lies`` there. ``value`` None: nothing is read."""

    scale: bool
    name: str
    unit: str
    low: float
    high: float
    decimals: int
    value: float | None = None
    lies: bool = False

    @property
    def right(self) -> bool:
        """Whether the reading is within its limits."""
        return self.value is not None and Band(self.low, self.high).holds(self.value)


class ReferenceDrawing(Widget):
    """The picture in the widget's own place."""

    def __init__(self, font: int, figures: Figures) -> None:
        super().__init__(size_hint=(None, None))
        self._font, self._figures = font, figures
        self._drawn: object = None

    def show(self, p: ReferencePicture) -> None:
        """Draw it, if it changed; nothing where nothing is read: then words stand there."""
        if (p, tuple(self.pos), tuple(self.size)) == self._drawn:
            return
        self._drawn = (p, tuple(self.pos), tuple(self.size))
        self.canvas.clear()
        if p.value is None:
            return
        with self.canvas:
            foot = rule_high(self._font)
            rule = Canvas(self.x, self.y, self.width, foot, self._font, self._figures)
            above = Canvas(self.x, self.y + foot, self.width, self.height - foot, self._font, self._figures)
            if above.height > self._font * 3:
                (_on_the_pan if p.scale else _in_its_glass)(above, p)
            _between_limits(rule, p)


def _between_limits(c: Canvas, p: ReferencePicture) -> None:
    """The reading on a rule around its limits; at its end where it is further off."""
    middle, reach = (p.low + p.high) / 2, max(p.high - p.low, 1e-6) / 2 * REACH
    rule = LongRule(c, middle - reach, middle + reach)
    rule.track()
    rule.gate(p.low, p.high, lambda v: c.figure(v, p.unit, p.decimals))
    if p.value is not None and p.lies:
        rule.mark(p.value, d.INK if p.right else d.CORAL)


def _on_the_pan(c: Canvas, p: ReferencePicture) -> None:
    """A scale from its front, and the weight: over the pan with the way it takes, or on it."""
    wide, middle = min(c.width * 0.62, c.height * 1.3), c.x + c.width / 2
    base = c.height * 0.2
    Color(*d.WET_SAND)
    RoundedRectangle(pos=(middle - wide * 0.42, c.y + 4), size=(wide * 0.84, base), radius=[8])
    Color(*d.DRIFT)
    Line(rounded_rectangle=(middle - wide * 0.42, c.y + 4, wide * 0.84, base, 8), width=2)
    Rectangle(pos=(middle - wide * 0.06, c.y + 4 + base), size=(wide * 0.12, c.height * 0.05))
    pan = c.y + 4 + base + c.height * 0.05
    RoundedRectangle(pos=(middle - wide / 2, pan), size=(wide, c.height * 0.05), radius=[6])
    top = pan + c.height * 0.05
    tall = c.height * 0.32
    low = top + (2 if p.lies else c.height * 0.24)
    _weight(c, (middle, low, tall), p)
    if not p.lies:
        _arrow(middle, top + c.height * 0.03, c.height * 0.17)


def _weight(c: Canvas, place: tuple[float, float, float], p: ReferencePicture) -> None:
    """A weight with its knob and its name, so tall, its foot in the middle there."""
    middle, low, tall = place
    body = tall * 0.7
    wide = max(tall * 0.9, c.width_of(p.name, bold=True) + c.font * 0.8)
    Color(*(d.TIDE if not p.lies else d.KELP if p.right else d.CORAL))
    RoundedRectangle(pos=(middle - wide / 2, low), size=(wide, body), radius=[6])
    Rectangle(pos=(middle - wide * 0.1, low + body), size=(wide * 0.2, tall * 0.12))
    RoundedRectangle(
        pos=(middle - wide * 0.22, low + body + tall * 0.1),
        size=(wide * 0.44, tall * 0.2),
        radius=[tall * 0.1],
    )
    c.text(p.name, middle, low + body / 2, d.FOAM, "centre", bold=True)


def _arrow(middle: float, low: float, high: float) -> None:
    """The way down."""
    side = high * 0.45
    Color(*d.INK)
    Rectangle(pos=(middle - 3, low + side), size=(6, max(high - side, 1)))
    polygon([(middle, low), (middle - side * 0.7, low + side), (middle + side * 0.7, low + side)])


def _in_its_glass(c: Canvas, p: ReferencePicture) -> None:
    """A glass, what is known in it, and the probe."""
    high, wide = c.height * 0.78, min(c.width * 0.4, c.height * 0.75)
    x, y = c.x + (c.width - wide) / 2, c.y + 6
    Color(*(d.KELP if p.right else d.MUSSEL))
    Rectangle(pos=(x + 5, y + 3), size=(wide - 10, high * 0.72))
    vessel_outline(c, x, y, wide, high)
    Color(*d.INK)
    middle = x + wide * 0.6
    Line(points=[middle, y + high * 0.2, middle, y + high * 0.62], width=5, cap="round")
    Color(*d.DRIFT)
    Line(points=[middle, y + high * 0.62, middle + wide * 0.1, c.y + c.height - 6], width=3, cap="round")
