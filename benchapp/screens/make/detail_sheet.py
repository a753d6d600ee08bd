"""The full guidance of a step, on as many pages as it takes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain, pairwise

from benchapp.foundation.language import capitalised, number, tr, translated
from benchapp.make.view_model import ViewModel
from benchapp.make.waits import by_makes, waits_to_come
from benchapp.screens.display.phrases import held_together
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.named_lines import NamedLine, NamedLines
from benchapp.screens.widgets.pager import paginate, turn_button
from benchapp.screens.widgets.surface import Surface
from benchapp.screens.widgets.text_label import TextLabel


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
        lines = _lines_of(view)
        steps = (sizes.instruction, sizes.line, sizes.between, usual)
        fonts = (*((a, (a + b) // 2) for a, b in pairwise(steps)), (usual,))
        for font in dict.fromkeys(chain.from_iterable(fonts)):  # as large as one page holds all of it
            self._drawn = NamedLines(sizes, lines, font, self.wide)
            self.pages = paginate(lines, self._drawn.high, room)
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

    def _draw(self) -> None:
        s = self.sizes
        self.clear_widgets()
        self.canvas.clear()
        self.lines = []
        y = float(self.panel.height - s.pad)
        for line in self.pages[self.page]:
            y, words = self._drawn.draw(self, line, s.pad, y)
            self.lines += words
        self.fits = y >= s.pad + s.action
        buttons = list(self._buttons)
        if len(self.pages) > 1:
            buttons.append(turn_button(self.page, len(self.pages), self.turn))
        self.row(buttons, self.wide)


def _waits_of(view: ViewModel) -> str:
    """What the line of time says, which the head of a page has not always room for, and how it is known."""
    if view.over:
        return ""
    if view.until_done is not None:
        return held_together(by_makes(view.until_done))
    waits = waits_to_come(view, view.act_view.forecast is not None)
    return held_together(f"{capitalised(waits)}.") if waits else ""


def _next_of(view: ViewModel) -> str:
    """The next line of the sheet with how much of it, else what comes next in the step."""
    line = next((x for x in view.sheet if x.state == "next" and x.target_g is not None), None)
    if line is None or line.target_g is None:
        return view.next_up
    return held_together(f"{translated(line.name)}, {number(line.target_g, f'.{line.decimals}f')} g")


def _lines_of(view: ViewModel) -> list[NamedLine]:
    """All that is to be said about a view: what is wrong first, then why, then what comes, then what was."""
    detail, act = view.detail, view.act_view
    lines = [
        NamedLine("", view.step_title, bold=True),
        NamedLine("", view.trouble.text if view.trouble else "", "bad", bold=True),
        *(NamedLine("", text, "open") for text in (act.news, *act.not_yet)),
        NamedLine(tr("How"), act.note, "soon"),
        NamedLine(tr("Watch for"), detail.wrong, "open", bold=True),
        NamedLine(tr("Looks right"), detail.look, "good"),
        NamedLine("Why", detail.why, "known"),
        NamedLine("Next", _next_of(view), "next"),
        NamedLine(tr("To come"), _waits_of(view), "later"),
        NamedLine(tr("Last recorded"), view.last, "later"),
        NamedLine(tr("Can be taken back"), view.take_back, "later"),
    ]
    return [line for line in lines if line.text]
