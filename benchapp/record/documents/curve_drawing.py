"""The temperatures of a batch as a drawing: a curve for each vessel, the bands they passed, the steps marked."""

from __future__ import annotations

import math

from reportlab.lib.colors import Color, HexColor
from reportlab.platypus import Flowable

from benchapp.foundation.language import tr
from benchapp.record.curves import BandSpan, Curve, StepTime
from benchapp.record.documents.fonts import BOLD, TEXT, shown, width_pt
from benchapp.record.documents.page import INK, RULE, SLATE

#: Curves differ in colour and in dash, so that they are told apart on a black-and-white printer.
STROKES: tuple[tuple[Color, tuple[float, ...]], ...] = (
    (HexColor("#0A5364"), ()), (HexColor("#8A1F14"), (4, 2)), (HexColor("#1C5A32"), (1, 1.5)), (INK, (6, 2, 1, 2)),
)  # fmt: skip
BAND = HexColor("#E3EEE3")
EDGE = HexColor("#7FA087")
LEFT, BOTTOM, TOP = 26.0, 22.0, 36.0
#: How high the drawing is, in points.
HEIGHT = 205.0
#: How many numbers may stand one above the other.
LEVELS = 4


class Temperatures(Flowable):  # type: ignore[misc]
    """Degrees over minutes. Steps are marked by their number in the table of steps."""

    def __init__(
        self,
        curves: tuple[Curve, ...],
        bands: tuple[BandSpan, ...],
        steps: tuple[StepTime, ...],
        width: float,
    ) -> None:
        super().__init__()
        self.curves, self.bands, self.steps = curves, bands, steps
        self.width, self.height = width, HEIGHT
        self.end_s = max([t.to_s for t in steps] + [p[0] for c in curves for p in c.points] + [60.0])
        temps = [p[1] for c in curves for p in c.points]
        limits = [x for b in bands for x in (b.low_c, b.high_c) if x is not None]
        self.low_c = math.floor(min([*temps, *limits, 20.0]) / 10) * 10
        self.high_c = max(math.ceil(max([*temps, *limits, 30.0]) / 10) * 10, self.low_c + 10)

    def x(self, at_s: float) -> float:
        """Where a time lies, in points."""
        return LEFT + (self.width - LEFT) * at_s / self.end_s

    def y(self, temp_c: float) -> float:
        """Where a temperature lies, in points."""
        return BOTTOM + (self.height - BOTTOM - TOP) * (temp_c - self.low_c) / (self.high_c - self.low_c)

    def draw(self) -> None:
        """Bands first, curves above them, figures last."""
        self._bands()
        self._grid()
        self._steps()
        for n, curve in enumerate(self.curves):
            self._curve(curve, *STROKES[n % len(STROKES)])
        self._legend()

    def _bands(self) -> None:
        c = self.canv
        for b in self.bands:
            low = self.y(b.low_c if b.low_c is not None else self.low_c)
            high = self.y(b.high_c if b.high_c is not None else self.high_c)
            left, wide = self.x(b.from_s), max(self.x(b.to_s) - self.x(b.from_s), 0.8)
            c.setFillColor(BAND)
            c.rect(left, low, wide, high - low, stroke=0, fill=1)
            c.setStrokeColor(EDGE)
            c.setLineWidth(0.5)
            for limit in (b.low_c, b.high_c):
                if limit is not None:
                    c.line(left, self.y(limit), left + wide, self.y(limit))

    def _grid(self) -> None:
        c = self.canv
        c.setFont(TEXT, 6.6)
        c.setLineWidth(0.25)
        step = 10 if self.high_c - self.low_c <= 90 else 20
        for temp in range(self.low_c, self.high_c + 1, step):
            c.setStrokeColor(RULE)
            c.line(LEFT, self.y(temp), self.width, self.y(temp))
            c.setFillColor(SLATE)
            c.drawRightString(LEFT - 4, self.y(temp) - 2.2, f"{temp}")
        c.drawRightString(LEFT - 4, self.height - TOP + 8, "°C")
        every = next((m for m in (1, 2, 5, 10, 15, 30, 60, 120, 240) if self.end_s / 60 / m <= 13), 480)
        for minute in range(0, int(self.end_s / 60) + 1, every):
            x = self.x(minute * 60)
            c.line(x, BOTTOM, x, BOTTOM - 3)
            c.drawCentredString(x, BOTTOM - 10, f"{minute // 60}:{minute % 60:02d}")
        c.drawString(LEFT, 1, tr("hours:minutes since the make began"))

    def _steps(self) -> None:
        """A dotted line where each step begins; its number above, raised where numbers would touch."""
        c = self.canv
        top, taken = self.height - TOP + 4, [-99.0] * LEVELS
        c.setLineWidth(0.35)
        for n, t in enumerate(self.steps, 1):
            x = self.x(t.from_s)
            c.setStrokeColor(RULE)
            c.setDash(1, 2)
            c.line(x, BOTTOM, x, top)
            c.setDash()
            level = next((i for i, last in enumerate(taken) if x - last >= 9), None)
            if level is None:
                continue  # the line stands there, its number in the table only
            taken[level] = x
            c.setFont(BOLD, 6)
            c.setFillColor(SLATE)
            c.drawCentredString(x, top + 2 + 6.5 * level, str(n))

    def _curve(self, curve: Curve, colour: Color, dash: tuple[float, ...]) -> None:
        c = self.canv
        path = c.beginPath()
        for n, (at_s, temp) in enumerate(curve.points):
            if n == 0:
                path.moveTo(self.x(at_s), self.y(temp))
            else:
                path.lineTo(self.x(at_s), self.y(temp))
        c.setStrokeColor(colour)
        c.setLineWidth(1.1)
        c.setLineJoin(1)
        c.setDash(*((list(dash), 0) if dash else ()))
        c.drawPath(path, stroke=1, fill=0)
        c.setDash()

    def _legend(self) -> None:
        c, x = self.canv, LEFT + 130.0
        for n, curve in enumerate(self.curves):
            colour, dash = STROKES[n % len(STROKES)]
            c.setStrokeColor(colour)
            c.setLineWidth(1.3)
            c.setDash(*((list(dash), 0) if dash else ()))
            c.line(x, 3.2, x + 18, 3.2)
            c.setDash()
            label = f"{shown(curve.vessel)} ({curve.source})"
            c.setFont(TEXT, 6.8)
            c.setFillColor(INK)
            c.drawString(x + 22, 1, label)
            x += 34 + width_pt(label, 6.8)
        if self.bands:
            c.setFillColor(BAND)
            c.setStrokeColor(EDGE)
            c.setLineWidth(0.5)
            c.rect(x, 0.4, 12, 6, stroke=1, fill=1)
            c.setFillColor(INK)
            c.drawString(x + 16, 1, tr("limits of the step"))
