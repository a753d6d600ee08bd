"""Hold to confirm: a bar that names what was picked, held till it fills. A drop picks at most; it confirms nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import product
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, RoundedRectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr_noop
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.input.touch_guard import FILL_S, WITHIN_S
from benchapp.screens.widgets.button import TouchButton
from benchapp.screens.widgets.confirm_place import WIDTHS, place_for

#: What stands on it before what is confirmed, and once it is full.
HOLD, HELD, FULL = tr_noop("Hold down"), tr_noop("Keep holding"), tr_noop("Let go")
#: How high the band is that fills, over the words where no finger covers it, as a multiple of a gap; and how far it keeps from the
#: edges, in pixels.
BAND, EDGE = 1.2, 10.0


class HoldToConfirm(TouchButton):
    """Stands in a corner away from the press that picked ``what``; ``gone`` is called when its time is over."""

    hold_s = FILL_S

    def __init__(
        self,
        sizes: Sizes,
        what: str,
        act: Callable[[], None],
        picked_at: tuple[float, float],
        gone: Callable[[], None],
    ) -> None:
        self.what, self.share = what, 0.0
        self._covered: list[Widget] = []
        super().__init__(f"{HOLD}: {what}", act, "main", sizes.note, meaning="say")
        self.remove_widget(self.caption)
        self._band = sizes.gap * BAND
        self.head = self._band + EDGE
        with self.canvas:
            Color(*d.mixed(d.TIDE, d.FOAM, 0.7))
            self._track = RoundedRectangle(radius=[self._band / 2], size=(0, 0))
            Color(*d.FOAM)
            self._filled = RoundedRectangle(radius=[self._band / 2], size=(0, 0))
        self.add_widget(self.caption)
        for font, share in product(sizes.ladder, WIDTHS):
            left, low, right, top = place_for((*picked_at, *picked_at), sizes, share)
            self.shrink(font)
            whole = self.least_width() <= right - left
            if whole and self.caption.height_at(right - left - 12) <= sizes.action - 4 - self.head:
                break
        self.size, self.pos = (right - left, top - low), (left, low)
        self._track.size = (self.width - 2 * EDGE, self._band)
        self._track.pos = self._filled.pos = (left + EDGE, top - EDGE - self._band)
        self._end = Clock.schedule_once(lambda _: gone(), WITHIN_S)

    def fill(self, share: float) -> None:
        """Pressed for so much of the time it takes, 0 to 1."""
        if share != self.share:
            self.share = share
            self._filled.size = (self._track.size[0] * share, self._band if share else 0)
            self.say(f"{FULL if share >= 1.0 else HELD if share else HOLD}: {self.what}")

    def cover(self, widgets: Iterable[Widget]) -> None:
        """Hide what would look out from under it."""
        for widget in widgets:
            if widget is not self and widget.opacity and self.collide_widget(widget):
                widget.opacity = 0.0
                self._covered.append(widget)

    def end(self) -> None:
        """It is taken away; what it covered is there again."""
        self._end.cancel()
        for widget in self._covered:
            widget.opacity = 1.0

    def on_touch_up(self, touch: Any) -> bool:
        self.fill(0.0)
        return super().on_touch_up(touch)
