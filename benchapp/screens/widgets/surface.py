"""The ground of a page or a sheet, over the whole panel, and how buttons are laid out on it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from kivy.uix.widget import Widget

from benchapp.screens.drawings.ground import draw_ground
from benchapp.screens.widgets.action_row import lay_page_row
from benchapp.screens.widgets.button import (
    ABSENT,
    ButtonSpec,
    TouchButton,
    least_width,
)
from benchapp.screens.widgets.text_label import wrapped_high

if TYPE_CHECKING:
    from benchapp.make.view_model import ViewModel
    from benchapp.screens.display.sizes import Sizes


#: So much of a press's width its words leave free, in pixels.
AIR = 36


class Area(NamedTuple):
    """A part of the panel, in pixels."""

    left: float
    low: float
    width: float
    top: float


def same_act(before: ViewModel, after: ViewModel) -> bool:
    """Whether both views' prompts are of the same act, whatever its turn."""
    return before.prompt.partition("#")[0] == after.prompt.partition("#")[0]


def _fits(label: str, size: int, wide: float, high: float) -> bool:
    """Whether a button's words have room at that size."""
    inner = int(wide - AIR)
    return least_width(label, size) <= wide and wrapped_high(label, size, True, inner) <= high - 4


class Surface(Widget):
    """Plain ground over the whole panel; touches go no further. ``leads_back``: the first of its lowest row is the way back."""

    leads_back = True

    def __init__(self, sizes: Sizes) -> None:
        self.panel, self.sizes = sizes.panel, sizes
        self.way_back: Callable[[], None] | None = None
        super().__init__(size=(self.panel.width, self.panel.height), size_hint=(None, None))
        draw_ground(self.canvas.before)

    @property
    def left(self) -> float:
        """The left edge of what stands on it."""
        return float(self.sizes.pad)

    @property
    def wide(self) -> float:
        """The width between the edges."""
        return float(self.panel.width - 2 * self.sizes.pad)

    def stays(self, before: ViewModel, after: ViewModel) -> bool:
        """Whether it still means the same after the make has moved from one view to the other."""
        return False

    def on_touch_down(self, touch: object) -> bool:
        super().on_touch_down(touch)
        return True

    def on_touch_up(self, touch: object) -> bool:
        super().on_touch_up(touch)
        return True

    def grid(self, buttons: Sequence[ButtonSpec], columns: int, area: Area, most: int = 0) -> None:
        """Buttons in rows from the top, as high as there is room, never smaller than an action; digits are large. ``most``:
        their words are no larger, where they weigh less than others."""
        s = self.sizes
        rows = -(-len(buttons) // columns)
        high = max(min((area.top - area.low - s.gap * (rows - 1)) / rows, s.action * 1.6), s.action)
        wide = (area.width - s.gap * (columns - 1)) / columns
        labels = [label for label, _, kind in buttons if kind != ABSENT]
        fonts = [f for f in s.ladder if not most or f <= most]
        size = next((f for f in fonts if all(_fits(label, f, wide, high) for label in labels)), s.small)
        for n, (label, act, kind) in enumerate(buttons):
            row, column = divmod(n, columns)
            if kind == ABSENT:
                continue
            button = TouchButton(label, act, kind, int(min(s.across, high / 2)) if len(label) == 1 else size)
            if button.least_width() + AIR <= wide:
                button.edge = AIR
            button.size = (wide, high)
            button.pos = (area.left + column * (wide + s.gap), area.top - (row + 1) * high - row * s.gap)
            self.add_widget(button)

    def row(self, buttons: Sequence[ButtonSpec], width: float, above: int = 0) -> list[TouchButton]:
        """Buttons at the bottom, where the first, the way back, keeps to the left, and beside it what ends or throws away, the
        others to the right; or so many rows above it, all at the right. One of the kind "absent" leaves its place empty, so that what lies
        beside it stays where it was on the page before. Returns them all."""
        if buttons[0][0] == "Back":
            self.way_back = buttons[0][1]
        grave = [] if above else [b for b in buttons[1:] if b[2] == "serious"]
        buttons = [buttons[0], *grave, *(b for b in buttons[1:] if b not in grave)]
        presses = presses_of(self.sizes, buttons, self.leads_back and not above)
        y = self.sizes.pad + above * (self.sizes.action + self.sizes.gap)
        lay_page_row(self.sizes, presses, (y, width), 0 if above else 1, len(grave))
        for press, (_, _, kind) in zip(presses, buttons, strict=True):
            if kind != ABSENT:
                self.add_widget(press)
        return presses


def presses_of(sizes: Sizes, buttons: Sequence[ButtonSpec], leads_back: bool = True) -> list[TouchButton]:
    """The buttons of a row, with the words as large as they are on every page; ``leads_back``: the first is the way back."""
    presses = [
        TouchButton(label, act, "plain" if kind == ABSENT else kind, sizes.between)
        for label, act, kind in buttons
    ]
    if leads_back:
        presses[0].own_width, presses[0].margin = True, sizes.gap * 1.5
    return presses
