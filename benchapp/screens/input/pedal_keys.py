"""A foot switch that types a key: heard by the window, timed by the pedal, handed on."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol

from kivy.core.window import Keyboard, Window

from benchapp.calculations.pedal import PedalAction, PedalSwitch

#: Keys foot switches are sold with, by Kivy's names; another one may be set.
USUAL_KEYS = ("pagedown", "f13")


class PedalTarget(Protocol):
    """What a pedal speaks to."""

    def pedal_prompt(self) -> str:
        """What is asked now, "" where a pedal answers nothing."""

    def pedal_down(self, prompt: str) -> None:
        """It went down."""

    def pedal_step(self, step: PedalAction) -> None:
        """It was pressed, or held."""


class PedalKeys:
    """Listens from the start; ``key`` is the name of one more key that counts, "" for none."""

    def __init__(self, target: PedalTarget, now: Callable[[], float], key: str = "") -> None:
        self._target, self._now, self._pedal = target, now, PedalSwitch()
        self._codes = {Keyboard.keycodes[k] for k in (*USUAL_KEYS, key) if k in Keyboard.keycodes}
        Window.bind(on_key_down=self._down, on_key_up=self._up)

    def let_go(self) -> None:
        """Listen no more."""
        Window.unbind(on_key_down=self._down, on_key_up=self._up)

    def look(self) -> None:
        """Whether it has been held long enough. Call every frame."""
        self._tell(self._pedal.look(self._now()))

    def _down(self, _: object, key: int, *__: Any) -> bool:
        if key not in self._codes:
            return False
        prompt = self._target.pedal_prompt()
        if self._pedal.down(self._now(), prompt):
            self._target.pedal_down(prompt)
        return True

    def _up(self, _: object, key: int, *__: Any) -> bool:
        if key not in self._codes:
            return False
        self._tell(self._pedal.up(self._now()))
        return True

    def _tell(self, step: PedalAction | None) -> None:
        if step is not None:
            self._target.pedal_step(step)
