"""A foot switch that types a key: heard by the window, timed by the pedal, handed on to the make."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Protocol

from kivy.core.window import Keyboard, Window
from kivy.uix.widget import Widget

from benchapp.calculations.pedal import Pedal, Step
from benchapp.make import inputs

if TYPE_CHECKING:
    from benchapp.screens.loop import Loop
    from benchapp.screens.make_screen import MakeScreen

#: Keys foot switches are sold with, by Kivy's names; another one may be set.
USUAL_KEYS = ("pagedown", "f13")


class Glass(Protocol):
    """What the pedal needs of the app."""

    loop: Loop | None
    screen: Widget | None
    now: Callable[[], float]


class PedalKeys:
    """Listens from the start; ``key`` is the name of one more key that counts, "" for none."""

    def __init__(self, app: Glass, key: str = "") -> None:
        self._app, self._pedal = app, Pedal()
        self._codes = {Keyboard.keycodes[k] for k in (*USUAL_KEYS, key) if k in Keyboard.keycodes}
        Window.bind(on_key_down=self._down, on_key_up=self._up)

    def let_go(self) -> None:
        """Listen no more."""
        Window.unbind(on_key_down=self._down, on_key_up=self._up)

    def look(self) -> None:
        """Whether it has been held long enough. Call every frame."""
        self._tell(self._pedal.look(self._app.now()))

    def _down(self, _: object, key: int, *__: Any) -> bool:
        if key not in self._codes:
            return False
        prompt = self._prompt()
        if self._pedal.down(self._app.now(), prompt) and self._app.loop is not None:
            self._app.loop.do(lambda s: s.put(inputs.PedalDown(s.clock(), prompt)))
        return True

    def _up(self, _: object, key: int, *__: Any) -> bool:
        if key not in self._codes:
            return False
        self._tell(self._pedal.up(self._app.now()))
        return True

    def _prompt(self) -> str:
        """What the glass asks; nothing while a sheet lies over it."""
        screen = self._make_screen()
        if screen is None or screen.moment is None or screen.overlay is not None:
            return ""
        return screen.moment.prompt

    def _make_screen(self) -> MakeScreen | None:
        """The make on the glass, if it is there; its module is only loaded once there is a make."""
        if self._app.loop is None:
            return None
        from benchapp.screens.make_screen import MakeScreen

        return self._app.screen if isinstance(self._app.screen, MakeScreen) else None

    def _tell(self, step: Step | None) -> None:
        screen, loop = self._make_screen(), self._app.loop
        if step is None or loop is None or screen is None:
            return
        if screen.pages is not None and not screen.pages.last and step.meant == self._prompt():
            screen.pages.turn()  # a caution is read to its end before anything is said to it
            return
        meant, held = step.meant, step.held
        loop.do(lambda s: s.put(inputs.Pedal(s.clock(), meant, held)))
