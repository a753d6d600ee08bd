"""How large things have to be: from the panel's real pixel pitch and the distance it is read from. No Kivy.

Sources: characters 16 arcmin at the least, 20 to 22 preferred (ISO 9241-3 as quoted); 20 mm keys sufficient
(Colle & Hiszem 2004). Pixel pitches computed from the diagonals of the reference panels.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from benchapp.foundation.language import tr_noop
from benchapp.screens.display.figures import Figures

#: Height of a capital or a digit as a share of the font size, for the font that is drawn (Roboto; its own metrics).
CAP_SHARE = 0.711
READING_ARCMIN = INSTRUCTION_ARCMIN = 22.0
SMALL_ARCMIN = 16.0
#: From the place of work: what is acted on at a glance, and what is read there (reasons, buttons).
ACROSS_ARCMIN, LINE_ARCMIN = 20.0, 10.0


@dataclass(frozen=True, slots=True)
class Panel:
    """A reference panel. ``reading_m`` is how far away its live reading has to be legible, ``work_m`` how far away one
    works from it."""

    name: str
    width: int
    height: int
    px_per_mm: float
    reading_m: float
    action_mm: float
    work_m: float = 2.0

    @property
    def portrait(self) -> bool:
        """Higher than wide."""
        return self.height > self.width


TEN_INCH = Panel(tr_noop("10.1-inch 1280×800"), 1280, 800, 5.89, 3.0, 20.0)
TEN_INCH_UPRIGHT = Panel(tr_noop("10.1-inch 800×1280"), 800, 1280, 5.89, 3.0, 20.0)
SEVEN_INCH = Panel(tr_noop("7-inch 1024×600"), 1024, 600, 6.7, 2.0, 15.0, 1.0)
SEVEN_INCH_COARSE = Panel(tr_noop("7-inch 800×480"), 800, 480, 5.3, 2.0, 15.0, 1.0)
PANELS = (TEN_INCH, TEN_INCH_UPRIGHT, SEVEN_INCH, SEVEN_INCH_COARSE)
#: A screen at a desk, with mouse and keyboard: it is read from as far away as a tablet, and pressed with a pointer.
DESK = Panel(tr_noop("24-inch 1920×1080"), 1920, 1080, 3.61, 3.0, 14.0)


def panel_for(width: int, height: int) -> Panel:
    """The reference panel a window is taken for: that of the same pixels, else a 10-inch one of its own pitch."""
    for panel in (*PANELS, DESK):
        if (panel.width, panel.height) == (width, height):
            return panel
    diagonal_mm = 10.1 * 25.4
    pitch = math.hypot(width, height) / diagonal_mm
    return Panel(f"{width}×{height}", width, height, pitch, 3.0, 20.0)


def height_mm(arcmin: float, distance_m: float) -> float:
    """Height in mm that is seen under so many arc minutes at so many metres."""
    return 2000.0 * distance_m * math.tan(math.radians(arcmin / 60.0) / 2.0)


def arcmin(height_px: float, px_per_mm: float, distance_m: float) -> float:
    """Under which angle so many pixels are seen, in arc minutes."""
    return math.degrees(2.0 * math.atan(height_px / px_per_mm / 2000.0 / distance_m)) * 60.0


@dataclass(frozen=True, slots=True)
class Sizes:
    """Everything measured in pixels, for one panel and one text size; and how figures are written there."""

    panel: Panel
    reading: int  # font size of the live number
    across: int  # of what is acted on at a glance: to go, minutes left, STOP, the next move
    instruction: int
    line: int  # of what is read from where one works: reasons, buttons
    note: int  # of what is read up close
    small: int
    action: int  # smallest side of anything that is pressed
    gap: int
    pad: int
    figures: Figures = field(default_factory=Figures)

    @property
    def between(self) -> int:
        """Between what is read from where one works and what is read up close."""
        return round((self.line + self.note) / 2)

    @property
    def ladder(self) -> tuple[int, int, int, int]:
        """The sizes that words step down by until all of them have room: from what is read from where one works."""
        return self.line, self.between, self.note, self.small

    @staticmethod
    def of(panel: Panel, large: bool = False, figures: Figures | None = None) -> Sizes:
        """The sizes of a panel; ``large`` is the largest text setting."""

        def font(minutes: float, distance: float) -> int:
            return math.ceil(height_mm(minutes, distance) * panel.px_per_mm / CAP_SHARE)

        more = 1.15 if large else 1.0
        across = font(ACROSS_ARCMIN, panel.work_m)
        instruction = math.ceil(font(INSTRUCTION_ARCMIN, 1.0) * (1.08 if large else 1.0))
        note = math.ceil(font(SMALL_ARCMIN, 0.7) * more)
        gap = math.ceil(2.0 * panel.px_per_mm)
        return Sizes(
            panel=panel,
            reading=math.ceil(font(READING_ARCMIN, panel.reading_m) * (1.1 if large else 1.02)),
            across=max(across, instruction),
            instruction=instruction,
            line=max(font(LINE_ARCMIN, panel.work_m), note),
            note=note,
            small=math.ceil(font(SMALL_ARCMIN, 0.55) * more),
            action=math.ceil(panel.action_mm * panel.px_per_mm),
            gap=gap,
            pad=gap,
            figures=figures or Figures(),
        )  # fmt: skip
