"""How much of an ingredient: digits, the rest, as needed; and its phase, which can be another one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from benchapp.foundation.language import tr
from benchapp.make.view_model import NumberRequest
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.keypad import Keypad, go_on_high, pad_layout
from benchapp.screens.widgets.surface import Area
from benchapp.screens.widgets.text_label import wrapped_high


@dataclass(frozen=True, slots=True)
class ShareRequest:
    """Of what, in percent of the formula, at most how much; ``total`` is the sum as it stands, which is kept in view."""

    what: str
    total: str = ""
    most: float = 100.0


class SharePad(Keypad):
    """A keypad for a percentage, with ``more`` presses over its Enter."""

    def __init__(
        self,
        sizes: Sizes,
        request: ShareRequest,
        done: Callable[[float], None],
        back: Callable[[], None],
        more: Sequence[ButtonSpec] = (),
    ) -> None:
        self._total = request.total
        s, portrait = sizes, sizes.panel.portrait
        rows = 1 if portrait or len(more) < 3 else 2
        high = s.action * rows + s.gap * (rows - 1)
        ask = NumberRequest(request.what, "%", 0.0001, request.most, 2, True)
        spare = high + s.gap if more else 0.0
        super().__init__(sizes, ask, done, back, spare=spare)
        if not more:
            return
        _, wide = pad_layout(sizes)
        low = self.message.y - s.gap - high if portrait else s.pad + go_on_high(s, spare) + s.gap
        over, under = (more[:1], more[1:]) if rows == 2 else ((), more)
        foot = low + (high if rows == 1 else s.action)
        self.grid(under, len(under), Area(s.pad, low, wide, foot))
        if over:
            self.grid(over, 1, Area(s.pad, foot + s.gap, wide, low + high))

    def _said_font(self, said: str) -> int:
        """Smaller than what is typed, which needs the room."""
        s = self.sizes
        return (
            s.between if wrapped_high(said, s.between, True, int(self._side)) <= 3.6 * s.between else s.note
        )

    def _limits(self) -> str:
        return self._total.replace(" %", "\u00a0%") or tr("up to {high:g} %", high=self._high)
