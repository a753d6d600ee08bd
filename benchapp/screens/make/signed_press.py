"""A press that is there at every view, with its sign over its word: what it does is seen before it is read."""

from __future__ import annotations

from collections.abc import Callable

from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.shapes import draw_shape
from benchapp.screens.widgets.button import TouchButton

#: The sign's side as a share of the press's height, and less than which it is not seen.
SIDE, LEAST = 0.36, 0.24


class SignedPress(TouchButton):
    """The sign gives way where its words need the room, as where reasons are counted on it."""

    def __init__(
        self, sizes: Sizes, label: str, act: Callable[[], None], kind: str, meaning: object, sign: str
    ) -> None:
        self._sign = sign
        super().__init__(label, act, kind, sizes.line, meaning)

    def _arrange(self, *_: object) -> None:
        words = self.caption.height_at(self.width - 12)
        side = min(self.height * SIDE, self.height - words - 6)
        shown = side >= self.height * LEAST
        self.head = side if shown else 0.0
        super()._arrange()
        self.canvas.after.clear()
        if shown:
            with self.canvas.after:
                draw_shape(self._sign, self.center_x - side / 2, self.caption.top - 2, side, self._ink)
