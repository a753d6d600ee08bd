"""The top of the make's page: which step, how far, the cautions that hold, the wait beside, what is wrong."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle

from benchapp.foundation.language import tr
from benchapp.make.view_model import ViewModel
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import to_go_of
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.make.caution_pages import CautionStrip
from benchapp.screens.make.meanwhile_band import MeanwhileBand
from benchapp.screens.make.step_progress import StepProgress, waits_to_come
from benchapp.screens.widgets.text_label import TextLabel

#: A glass of fewer lines than this has no room for a line of its own about a wait.
CROWDED = 18.0


class MakeHeader:
    """Lays its parts out from the top of the panel downwards."""

    def __init__(self, sizes: Sizes, rehearsing: bool) -> None:
        self._sizes, self._rehearsing = sizes, rehearsing
        self.title = TextLabel("", sizes.note, d.SLATE, bold=True)
        self.left = TextLabel("", sizes.note, d.SLATE, bold=True)  # how much waiting is left
        self.progress = StepProgress()
        self.cautions = CautionStrip(sizes)
        self.meanwhile = MeanwhileBand(sizes)
        self.trouble = TextLabel("", sizes.line, d.FOAM, bold=True)
        self.stop = TextLabel("", sizes.across, d.FOAM, bold=True)
        self.parts = (
            self.title,
            self.left,
            self.progress,
            self.cautions,
            self.meanwhile,
            self.trouble,
            self.stop,
        )
        self._left_at = (0.0, 0.0, 0.0)  # the right end of what is left, its top, its room
        self._said_left: tuple[tuple[str, ...], float] = ((), 0.0)

    def show(self, m: ViewModel) -> None:
        """Only the numbers have changed."""
        self.progress.show(m.progress, m.spans)
        self.meanwhile.numbers(m.meanwhile)
        self._say_stop(m)
        self._say_left(m)

    def lay_out(self, m: ViewModel) -> float:
        """Lay out everything; returns where it ends."""
        s, panel = self._sizes, self._sizes.panel
        left, right = s.pad, panel.width - s.pad
        self.left.text, self.left.size = "", (0, 0)
        self._said_left = ((), 0.0)
        top = panel.height - s.pad / 2
        strip_w = self.cautions.show(m.cautions, right, top, s.small * 1.35)
        room = right - left - strip_w - s.gap
        if m.act_view.too_much is not None and not panel.portrait:  # nothing else matters now
            self.progress.size = (0, 0)
            self.title.text, self.title.font_size = self._place(m), s.small
            self.title.place(left, top, right - left - strip_w - s.gap)
            self.meanwhile.place(None, left, right, top)
            self._left_at = (0.0, 0.0, 0.0)
            return self._lay_stop(m, left, right, self._lay_trouble(m, left, right, top - s.small * 1.4))
        crowded = m.meanwhile is not None and panel.height < CROWDED * s.note
        self.title.text = "" if crowded else self._title(m)
        if crowded:  # what the step is called stands in the instruction, more or less; the wait does not
            low = self.meanwhile.place(m.meanwhile, left, left + room, top, tight=True)
            self._left_at = (0.0, 0.0, 0.0)
        else:
            wide = 0.0
            for self.title.font_size in (s.note, s.small):  # the smaller one rather than a second line
                wide, _ = self.title.natural()
                if wide + 2 <= room:
                    break
            low = self.title.place(left, top, min(wide + 2, room))
            self._left_at = (left + room, top, room - self.title.width - 2 * s.gap)
        low = min(low, top - s.small * 1.4)
        drawn = not (crowded and m.meanwhile is not None and m.meanwhile.calls)
        self.progress.size = (right - left, max(s.gap, 14)) if drawn else (0, 0)
        self.progress.pos = (left, low - self.progress.height - 4)
        low = self.progress.y - s.gap if drawn else low - 4
        if not crowded:
            low = self.meanwhile.place(m.meanwhile, left, right, low)
        return self._lay_stop(m, left, right, self._lay_trouble(m, left, right, low))

    def _say_left(self, m: ViewModel) -> None:
        """How much waiting there still is, where it has room beside the step's name."""
        right, top, room = self._left_at
        said: tuple[str, ...] = ()
        if room > 0 and not m.over:
            said = waits_to_come(m.spans, m.left_s, m.act_view.forecast is not None)
        if (said, room) == self._said_left:
            return
        self._said_left = (said, room)
        for text in said:
            self.left.text = text
            wide, _ = self.left.natural()
            if wide <= room:
                self.left.pos = (right - wide, top - self.left.height)
                return
        self.left.text, self.left.size = "", (0, 0)

    def _lay_stop(self, m: ViewModel, left: float, right: float, low: float) -> float:
        """Past the band: everything above the order turns dark and says so."""
        self.stop.text, self.stop.size = "", (0, 0)
        self.stop.canvas.before.clear()
        if m.act_view.too_much is None:
            return low
        gap = self._sizes.gap
        self._say_stop(m)
        bottom = self.stop.place(left + gap, low - 2, right - left - 2 * gap)
        with self.stop.canvas.before:
            Color(*d.CORAL)
            Rectangle(pos=(left, bottom - 4), size=(right - left, low - bottom + 4))
        return float(bottom - 4 - gap)

    def _say_stop(self, m: ViewModel) -> None:
        live = m.act_view.too_much
        if live is not None:
            number, _ = to_go_of(live, self._sizes.figures)
            text = tr("STOP   {number} {unit}", number=number, unit=live.unit)
            if text != self.stop.text:
                self.stop.text = text

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
        return f"{self._place(m)}  {m.step_title}"

    def _place(self, m: ViewModel) -> str:
        """Where it is in the make, and whether on a bench that does not exist."""
        return tr(
            "{how}{step_number}/{step_count}",
            how=tr("Simulated  ") if self._rehearsing else "",
            step_number=m.step_number,
            step_count=m.step_count,
        )
