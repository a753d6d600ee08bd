"""Why? Reasons to pick, so that nothing needs a keyboard; and what can be stopped."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import NamedTuple

from benchapp.foundation.language import tr, tr_noop
from benchapp.make.view_model import ViewModel
from benchapp.screens.display import design as d
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.signs import SafetySign
from benchapp.screens.widgets.button import ButtonSpec, TouchButton, least_width
from benchapp.screens.widgets.page_base import ROOMY_PX
from benchapp.screens.widgets.surface import Area, Surface, same_act
from benchapp.screens.widgets.text_label import TextLabel

#: Reasons offered where one is wanted, so that nothing needs a keyboard.
REASONS = (
    tr_noop("Checked: lawful and safe on skin at this amount"), tr_noop("Stock ran out"), tr_noop("Spilt beside the vessel"), tr_noop("Device read false"),
    tr_noop("Decided with the second person"), tr_noop("Told to the person in charge"),
)  # fmt: skip
#: Why a step is left out, or a batch given up.
SKIP_REASONS = (
    tr_noop("Done already"), tr_noop("Not needed for this batch"), tr_noop("Equipment out of order"), tr_noop("Decided with the second person"),
    tr_noop("Another reason, on paper"),
)  # fmt: skip
ABANDON_REASONS = (
    tr_noop("Wrong ingredient went in"), tr_noop("Spilt or contaminated"), tr_noop("Equipment out of order"), tr_noop("No time to finish it safely"),
    tr_noop("Another reason, on paper"),
)  # fmt: skip


class TitledSheet(Surface):
    """A question over a grid of answers."""

    def __init__(self, sizes: Sizes, title: str, buttons: Sequence[ButtonSpec], columns: int) -> None:
        super().__init__(sizes)
        words = TextLabel(title, sizes.instruction, d.INK, bold=True)
        self.add_widget(words)
        low = words.place(sizes.pad, self.panel.height - sizes.pad, self.wide) - sizes.gap
        self.grid(buttons, columns, Area(sizes.pad, sizes.pad, self.wide, low))

    def stays(self, before: ViewModel, after: ViewModel) -> bool:
        """While the same act offers the same choices."""
        return same_act(before, after) and before.act_view.choices == after.act_view.choices


class ReasonSheet(TitledSheet):
    """Why? One of the usual reasons."""

    def __init__(
        self,
        sizes: Sizes,
        what: str,
        done: Callable[[str], None],
        back: Callable[[], None],
        reasons: Sequence[str] = REASONS,
    ) -> None:
        buttons: list[ButtonSpec] = [(r, partial(done, r), "serious") for r in reasons]
        columns = 1 if sizes.panel.portrait else 3
        super().__init__(sizes, tr("{what}: why?", what=what), [*buttons, ("Back", back, "plain")], columns)


class RanOutSheet(TitledSheet):
    """What one pours is at its end: from another lot, or at what there is."""

    def __init__(
        self,
        sizes: Sizes,
        another: tuple[str, Callable[[], None]],
        leave: Callable[[], None],
        back: Callable[[], None],
    ) -> None:
        """``another``: the words of another lot, and what they do."""
        answers: list[ButtonSpec] = [(*another, "plain"), (tr("Leave it at less"), leave, "serious")]
        columns = 1 if sizes.panel.portrait else 3
        super().__init__(sizes, tr("How does it go on?"), [*answers, ("Back", back, "plain")], columns)


class StopChoice(NamedTuple):
    """One way to stop: its words, what it does, what it leads to, and its kind (see TouchButton)."""

    label: str
    effect: str
    act: Callable[[], None]
    kind: str


class StopSheet(Surface):
    """Leave out this step, or abandon the batch; either asks why before anything happens."""

    def __init__(self, sizes: Sizes, choices: Sequence[StopChoice], back: Callable[[], None]) -> None:
        """``back``: to the make; it lies apart, where the way back lies on every page."""
        super().__init__(sizes)
        top = self._danger(sizes) - sizes.gap
        low = sizes.pad + sizes.action + 2 * sizes.gap
        high = (top - low - sizes.gap * (len(choices) - 1)) / len(choices)
        for font, under in zip(sizes.ladder, (*sizes.ladder[1:], sizes.small), strict=True):
            presses = [self._press(c, font, high) for c in choices]
            if all([press.detail_fits(under) for press in presses]):
                break
        for n, press in enumerate(presses):
            press.pos = (self.left, top - (n + 1) * high - n * sizes.gap)
            self.add_widget(press)
        press = TouchButton(tr("Back to the make"), back, "plain", sizes.line)
        press.size = (max(self.wide / 3, least_width(press.label, sizes.line)), sizes.action)
        press.pos = (sizes.pad, sizes.pad)
        self.add_widget(press)

    def _danger(self, sizes: Sizes) -> float:
        """What no key here does, with its sign; returns where it ends."""
        words = tr("Nothing here switches off the heat or the blender. In danger: pull the plug first.")
        said = TextLabel(words, sizes.instruction, d.CORAL, bold=True)
        side = (2.2 if sizes.panel.height >= ROOMY_PX else 1.3) * sizes.instruction
        left, top = self.left + side + 1.5 * sizes.gap, self.panel.height - sizes.pad
        most = 4.0 * sizes.instruction if sizes.panel.portrait else 1.1 * side
        for said.font_size in (sizes.instruction, *sizes.ladder):
            high = said.height_at(self.wide - side - 1.5 * sizes.gap)
            if high <= most:
                break
        sign = SafetySign("M006")
        sign.size, sign.pos = (side, side), (self.left, top - side)
        self.add_widget(sign)
        self.add_widget(said)
        low = said.place(left, top - max(side - high, 0.0) / 2, self.wide - side - 1.5 * sizes.gap)
        return float(min(low, sign.y))

    def _press(self, choice: StopChoice, font: int, high: float) -> TouchButton:
        press = TouchButton(choice.label, choice.act, choice.kind, font, detail=choice.effect)
        press.size = (self.wide, high)
        return press

    def stays(self, before: ViewModel, after: ViewModel) -> bool:
        """While it is the same step."""
        return before.step_key == after.step_key and not after.over
