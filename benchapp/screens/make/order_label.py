"""The order: what is to be done now, as large as it can be read from where one works."""

from __future__ import annotations

from benchapp.make.view_model import ViewModel
from benchapp.screens.display.phrases import held_together
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high

#: From so many pixels of width on there is room beside the work, and for what follows the order.
WIDE_PX = 1200


class OrderLabel(TextLabel):
    """The words of an order, and in which size they stand."""

    def __init__(self, sizes: Sizes) -> None:
        super().__init__("", sizes.instruction, bold=True)
        self._sizes = sizes

    def put(self, text: str) -> str:
        """The text as figures are written here."""
        return self._sizes.figures.text(held_together(text))

    def with_then(self, m: ViewModel, width: float) -> str:
        """The order, and what follows it where that makes it no higher; on a low glass its line is needed for the minutes."""
        order = self.put(m.act_view.instruction)
        if self._sizes.panel.width < WIDE_PX:
            return order
        whole = f"{order} {self.put(m.act_view.then)}".rstrip()
        size = int(self.font_size)
        alone, both = (wrapped_high(text, size, True, int(width)) for text in (order, whole))
        return order if both > alone else whole

    def tell(self, text: str, left: float, width: float, room: tuple[float, float]) -> None:
        """Other words than the order, which stands elsewhere, as large as have room. ``room``: its low and its top end."""
        s, (low, top) = self._sizes, room
        self.text = self.put(text)
        between = (round((s.across + s.instruction) / 2), s.instruction, round((s.instruction + s.line) / 2))
        for self.font_size in dict.fromkeys((s.across, *between, s.line)):
            if self.height_at(width) <= top - low:
                break
        self.place(left, top, width)

    def size_for(self, m: ViewModel, width: float, room: float) -> int:
        """As large as what is acted on at a glance, or half-way to it, where that has so much room; left in that size."""
        s = self._sizes
        self.text = self.put(m.act_view.instruction)
        for size in dict.fromkeys((s.across, round((s.across + s.instruction) / 2))):
            self.font_size = size
            if self.height_at(width) <= room:
                return size
        return s.instruction
