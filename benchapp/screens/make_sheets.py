"""What lies over a make: keypad, reasons, more, stopping, the lock, and the bar that says what was picked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, Protocol

from kivy.uix.widget import Widget

from benchapp.make.moment import Moment
from benchapp.screens.overlays import (
    ABANDON_REASONS,
    REASONS,
    SKIP_REASONS,
    DetailSheet,
    GiveUpSheet,
    Keypad,
    LockSheet,
    ReasonSheet,
    Sheet,
)
from benchapp.screens.panel import Panel, Sizes
from benchapp.screens.parts import Press
from benchapp.screens.say_bar import SayBar


class Maker(Protocol):
    """What a person can do; the app hands it on to the make's own thread."""

    def press(self, prompt: str, choice: str, reason: str = "") -> None: ...
    def type_value(self, prompt: str, value: float) -> None: ...
    def hold(self) -> None: ...
    def skip(self, prompt: str, reason: str) -> None: ...
    def signature(self, prompt: str, meaning: str) -> None: ...
    def abandon(self, reason: str) -> None: ...
    def take_back(self, prompt: str) -> None: ...
    def leave(self) -> None: ...


class OverMake(Widget):
    """One sheet at a time over the moment, each press told with the prompt it was meant for."""

    def __init__(self, panel: Panel, sizes: Sizes, maker: Maker) -> None:
        super().__init__(size=(panel.width, panel.height), size_hint=(None, None))
        self.panel, self.sizes, self.maker = panel, sizes, maker
        self.moment: Moment | None = None
        self.overlay: Sheet | None = None
        self.bar: SayBar | None = None  # what was picked and waits to be said
        self._touched = (0.0, 0.0)  # where the glass was touched last
        self._pressed: Press | None = None  # what the maker pressed last, while this prompt stands

    def _why(self, what: str, then: Callable[[str], None], reasons: Sequence[str] = REASONS) -> None:
        """Ask for a reason first."""

        def done(why: str) -> None:
            self.pick(why, lambda: then(why))

        self._open(ReasonSheet(self.panel, self.sizes, what, done, self.close_overlay, reasons))

    def _prompt(self) -> str:
        """The prompt that stands now: a sheet that is still open means it (see Sheet.stays)."""
        return self.moment.prompt if self.moment is not None else ""

    def _open(self, sheet: Sheet) -> None:
        self.close_overlay()
        self.overlay = sheet
        self.add_widget(sheet)

    def pick(self, what: str, act: Callable[[], None]) -> None:
        """It was pressed: a bar elsewhere on the glass says it. What the make is told always takes both."""
        self.unpick()
        picker, self._pressed = (self._pressed if self.overlay is None else None), None

        def said() -> None:
            self.close_overlay()
            self._pressed = picker
            act()

        self.bar = SayBar(self.panel, self.sizes, what, said, self._touched, self.unpick)
        self.add_widget(self.bar)
        self._cover()

    def _cover(self) -> None:
        """The bar hides what it would stand half in front of."""
        if self.bar is not None:
            self.bar.cover(self.children if self.overlay is None else self.overlay.children)

    def unpick(self) -> None:
        """Nothing is picked any more."""
        if self.bar is not None:
            self.bar.end()
            self.remove_widget(self.bar)
            self.bar = None

    def close_overlay(self) -> None:
        """Back to the make."""
        self.unpick()
        if self.overlay is not None:
            self.remove_widget(self.overlay)
            self.overlay = None

    def _ask(self) -> None:
        m = self.moment
        if m is None or m.face.ask is None:
            return

        def typed(value: float) -> None:
            self.pick(pad.said(), lambda: self.maker.type_value(self._prompt(), value))

        pad = Keypad(self.panel, self.sizes, m.face.ask, typed, self.close_overlay)
        self._open(pad)

    def _more(self) -> None:
        m = self.moment
        if m is None:
            return
        ways: list[tuple[str, Callable[[], None], str]] = [("Wipe", self._lock, "plain")]
        if not m.over:
            ways.append(("Stop here", self._give_up, "serious"))
        if m.take_back:
            ways.append(("Take back", self._taking_back(m.take_back), "serious"))
        ways.append(("Back", self.close_overlay, "main"))
        self._open(DetailSheet(self.panel, self.sizes, m, ways))

    def _taking_back(self, shown: str) -> Callable[[], None]:
        def back() -> None:
            if self.moment is not None and self.moment.take_back == shown:
                self.maker.take_back(self.moment.prompt)

        def act() -> None:
            if self.moment is None or self.moment.take_back != shown:
                self._more()  # something else could be taken back by now: show it first
                return
            self.pick("Take back", back)

        return act

    def _give_up(self) -> None:
        m = self.moment
        if m is None:
            return

        def skip() -> None:
            self._why("Leave it out", lambda why: self.maker.skip(self._prompt(), why), SKIP_REASONS)

        def abandon() -> None:
            self._why("Abandon the batch", self.maker.abandon, ABANDON_REASONS)

        ways: list[tuple[str, Callable[[], None], str]] = [("Abandon the whole batch", abandon, "serious")]
        if m.step_kind != "finish":
            ways.insert(0, (f"Leave out this step: {m.step_title}", skip, "serious"))
        if m.face.stage != "held":
            hold = "Hold: I have to go away"
            ways.insert(0, (hold, lambda: self.pick("Hold", self.maker.hold), "plain"))
        ways.append(("Back to the make", self.close_overlay, "main"))
        self._open(GiveUpSheet(self.panel, self.sizes, "Stop here?", ways))

    def _lock(self) -> None:
        self._open(LockSheet(self.panel, self.sizes, self.close_overlay))

    def on_touch_down(self, touch: Any) -> bool:
        self._touched = touch.pos
        if self.bar is not None:
            if self.bar.on_touch_down(touch):
                return True
            self.unpick()  # whatever else touches the glass
        if self.overlay is not None:
            return bool(self.overlay.on_touch_down(touch))
        return bool(super().on_touch_down(touch))

    def on_touch_up(self, touch: Any) -> bool:
        if self.bar is not None and self.bar.on_touch_up(touch):
            return True
        if self.overlay is not None:
            return bool(self.overlay.on_touch_up(touch))
        return bool(super().on_touch_up(touch))
