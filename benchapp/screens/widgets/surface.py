"""The ground of a page or a sheet, over the whole panel, and how buttons are laid out on it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.make.view_model import ViewModel
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import DETAIL_EDGE, DETAIL_SHARE, ButtonSpec, TouchButton, least_width
from benchapp.screens.widgets.text_label import wrapped_high


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
    return least_width(label, size) <= wide and wrapped_high(label, size, True, int(wide - 12)) <= high - 4


class Surface(Widget):
    """Plain ground over the whole panel; touches go no further."""

    def __init__(self, sizes: Sizes) -> None:
        self.panel, self.sizes = sizes.panel, sizes
        super().__init__(size=(self.panel.width, self.panel.height), size_hint=(None, None))
        with self.canvas.before:
            Color(*d.SAND)
            Rectangle(size=self.size)

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

    def grid(self, buttons: Sequence[ButtonSpec], columns: int, area: Area, *details: Sequence[str]) -> None:
        """Buttons in rows from the top, as high as there is room, never smaller than an action; digits are large.
        ``details`` are second lines, the fullest first: those that all have room are there."""
        s = self.sizes
        rows = -(-len(buttons) // columns)
        high = max(min((area.top - area.low - s.gap * (rows - 1)) / rows, s.action * 1.4), s.action)
        wide = (area.width - s.gap * (columns - 1)) / columns
        size = s.line if all(_fits(label, s.line, wide, high) for label, _, _ in buttons) else s.note
        under: Sequence[str] = ()
        if details:
            high = max(min((area.top - area.low - s.gap * (rows - 1)) / rows, s.action * 2), s.action)
            fonts = (s.line, round((s.line + s.note) / 2), s.note)
            fitting = ((d, f) for d in details for f in fonts if self._cards_fit(buttons, d, f, (wide, high)))
            under, size = next(fitting, ((), s.note))
        for n, (label, act, kind) in enumerate(buttons):
            row, column = divmod(n, columns)
            font = s.instruction if len(label) == 1 else size
            detail = under[n] if under else ""
            button = TouchButton(label, act, kind, font, None, detail, self._under(font))
            button.size = (wide, high)
            button.pos = (
                area.left + column * (wide + s.gap),
                area.top - (row + 1) * high - row * s.gap,
            )
            self.add_widget(button)

    def _cards_fit(
        self, buttons: Sequence[ButtonSpec], details: Sequence[str], size: int, box: tuple[float, float]
    ) -> bool:
        """Whether every label has room with its second line under it, which is no smaller than anything is."""
        wide, high = box
        under, inner = self._under(size), int(wide - 2 * DETAIL_EDGE)
        return all(
            wrapped_high(label, size, True, inner) + wrapped_high(detail, under, False, inner) <= high - 8
            for (label, _, _), detail in zip(buttons, details, strict=True)
        )

    def _under(self, size: int) -> int:
        """How large a second line is under words of that size."""
        return max(round(size * DETAIL_SHARE), self.sizes.small)

    def row(self, buttons: Sequence[ButtonSpec], width: float, above: int = 0) -> None:
        """Buttons beside each other at the bottom, or so many rows above it. A label "" leaves its place empty, so that
        what lies beside it stays where it was on the page before."""
        s = self.sizes
        wide = (width - s.gap * (len(buttons) - 1)) / len(buttons)
        presses = [TouchButton(label, act, kind, s.line) if label else None for label, act, kind in buttons]
        if any(p is not None and p.width_for(s.action) > wide for p in presses):
            for p in presses:
                if p is not None:
                    p.shrink(
                        s.note
                    )  # where not all of them have room at the size that is read from where one works
        for n, button in enumerate(presses):
            if button is not None:
                y = s.pad + above * (s.action + s.gap)
                button.size, button.pos = (wide, s.action), (self.left + n * (wide + s.gap), y)
                self.add_widget(button)
