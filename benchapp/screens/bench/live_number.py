"""One channel on a page as it reads now: a large number, how it stands, and what is wrong beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from benchapp.foundation.language import tr_noop
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.status_mark import StatusMark
from benchapp.screens.widgets.text_label import TextLabel

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import ChannelStatus
    from drivers.readings import Reading


def trusted(one: ChannelStatus | None) -> Reading | None:
    """What a channel reads, where it is of now and nothing is wrong with it."""
    return one.reading if one is not None and one.fresh and not one.trouble else None


class LiveNumber:
    """Hangs on a page, from ``top`` down."""

    def __init__(self, page: Page, top: float) -> None:
        self._page, self._top, self._shown = page, top, ("", "", "")
        s = page.sizes
        self.number = TextLabel("–", s.reading, d.INK, bold=True)
        self.status = StatusMark(s.line)
        self.message = TextLabel("", s.note, d.CORAL)
        for part in (self.number, self.status, self.message):
            page.add_widget(part)

    @staticmethod
    def least_high(sizes: Sizes) -> float:
        """How much room it takes, in pixels."""
        return sizes.reading * 1.2 + sizes.line * 1.7

    def show(self, one: ChannelStatus | None, unit: str, decimals: int, stands: str = "") -> bool:
        """The latest; False where nothing changed. ``stands``: how it stands, where that is known better than by its rest."""
        page, s = self._page, self._page.sizes
        reading = trusted(one)
        text = " ".join(s.figures.live(reading.value, unit, decimals)).strip() if reading else "–"
        rests = one is not None and one.rest is not None
        word = (
            tr_noop("no reading") if reading is None else stands or tr_noop("at rest") if rests else "moving"
        )
        trouble = one.trouble if one is not None else ""
        if (text, word, trouble) == self._shown:
            return False
        self._shown = (text, word, trouble)
        self.number.text = text
        _, high = self.number.natural()
        self.number.pos = (page.left, self._top - high)
        self.status.show(word, page.left, self.number.y - s.line * 1.4)
        self.message.text = trouble  # beside the dash that then stands for the number
        x = self.number.right + 2 * s.gap
        self.message.place(x, self._top, max(page.left + page.wide - x, 1))
        return True
