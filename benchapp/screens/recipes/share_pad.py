"""How much of an ingredient: digits, the rest, as needed; and its phase, which can be another one."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchapp.make.view_model import NumberRequest
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.keypad import Keypad, pad_layout
from benchapp.screens.widgets.surface import Area


class SharePad(Keypad):
    """A keypad for a percentage, with ``more`` presses over its Enter."""

    def __init__(
        self,
        sizes: Sizes,
        what: str,
        done: Callable[[float], None],
        back: Callable[[], None],
        more: Sequence[ButtonSpec],
        most: float = 100.0,
    ) -> None:
        super().__init__(sizes, NumberRequest(what, "%", 0.0001, most, 4, True), done, back)
        if not more:
            return
        _, wide = pad_layout(sizes)
        low = sizes.pad + sizes.action + sizes.gap
        high = sizes.action * (1 if self.panel.portrait else 2) + sizes.gap
        columns = len(more) if self.panel.portrait else 1 if len(more) < 3 else 2
        top = low + high if not self.panel.portrait else self.message.y - sizes.gap
        bottom = low if not self.panel.portrait else top - high
        self.grid(more, columns, Area(sizes.pad, bottom, wide, top))

    def _limits(self) -> str:
        return f"up to {self._high:g} %"
