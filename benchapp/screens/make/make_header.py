"""The top of the make's page: which step, how far, the cautions that hold, the wait beside, what is wrong."""

from __future__ import annotations

from typing import NamedTuple

from kivy.graphics import Color, Rectangle

from benchapp.foundation.language import tr
from benchapp.make.view_model import ViewModel
from benchapp.make.waits import still_to_come
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import to_go_of
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.make.caution_pages import CautionStrip
from benchapp.screens.make.meanwhile_band import MeanwhileBand
from benchapp.screens.make.step_progress import StepProgress
from benchapp.screens.widgets.text_label import TextLabel, natural_wide

#: A glass of fewer lines than this has no room for a line of its own about a wait.
CROWDED = 18.0


class HeaderRow(NamedTuple):
    """The row under the line of time: its ends and its top, in pixels, and which step it is."""

    left: float
    right: float
    top: float
    place: str


#: How high the line of time is, and how far the line of words under it reaches up into it (over capitals it is empty), as
#: shares of their size.
STRIP, EMPTY = 0.3, 0.08
#: The share of the row that the cautions have at the most before their words give way; of that of an upright glass.
CAUTIONS_SHARE, UPRIGHT_CAUTIONS = 0.57, 0.34


#: The share of the height that the letters of an order to stop may have, up to the size of a reading.
HUGE_SHARE = 0.17


def _stops(m: ViewModel) -> bool:
    """Whether the head of the page turns dark."""
    return m.act_view.struck or m.act_view.too_much is not None


def _said_left(m: ViewModel) -> str:
    """How much waiting is left; nothing where something has to be stopped."""
    return "" if _stops(m) else still_to_come(m)


