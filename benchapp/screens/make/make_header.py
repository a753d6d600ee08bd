"""The top of the make's page: which step, how far, the cautions that hold, the wait beside, what is wrong."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle

from benchapp.make.view_model import ViewModel
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.make.caution_pages import CautionStrip
from benchapp.screens.make.meanwhile_band import MeanwhileBand
from benchapp.screens.make.step_progress import StepProgress
from benchapp.screens.widgets.text_label import TextLabel

#: A glass of fewer lines than this has no room for a line of its own about a wait.
CROWDED = 18.0


class MakeHeader:
    """Lays its parts out from the top of the panel downwards."""

    def __init__(self, sizes: Sizes, rehearsing: bool) -> None:
        self._sizes, self._rehearsing = sizes, rehearsing
        self.title = TextLabel("", sizes.small, d.SLATE, bold=True)
        self.progress = StepProgress()
        self.cautions = CautionStrip(sizes)
        self.meanwhile = MeanwhileBand(sizes)
        self.trouble = TextLabel("", sizes.note, d.FOAM, bold=True)
        self.parts = (self.title, self.progress, self.cautions, self.meanwhile, self.trouble)

    def show(self, m: ViewModel) -> None:
        """Only the numbers have changed."""
        self.progress.show(m.progress, m.step_number, m.step_count)
        self.meanwhile.numbers(m.meanwhile)

    def lay_out(self, m: ViewModel) -> float:
        """Lay out everything; returns where it ends."""
        s, panel = self._sizes, self._sizes.panel
        left, right = s.pad, panel.width - s.pad
        top = panel.height - s.pad / 2
        strip_w = self.cautions.show(m.cautions, right, top, s.small * 1.35)
        room = right - left - strip_w - s.gap
        crowded = m.meanwhile is not None and panel.height < CROWDED * s.note
        self.title.text = "" if crowded else self._title(m)
        if crowded:  # what the step is called stands in the instruction, more or less; the wait does not
            low = self.meanwhile.place(m.meanwhile, left, left + room, top, tight=True)
        else:
            low = self.title.place(left, top, room)
        low = min(low, top - s.small * 1.4)
        drawn = not (crowded and m.meanwhile is not None and m.meanwhile.calls)
        self.progress.size = (right - left, max(s.gap, 12)) if drawn else (0, 0)
        self.progress.pos = (left, low - self.progress.height - 4)
        low = self.progress.y - s.gap if drawn else low - 4
        if not crowded:
            low = self.meanwhile.place(m.meanwhile, left, right, low)
        return self._lay_trouble(m, left, right, low)

    def _lay_trouble(self, m: ViewModel, left: float, right: float, low: float) -> float:
        self.trouble.text, self.trouble.size = "", (0, 0)
        self.trouble.canvas.before.clear()
        if m.trouble is None:
            return float(low)
        gap = self._sizes.gap
        self.trouble.text = m.trouble.title
        self.trouble.place(left + gap, low - 4, right - left - 2 * gap)
        with self.trouble.canvas.before:
            Color(*d.CORAL)
            Rectangle(pos=(left, self.trouble.y - 6), size=(right - left, self.trouble.height + 10))
        return float(self.trouble.y - 6 - gap)

    def _title(self, m: ViewModel) -> str:
        where = "Simulated  " if self._rehearsing else ""
        return f"{where}{m.step_number}/{m.step_count}  {m.step_title}"
