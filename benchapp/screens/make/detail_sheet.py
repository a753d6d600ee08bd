"""The full guidance of a step, on as many pages as it takes."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.make.moment import Moment
from benchapp.screens.display import design as d
from benchapp.screens.display.panel import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.surface import Surface
from benchapp.screens.widgets.text_label import TextLabel


class DetailSheet(Surface):
    """Why this step matters, what it looks like when it is right, what goes wrong; and all that is said now.

    As many pages as it takes. From here a step is left out, the batch given up, the last act taken back.
    """

    def __init__(self, sizes: Sizes, moment: Moment, buttons: Sequence[ButtonSpec]) -> None:
        """``buttons``: what may be pressed beside turning the page, the way back last."""
        super().__init__(sizes)
        self._buttons = list(buttons)
        self._size = sizes.note if self.panel.width >= 1024 or self.panel.portrait else sizes.small
        self.pages = self._paged(_lines_of(moment))
        self.page = 0
        self.lines: list[TextLabel] = []
        self.fits = True
        self._draw()

    def stays(self, before: Moment, after: Moment) -> bool:
        """While it is the same step, and nothing has come up that matters more."""
        return before.step_key == after.step_key and before.trouble == after.trouble and not after.over

    def turn(self) -> None:
        """The next page, after the last the first again."""
        self.page = (self.page + 1) % len(self.pages)
        self._draw()

    def _room(self) -> float:
        s = self.sizes
        return float(self.panel.height - 2 * s.pad - s.action - s.gap)

    def _words(self, text: str, bold: bool) -> TextLabel:
        return TextLabel(self.sizes.figures.text(text), self._size, d.INK, bold=bold)

    def _paged(self, lines: list[tuple[str, bool]]) -> list[list[tuple[str, bool]]]:
        """The lines on pages; one that is higher than a whole page by itself gets one to itself."""
        wide, between = self.wide, self.sizes.gap * 0.5
        pages: list[list[tuple[str, bool]]] = [[]]
        room = self._room()
        for text, bold in lines:
            high = self._words(text, bold).height_at(wide) + between
            if high > room and pages[-1]:
                pages.append([])
                room = self._room()
            pages[-1].append((text, bold))
            room -= high
        return pages

    def _draw(self) -> None:
        s = self.sizes
        self.clear_widgets()
        self.lines = []
        y = float(self.panel.height - s.pad)
        for text, bold in self.pages[self.page]:
            words = self._words(text, bold)
            self.add_widget(words)
            y = words.place(s.pad, y, self.wide) - s.gap * 0.5
            self.lines.append(words)
        self.fits = y >= s.pad + s.action
        buttons = list(self._buttons)
        if len(self.pages) > 1:
            buttons.insert(-1, (f"On, {self.page + 1} of {len(self.pages)}", self.turn, "plain"))
        self.row(buttons, self.wide)


def _lines_of(moment: Moment) -> list[tuple[str, bool]]:
    """All that is to be said about a moment: (text, bold)."""
    detail = moment.detail
    lines = [
        (moment.step_title, True),
        (f"Can be taken back: {moment.take_back}" if moment.take_back else "", False),
        (moment.trouble.text if moment.trouble else "", True),
        (moment.face.note, False),
        *((w, False) for w in moment.face.not_yet),
        (f"Why: {detail.why}" if detail.why else "", False),
        (f"Right: {detail.look}" if detail.look else "", False),
        (f"Wrong: {detail.wrong}" if detail.wrong else "", False),
        (f"Next: {moment.next_up}" if moment.next_up else "", False),
        (f"Last recorded: {moment.last}" if moment.last else "", False),
    ]
    return [line for line in lines if line[0]]
