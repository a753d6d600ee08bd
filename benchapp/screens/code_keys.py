"""The window's keys, listened to for a barcode reader; a code goes to the make while it waits for a lot."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from kivy.core.window import Keyboard, Window

from benchapp.make.inputs import Scanned
from benchapp.screens.code_reader import CodeReader

if TYPE_CHECKING:
    from benchapp.screens.pedal import Glass

ENTER = frozenset(Keyboard.keycodes[k] for k in ("enter", "numpadenter"))


class CodeKeys:
    """Listens from the start."""

    def __init__(self, app: Glass) -> None:
        self._app, self._reader = app, CodeReader()
        Window.bind(on_key_down=self._down)

    def let_go(self) -> None:
        """Listen no more."""
        Window.unbind(on_key_down=self._down)

    def _down(self, _: object, key: int, scancode: int = 0, character: str | None = None, *__: Any) -> bool:
        if key in ENTER:
            self._code(self._reader.enter(self._app.now()))
        elif character:
            self._reader.character(self._app.now(), character)
        return False  # Kivy's own keys are tamed elsewhere; nothing here eats one

    def _code(self, code: str) -> None:
        if not code or self._app.loop is None:
            return
        from benchapp.screens.make_screen import MakeScreen

        screen = self._app.screen
        if isinstance(screen, MakeScreen) and screen.moment is not None:
            prompt = screen.moment.prompt
            self._app.loop.do(lambda s: s.put(Scanned(s.clock(), prompt, code)))
