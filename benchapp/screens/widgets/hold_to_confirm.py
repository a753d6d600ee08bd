"""Hold to confirm: a bar that names what was picked, held till it fills. A drop picks at most; it confirms nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from itertools import chain, product
from typing import Any

from kivy.clock import Clock
from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr_noop, translated
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.drawing import Drawing
from benchapp.screens.input.touch_guard import FILL_S, WITHIN_S
from benchapp.screens.widgets.button import TouchButton
from benchapp.screens.widgets.confirm_place import WIDTHS, place_for
from benchapp.screens.widgets.text_label import TextLabel

#: What stands on it before what is confirmed; what is said over the hand while it is held, and once it is full.
HOLD, HELD, FULL = tr_noop("Hold down"), tr_noop("Keep holding"), tr_noop("Let go")
#: How high the band is that fills, as a multiple of a gap.
BAND = 1.8
#: A drawing of less than so many times the band's height is hidden whole where the band goes through it.
LOW_DRAWING = 2.0


class HeldBand(Widget):
    """What a hand on the bar cannot cover: across the whole glass, what to do, and a band that fills."""

    def __init__(self, sizes: Sizes, low: float, font: int = 0) -> None:
        """``font``: of its words, in pixels; that of an order where none is given."""
        self._words = TextLabel(HELD, font or sizes.instruction, d.INK, bold=True)
        wide, band = sizes.panel.width - 2.0 * sizes.pad, BAND * sizes.gap
        high = band + self._words.height_at(wide) + sizes.gap
        super().__init__(size_hint=(None, None), pos=(0.0, low), size=(float(sizes.panel.width), high))
        with self.canvas:
            Color(*d.SAND)
            Rectangle(pos=self.pos, size=self.size)
            Color(*d.WET_SAND)
            Rectangle(pos=(sizes.pad, low), size=(wide, band))
            Color(*d.TIDE)
            self._filled = Rectangle(pos=(sizes.pad, low), size=(0.0, band))
        self.add_widget(self._words)
        self._words.place(float(sizes.pad), low + high, wide)
        self._wide = wide

    @property
    def words(self) -> str:
        """What it says now."""
        return str(self._words.text)

    def fill(self, share: float) -> None:
        """So much of it, 0 to 1."""
        self._filled.size = (self._wide * share, self._filled.size[1])
        self._words.text = translated(FULL if share >= 1.0 else HELD)


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
        kept: Sequence[Widget] = (),
    ) -> None:
        """``kept``: presses that stay in reach where there is room beside them."""
        in_reach = [(w.x, w.y, w.right, w.top) for w in kept]
        self.what, self.share, self._sizes, self._picked_at = what, 0.0, sizes, picked_at
        self._covered: list[Widget] = []
        self._behind: list[Widget] = []  # lines that the band would cut through
        super().__init__(f"{HOLD}: {what}", act, "main", sizes.note, meaning="say")
        for font, share in product(sizes.ladder, WIDTHS):
            left, low, right, top = place_for((*picked_at, *picked_at), sizes, share, in_reach)
            self.shrink(font)
            whole = self.least_width() <= right - left
            if whole and self.caption.height_at(right - left - 12) <= sizes.action - 4:
                break
        self.size, self.pos = (right - left, top - low), (left, low)
        self._band = HeldBand(sizes, top + sizes.gap)
        if self._band.top > sizes.panel.height:  # it stands at the top
            self._band = HeldBand(sizes, low - sizes.gap - self._band.height)
        self._end = Clock.schedule_once(lambda _: gone(), WITHIN_S)

    def fill(self, share: float) -> None:
        """Pressed for so much of the time it takes, 0 to 1."""
        if share == self.share:
            return
        self.share = share
        self._band.fill(share)
        self.say(f"{FULL if share >= 1.0 else HOLD}: {self.what}")
        if share and self._band.parent is None:
            self.add_widget(self._band)
            self._behind = [x for x in self._low() if x.opacity and x.collide_widget(self._band)]
        elif not share:
            self.remove_widget(self._band)
        for line in self._behind:
            line.opacity = 0.0 if share else 1.0

    def _low(self) -> Iterable[Widget]:
        """What the band would cut through: lines, and drawings that are hardly higher than itself."""
        around = () if self.parent is None else self.parent.children
        high = LOW_DRAWING * self._band.height
        return (x for x in around if isinstance(x, TextLabel) or (isinstance(x, Drawing) and x.height < high))

    def cover(self, widgets: Iterable[Widget], uncut: Sequence[Widget] = ()) -> None:
        """Hide what would look out from under it, and what was picked: it is said once, here. Over what is ``uncut`` no band goes."""
        shown = [x for x in widgets if x is not self and x.opacity]
        for widget in shown:
            under = self.collide_widget(widget)
            if under or (isinstance(widget, TouchButton) and widget.collide_point(*self._picked_at)):
                widget.opacity = 0.0
                self._covered.append(widget)
        smaller = (HeldBand(self._sizes, self._band.y, font) for font in self._sizes.ladder)
        clear = (band for band in chain((self._band,), smaller) if not self._in_the_way(shown, uncut, band))
        self._band = next(clear, self._band)
        while tops := self._in_the_way(shown, uncut, self._band):
            self._band = HeldBand(self._sizes, max(tops) + self._sizes.gap)

    @staticmethod
    def _in_the_way(shown: Sequence[Widget], uncut: Sequence[Widget], band: HeldBand) -> list[float]:
        """The tops of what no band goes over and this one would, in pixels: presses, and what is not cut."""
        kept = (x for x in shown if x.opacity == 1.0 and (isinstance(x, TouchButton) or x in uncut))
        return [x.top for x in kept if band.collide_widget(x)]

    def end(self) -> None:
        """It is taken away; what it covered is there again."""
        self._end.cancel()
        for widget in (*self._covered, *self._behind):
            widget.opacity = 1.0

    def on_touch_up(self, touch: Any) -> bool:
        self.fill(0.0)
        return super().on_touch_up(touch)
