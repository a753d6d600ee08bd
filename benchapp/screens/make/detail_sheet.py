"""The full guidance of a step, on as many pages as it takes."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.foundation.language import tr
from benchapp.make.pictures import BatchPicture
from benchapp.make.view_model import ViewModel
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import page_button, paginate
from benchapp.screens.widgets.surface import Surface
from benchapp.screens.widgets.text_label import TextLabel, wrapped_high
from benchapp.screens.widgets.text_line import TextLine


class DetailSheet(Surface):
    """Why this step matters, what it looks like when it is right, what goes wrong; and all that is said now.

    As many pages as it takes. From here a step is left out, the batch given up, the last act taken back.
    """

    def __init__(self, sizes: Sizes, view: ViewModel, buttons: Sequence[ButtonSpec]) -> None:
        """``buttons``: what may be pressed beside turning the page, the way back first."""
        super().__init__(sizes)
        self._buttons = list(buttons)
        usual = sizes.note if self.panel.width >= 1024 or self.panel.portrait else sizes.small
        room = self.panel.height - 2 * sizes.pad - sizes.action - sizes.gap
        for self._size in dict.fromkeys(
            (sizes.line, usual)
        ):  # larger than the page it explains, where one page holds it
            self.pages = paginate(_lines_of(view), self._high, room)
            if len(self.pages) == 1:
                break
        self.page = 0
        self.lines: list[TextLabel] = []
        self.fits = True
        self._draw()

    def stays(self, before: ViewModel, after: ViewModel) -> bool:
        """While it is the same step, and nothing has come up that matters more."""
        return before.step_key == after.step_key and before.trouble == after.trouble and not after.over

    def turn(self) -> None:
        """The next page, after the last the first again."""
        self.page = (self.page + 1) % len(self.pages)
        self._draw()

    def _words(self, line: TextLine) -> TextLabel:
        return TextLabel(self.sizes.figures.text(line.text), self._size, d.INK, bold=line.bold)

    def _high(self, line: TextLine) -> float:
        text = self.sizes.figures.text(line.text)
        return wrapped_high(text, self._size, line.bold, int(self.wide)) + self.sizes.gap * 0.5

    def _draw(self) -> None:
        s = self.sizes
        self.clear_widgets()
        self.lines = []
        y = float(self.panel.height - s.pad)
        for line in self.pages[self.page]:
            words = self._words(line)
            self.add_widget(words)
            y = words.place(s.pad, y, self.wide) - s.gap * 0.5
            self.lines.append(words)
        self.fits = y >= s.pad + s.action
        buttons = list(self._buttons)
        if len(self.pages) > 1:
            buttons.append(page_button((self.page + 1) % len(self.pages), len(self.pages), self.turn))
        self.row(buttons, self.wide)


def _facts_of(view: ViewModel) -> tuple[tuple[str, str], ...]:
    """What a finished batch's picture says, for where it has no room."""
    picture = view.act_view.picture
    return picture.facts if isinstance(picture, BatchPicture) else ()


def _lines_of(view: ViewModel) -> list[TextLine]:
    """All that is to be said about a view."""
    detail = view.detail
    trouble = view.trouble.text if view.trouble else ""
    labelled = (
        ("Why", detail.why), ("Right", detail.look), ("Wrong", detail.wrong), ("Next", view.next_up),
        (tr("Last recorded"), view.last),
    )  # fmt: skip
    lines = [
        TextLine(view.step_title, bold=True),
        TextLine(tr("Can be taken back: {take_back}", take_back=view.take_back) if view.take_back else ""),
        TextLine(trouble, bold=True),
        *(TextLine(text) for text in (view.act_view.note, *view.act_view.not_yet)),
        *(TextLine(f"{label}: {text}") for label, text in labelled if text),
        *(TextLine(f"{what}: {how}") for what, how in _facts_of(view)),
    ]
    return [line for line in lines if line.text]
