"""The window's keys, listened to for a barcode reader."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.core.window import Keyboard, Window

from benchapp.screens.input.code_reader import CodeReader

ENTER = frozenset(Keyboard.keycodes[k] for k in ("enter", "numpadenter"))


class CodeKeys:
    """Listens from the start; ``scanned`` gets each code."""

    def __init__(self, scanned: Callable[[str], None], now: Callable[[], float]) -> None:
        self._scanned, self._now, self._reader = scanned, now, CodeReader()
        Window.bind(on_key_down=self._down)

    def let_go(self) -> None:
        """Listen no more."""
        Window.unbind(on_key_down=self._down)

    def _down(self, _: object, key: int, scancode: int = 0, character: str | None = None, *__: Any) -> bool:
        if key in ENTER:
            code = self._reader.enter(self._now())
            if code:
                self._scanned(code)
        elif character:
            self._reader.character(self._now(), character)
        return False  # Kivy's own keys are tamed elsewhere; nothing here eats one
