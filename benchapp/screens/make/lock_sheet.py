"""The lock for wiping the glass."""

from __future__ import annotations

from collections.abc import Callable

from kivy.clock import Clock

from benchapp.foundation.language import tr
from benchapp.make.view_model import ViewModel
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.shapes import draw_shape
from benchapp.screens.widgets.button import TouchButton, least_width
from benchapp.screens.widgets.surface import Surface
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high


class LockSheet(Surface):
    """Nothing reacts while the glass is wiped; two presses, one in each lower corner, unlock it."""

    def __init__(self, sizes: Sizes, back: Callable[[], None]) -> None:
        super().__init__(sizes)
        s, panel = sizes, sizes.panel
        self._pressed: set[str] = set()
        self._back = back
        self.label = TextLabel(
            tr("Wipe the screen. Only the two keys below do anything."), s.instruction, d.INK, bold=True
        )
        self.add_widget(self.label)
        y = self.label.place(s.pad, panel.height - s.pad, self.wide)
        self.how = TextLabel(tr("To go on: press left, then right."), s.line, d.INK)
        self.add_widget(self.how)
        self.how.place(s.pad, y - s.gap, self.wide)
        side = panel.height * 0.3
        with self.canvas:
            draw_shape("lock", (panel.width - side) / 2, s.action + 3 * s.gap, side, d.SLATE)
        wide = min(2.4 * s.action, (panel.width - 3 * s.pad) / 2)
        corners = ((tr("Left first"), "left", s.pad), (tr("Then right"), "right", panel.width - s.pad - wide))
        for words, name, x in corners:
            fonts = (
                f
                for f in s.ladder[:3]
                if least_width(words, f) <= wide
                and wrapped_high(words, f, True, int(wide - 12)) <= s.action - 4
            )
            press = TouchButton(words, self._corner(name), "plain", next(fonts, s.small))
            press.size, press.pos = (wide, s.action), (x, s.pad)
            self.add_widget(press)

    def stays(self, before: ViewModel, after: ViewModel) -> bool:
        """Whatever the make comes to: a wet cloth presses nothing."""
        return True

    def _corner(self, name: str) -> Callable[[], None]:
        def act() -> None:
            if name == "left":
                self._pressed = {"left"}
                Clock.schedule_once(lambda _: self._pressed.clear(), 3.0)
            elif "left" in self._pressed:
                self._back()

        return act
