"""What lies over a make: keypad, reasons, more, stopping, the lock, and the bar that is held to confirm."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Protocol

from kivy.uix.widget import Widget

from benchapp.foundation.language import tr, tr_noop
from benchapp.make.view_model import Choice, ViewModel
from benchapp.make.vocabulary import Stage
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.make.detail_sheet import DetailSheet
from benchapp.screens.make.lock_sheet import LockSheet
from benchapp.screens.make.reason_sheets import (
    ABANDON_REASONS,
    REASONS,
    SKIP_REASONS,
    RanOutSheet,
    ReasonSheet,
    StopChoice,
    StopSheet,
)
from benchapp.screens.make.signed_press import SignedPress
from benchapp.screens.widgets.button import ButtonSpec, TouchButton
from benchapp.screens.widgets.hold_to_confirm import HoldToConfirm
from benchapp.screens.widgets.keypad import Keypad
from benchapp.screens.widgets.surface import Surface

#: Nothing goes on until the maker is back; and the sign of what is hot (ISO 7010 W017): a hold switches nothing off.
HOLD, HOT = tr_noop("I have to go away"), "W017"


class MakeActions(Protocol):
    """What a person can do; the app hands it on to the make's own thread."""

    def press(self, prompt: str, choice: str, reason: str = "") -> None: ...
    def type_value(self, prompt: str, value: float) -> None: ...
    def hold(self) -> None: ...
    def skip(self, prompt: str, reason: str) -> None: ...
    def signature(self, prompt: str, meaning: str, signer: str) -> None: ...
    def abandon(self, reason: str) -> None: ...
    def take_back(self, prompt: str) -> None: ...
    def leave(self) -> None: ...