class MakeHeader:
    """Lays its parts out from the top of the panel downwards."""

    def __init__(self, sizes: Sizes, rehearsing: bool) -> None:
        self._sizes, self._rehearsing = sizes, rehearsing
        self.title = TextLabel("", sizes.note, d.SLATE, bold=True)
        self.place = TextLabel("", sizes.line, d.INK, bold=True)  # which of how many steps
        self.left = TextLabel("", sizes.line, d.INK, bold=True)  # how much waiting is left
        self.progress = StepProgress()
        self.cautions = CautionStrip(sizes)
        self.meanwhile = MeanwhileBand(sizes)
        self.trouble = TextLabel("", sizes.line, d.FOAM, bold=True)
        self.stop = TextLabel("", sizes.across, d.FOAM, bold=True)
        self.parts = (
            self.title,
            self.place,
            self.left,
            self.progress,
            self.cautions,
            self.meanwhile,
            self.trouble,
            self.stop,
        )
        self._row: HeaderRow | None = None  # under the line of time
        self._said_left: str | None = None

    def show(self, m: ViewModel) -> None:
        """Only the numbers have changed."""
        self._say_left(m)
        self.progress.show(m.progress, m.spans)
        self.meanwhile.numbers(m.meanwhile)
        self._say_stop(m)

    def lay_out(self, m: ViewModel) -> float:
        """Lay out everything; returns where it ends. The line of time lies along the top, at the same place on every page."""
        s, panel = self._sizes, self._sizes.panel
        left, right = s.pad, panel.width - s.pad
        for words in (self.title, self.place, self.left):
            words.text, words.size = "", (0, 0)
        self._row, self._said_left = None, None
        high = round(s.line * STRIP)
        under = panel.height - high
        self.progress.pos, self.progress.size = (left, under), (right - left, high)
        top = under + s.line * EMPTY
        alarmed = _stops(m) and not panel.portrait  # no wait beside matters then
        share = UPRIGHT_CAUTIONS if panel.portrait else CAUTIONS_SHARE
        sign = s.between * 1.12 if alarmed else self._row_high
        strip_w = self.cautions.show(m.cautions, right, under - 2, sign, share * (right - left))
        end = right - strip_w - s.gap
        if (
            m.meanwhile is not None and panel.height < CROWDED * s.note and not alarmed
        ):  # the wait itself is told, not what comes
            low = self.meanwhile.place(m.meanwhile, left, end, under, tight=True)
            low = min(low, top - self._row_high)
        else:
            low = self._lay_time(m, left, (end, right), top)
            low = self.cautions.y - 5 if alarmed and m.cautions else self._under_signs(m, low)
            low = self.meanwhile.place(None if alarmed else m.meanwhile, left, right, low)
        return self._lay_stop(m, left, right, self._lay_trouble(m, left, right, low))

    def _under_signs(self, m: ViewModel, low: float) -> float:
        """Where what follows begins: words do beside the foot of a sign, a coloured ground does under it."""
        ground = _stops(m) or m.meanwhile or m.trouble or m.act_view.cautions
        return min(low, self.cautions.y) if ground and m.cautions else low

    def _lay_time(self, m: ViewModel, left: float, ends: tuple[float, float], top: float) -> float:
        """Which step it is and the waits, beside the cautions or under them; what the step is about the order says. ``ends``:
        where a row ends beside the cautions, and under them. Returns where it ends."""
        s = self._sizes
        beside, right = ends
        step, simulated = self._step(m), self._simulated()
        said = _said_left(m)
        row = HeaderRow(left, beside, top, f"{simulated}{step}")
        if not self._has_room(row, said):
            self.title.text, self.title.font_size = simulated, s.note
            low = self.title.place(left, top, beside - left) if simulated else top
            row = HeaderRow(left, right, min(low, self.cautions.y), step)
        self._row = row
        self._say_left(m)
        return float(row.top - self._row_high)

    def _has_room(self, row: HeaderRow, said: str) -> bool:
        """Whether what is said of the waits has room beside the step."""
        if not said:
            return True
        small, room = self._sizes.small, row.right - row.left - 3 * self._sizes.gap
        return natural_wide(row.place, small) + natural_wide(said, small) <= room

    @property
    def _row_high(self) -> float:
        """How high the row of the step is, and the signs beside it."""
        return self._sizes.line * 1.17

    def _say_left(self, m: ViewModel) -> None:
        """The row under the line of time: which step it is, and how much waiting is left."""
        if self._row is None:
            return
        said = _said_left(m)
        if said != self._said_left:
            self._said_left = said
            self._lay_row(self._row, said)

    def _lay_row(self, row: HeaderRow, said: str) -> None:
        """Which step it is, and the waits, as large as both have room for."""
        s, wide = self._sizes, row.right - row.left
        self.place.text, self.left.text = row.place, said
        for font in range(s.line, s.small - 1, -1):
            self.place.font_size = self.left.font_size = font
            if self.place.natural()[0] + self.left.natural()[0] + 2 * s.gap <= wide:
                break
        middle = row.top - self._row_high / 2
        self.place.pos = (row.left, middle - self.place.height / 2)
        self.left.pos = (row.right - self.left.width, middle - self.left.height / 2)

    def _lay_stop(self, m: ViewModel, left: float, right: float, low: float) -> float:
        """Past the band: everything above the order turns dark and says stop, or how much too much was poured. While
        something runs in by itself it is the order, as large as the reading where that has room."""
        self.stop.text, self.stop.size = "", (0, 0)
        self.stop.canvas.before.clear()
        if not _stops(m):
            return low
        gap, s = self._sizes.gap, self._sizes
        self._say_stop(m)
        room = right - left - 2 * gap
        huge = round(min(s.reading, max(s.across, s.panel.height * HUGE_SHARE)))
        fits = m.act_view.struck and natural_wide(self.stop.text, huge) <= room
        self.stop.font_size = huge if fits else s.across
        bottom = self.stop.place(left + gap, low - 2, room)
        with self.stop.canvas.before:
            Color(*d.CORAL)
            Rectangle(pos=(left, bottom - 4), size=(right - left, low - bottom + 4))
        return float(bottom - 4 - gap * 0.2)

    def _say_stop(self, m: ViewModel) -> None:
        live = m.act_view.too_much
        if m.act_view.struck:
            self.stop.text = m.act_view.move
        elif live is not None:
            number, _ = to_go_of(live, self._sizes.figures)
            if m.act_view.halts:
                text = tr("STOP   {number} {unit}", number=number, unit=live.unit)
            else:  # it is poured: there is nothing to stop any more
                text = tr("{number} {unit} too much", number=number.removeprefix("+"), unit=live.unit)
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

    def _step(self, m: ViewModel) -> str:
        """Which of how many steps it is."""
        return tr("{step_number}/{step_count}", step_number=m.step_number, step_count=m.step_count)

    def _simulated(self) -> str:
        """On a bench that does not exist, that it does not."""
        return tr("Simulated  ") if self._rehearsing else ""
