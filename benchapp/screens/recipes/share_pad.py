"""How much of an ingredient: digits, the rest, as needed; and its phase, which can be another one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from benchapp.foundation.language import tr
from benchapp.make.view_model import NumberRequest
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.keypad import Keypad, pad_layout
from benchapp.screens.widgets.surface import Area


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
        rows = 1 if portrait else 2
        high = s.action * rows + s.gap * (rows - 1)
        ask = NumberRequest(request.what, "%", 0.0001, request.most, 2, True)
        super().__init__(sizes, ask, done, back, spare=high + s.gap if more else 0.0)
        if not more:
            return
        _, wide = pad_layout(sizes)
        low = self.message.y - s.gap - high if portrait else s.pad + s.action + s.gap
        columns = len(more) if portrait else 1 if len(more) < 3 else 2
        self.grid(more, columns, Area(s.pad, low, wide, low + high))

    def _limits(self) -> str:
        return self._total.replace(" %", "\u00a0%") or tr("up to {high:g} %", high=self._high)
