"""What the hands do next and how many minutes are left, large enough for a glance from across the bench."""

from __future__ import annotations

import math

from kivy.uix.widget import Widget

from benchapp.foundation.language import tr
from benchapp.make.view_model import Forecast, ViewModel
from benchapp.make.waits import about, is_wide, wait
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.text_label import TextLabel


class MoveLine(Widget):
    """The move, then the minutes, then between which times: in one line where they fit, else as much as there is room for."""

    def __init__(self, sizes: Sizes) -> None:
        super().__init__(size_hint=(None, None), size=(0.0, 0.0))
        self._sizes = sizes
        self.move = TextLabel("", sizes.across, bold=True)
        self.minutes = TextLabel("", sizes.across, bold=True)
        self.between = TextLabel("", sizes.line)
        for part in (self.move, self.minutes, self.between):
            self.add_widget(part)
        self.box = (0.0, 0.0, 0.0, 0.0)  # left, width, low, top
        self._shown: tuple[str, ...] = ()
        self._wide = False  # the minutes say themselves from when to when

    @property
    def says_wait(self) -> bool:
        """Whether it says how long still, and between which times."""
        return bool(self.minutes.text and (self.between.text or self._wide))

    @property
    def right_end(self) -> float:
        """How far its words reach."""
        return float(
            max(
                part.right
                for part in (self.move, self.minutes, self.between)
                if part.text or part is self.move
            )
        )

    @property
    def row(self) -> float:
        """How high one line of it is."""
        return float(self._sizes.across * 1.17)

    def needed(self, m: ViewModel, width: float) -> tuple[float, float]:
        """How high the minutes are at that width, and how high everything."""
        minutes = self._words(m)[1]
        before = self.box
        self.show(m, (0.0, width, 0.0, 1e6))
        high = float(self.height)
        if before[1]:
            self.show(m, before)
        else:
            self.clear()
        return (self.row if minutes else 0.0), high

    def place(self, box: tuple[float, float, float, float]) -> None:
        """Where it goes: left, width, low, top; it is drawn by the next ``show``."""
        self.box, self._shown = box, ()

    def clear(self) -> None:
        """Nothing stands there."""
        self._shown, self.box, self.size = (), (0.0, 0.0, 0.0, 0.0), (0.0, 0.0)
        for part in (self.move, self.minutes, self.between):
            part.text, part.size = "", (0.0, 0.0)

    def show(self, m: ViewModel, box: tuple[float, float, float, float] | None = None) -> None:
        """Draw it where it changed; ``box`` is where it goes from now on: left, width, low, top."""
        words = self._words(m)
        if box is None and (words == self._shown or not self.box[1]):
            return
        self._shown, self.box = words, box or self.box
        self._lay(*words)

    def _words(self, m: ViewModel) -> tuple[str, str, str]:
        act_view = m.act_view
        given = act_view.forecast
        if given is None or any(x.unit == "s" for x in act_view.live):
            return act_view.move, "", ""
        put = self._sizes.figures.text
        self._wide = is_wide(given)
        return act_view.move, about(given), "" if self._wide else put(_between(given))

    def _lay(self, move: str, minutes: str, between: str) -> None:
        left, width, low, top = self.box
        gap, y = self._sizes.gap * 2, top
        self.move.text = move
        if move and self.move.natural()[0] > width:
            move = ""
        for part, text in ((self.move, move), (self.minutes, minutes), (self.between, between)):
            part.text = text
            part.color = (*(d.INK if part is self.move else d.MUSSEL), 1)
            part.natural()
            part.size = part.texture_size if text else (0.0, 0.0)
        both = move and minutes and self.move.width + gap + self.minutes.width <= width
        if move and minutes and not both and top - low < 2 * self.row:
            self.move.text, self.move.size, move = "", (0.0, 0.0), ""
        x = left
        if move:
            self.move.pos = (x, y - self.move.height)
            x, y = (x + self.move.width + gap, y) if both else (left, y - self.row)
        if minutes:
            self.minutes.pos = (x, y - self.minutes.height)
            x, y = x + self.minutes.width + gap, y - self.row
        elif both:
            y -= self.row
        if between:
            y = self._lay_between(x, y, minutes)
        self.pos, self.size = (left, y), (width, max(top - y, 0.0))

    def _lay_between(self, x: float, y: float, minutes: str) -> float:
        """Beside the minutes where there is room, else under them; returns where it all ends."""
        left, width, low, _ = self.box
        if minutes and x + self.between.width <= left + width:
            self.between.pos = (x, y + (self.row - self.between.height) / 2)
            return y
        if y - self.between.height < low:
            self.between.text, self.between.size = "", (0.0, 0.0)
            return y
        return self.between.place(left, y, width)


def _between(given: Forecast) -> str:
    """Until what, and between which times."""
    if given.early_s == given.late_s:
        return given.what
    if math.isinf(given.late_s):
        return tr("{what}: {wait} at the earliest, perhaps never", what=given.what, wait=wait(given.early_s))
    return tr(
        "{what}: {wait} to {wait_2}", what=given.what, wait=wait(given.early_s), wait_2=wait(given.late_s)
    )