class SheetLayer(Widget):
    """One sheet at a time over the moment, each press told with the prompt it was meant for."""

    def __init__(self, sizes: Sizes, actions: MakeActions) -> None:
        self.panel, self.sizes, self.actions = sizes.panel, sizes, actions
        super().__init__(size=(self.panel.width, self.panel.height), size_hint=(None, None))
        self.view: ViewModel | None = None
        self.overlay: Surface | None = None
        self.bar: HoldToConfirm | None = None  # what was picked and waits to be confirmed
        self.uncut: tuple[Widget, ...] = ()  # stays to be read while it is held
        self._touched = (0.0, 0.0)  # where the glass was touched last
        self._pressed: TouchButton | None = None  # what the maker pressed last, while this prompt stands

    def _why(self, what: str, then: Callable[[str], None], reasons: Sequence[str] = REASONS) -> None:
        """Ask for a reason first."""

        def done(why: str) -> None:
            self.confirm(why, lambda: then(why))

        self._open(ReasonSheet(self.sizes, what, done, self.close_overlay, reasons))

    def _ran_out(self, less: Choice, another: Choice) -> None:
        def leave() -> None:
            self._why(less.label, lambda why: self.actions.press(self._prompt(), less.word, why))

        def go_on() -> None:
            self.confirm(another.label, lambda: self.actions.press(self._prompt(), another.word))

        self._open(RanOutSheet(self.sizes, (another.label, go_on), leave, self.close_overlay))

    def _prompt(self) -> str:
        """The prompt that stands now: a sheet that is still open means it (see Surface.stays)."""
        return self.view.prompt if self.view is not None else ""

    def _open(self, sheet: Surface) -> None:
        self.close_overlay()
        self.overlay = sheet
        self.add_widget(sheet)

    def confirm(self, what: str, act: Callable[[], None]) -> None:
        """It was pressed: a bar elsewhere on the glass has to be held. What the make is told always takes both."""
        self.cancel_confirm()
        button, self._pressed = self._pressed, None

        def confirmed() -> None:
            self.close_overlay()
            self._pressed = button
            act()

        kept = [x for x in self.children if isinstance(x, SignedPress)] if self.overlay is None else []
        kept.sort(key=lambda x: x.kind != "serious")  # what stops the make is never covered
        self.bar = HoldToConfirm(self.sizes, what, confirmed, self._touched, self.cancel_confirm, kept)
        self.add_widget(self.bar)
        self._cover()

    def _cover(self) -> None:
        """The bar hides what it would stand half in front of."""
        if self.bar is not None:
            self.bar.cover(self.children if self.overlay is None else self.overlay.children, self.uncut)

    def cancel_confirm(self) -> None:
        """Nothing is picked any more."""
        if self.bar is not None:
            self.bar.end()
            self.remove_widget(self.bar)
            self.bar = None

    def close_overlay(self) -> None:
        """Back to the make."""
        self.cancel_confirm()
        if self.overlay is not None:
            self.remove_widget(self.overlay)
            self.overlay = None

    def show_keypad(self, what: str = "") -> None:
        """The keypad, for the value asked for; ``what`` says what to do, where it opens by itself."""
        m = self.view
        if m is None or m.act_view.ask is None:
            return
        if self.overlay is not None and what:
            return  # it is open already, or the maker is at something else

        def typed(value: float) -> None:
            self.confirm(pad.entered(), lambda: self.actions.type_value(self._prompt(), value))

        pad = Keypad(self.sizes, m.act_view.ask, typed, self.close_overlay, what)
        self._open(pad)

    def show_details(self) -> None:
        """The full guidance; from here the last act is taken back."""
        m = self.view
        if m is None:
            return
        buttons: list[ButtonSpec] = [("Back", self.close_overlay, "plain")]
        if m.take_back:
            buttons.append((tr("Take back"), self._taking_back(m.take_back), "serious"))
        self._open(DetailSheet(self.sizes, m, buttons))

    def _taking_back(self, shown: str) -> Callable[[], None]:
        def back() -> None:
            if self.view is not None and self.view.take_back == shown:
                self.actions.take_back(self.view.prompt)

        def act() -> None:
            if self.view is None or self.view.take_back != shown:
                self.show_details()  # something else could be taken back by now: show it first
                return
            self.confirm(tr("Take back"), back)

        return act

    def show_stop(self) -> None:
        """Leave out the step, hold, or give the batch up."""
        m = self.view
        if m is None:
            return

        def skip() -> None:
            self._why(tr("Leave it out"), lambda why: self.actions.skip(self._prompt(), why), SKIP_REASONS)

        def abandon() -> None:
            self._why(tr("Abandon the batch"), self.actions.abandon, ABANDON_REASONS)

        choices = [
            StopChoice(
                tr("Abandon the whole batch"),
                tr("You are asked why. Nothing more is made of it; its record stays."),
                abandon,
                "serious",
            )
        ]
        if m.step_kind != "finish":
            leave_out = tr("Leave out this step: {step_title}", step_title=m.step_title)
            judged = tr("You are asked why. It is a deviation, which somebody has to judge.")
            choices.insert(0, StopChoice(leave_out, judged, skip, "plain"))
        if m.act_view.stage != Stage.HELD:
            hot = any(caution.sign == HOT for caution in m.cautions)
            waits = (
                tr("Switch the heat off yourself first. The make waits until you are back.")
                if hot
                else tr("Switch any heat off yourself first. The make waits until you are back.")
            )
            choices.insert(0, StopChoice(HOLD, waits, lambda: self.confirm(HOLD, self.actions.hold), "plain"))
        self._open(StopSheet(self.sizes, choices, self.close_overlay))

    def show_lock(self) -> None:
        """Wiping the glass."""
        self._open(LockSheet(self.sizes, self.close_overlay))

    def on_touch_down(self, touch: Any) -> bool:
        self._touched = touch.pos
        if self.bar is not None:
            if self.bar.on_touch_down(touch):
                return True
            self.cancel_confirm()  # whatever else touches the glass
        if self.overlay is not None:
            return bool(self.overlay.on_touch_down(touch))
        return bool(super().on_touch_down(touch))

    def on_touch_up(self, touch: Any) -> bool:
        if self.bar is not None and self.bar.on_touch_up(touch):
            return True
        if self.overlay is not None:
            return bool(self.overlay.on_touch_up(touch))
        return bool(super().on_touch_up(touch))
