"""A real keyboard: what is typed goes to the pad that stands on the glass, if there is one; Escape is the way back."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol, runtime_checkable

from kivy.core.window import Keyboard, Window

ENTER = frozenset(Keyboard.keycodes[k] for k in ("enter", "numpadenter"))
RUB_OUT, ESCAPE = Keyboard.keycodes["backspace"], Keyboard.keycodes["escape"]


@runtime_checkable
class TypingPad(Protocol):
    """A pad that takes signs one by one."""

    def type_sign(self, sign: str) -> None:
        """One sign, as it is on the key; what has no meaning here is passed over."""

    def type_enter(self) -> None:
        """Done."""

    def rub_out(self) -> None:
        """The last sign away."""


class TypedKeys:
    """Listens from the start; ``pad`` says what stands on the glass now. Signs come as the system makes them of its layout
    and its shift keys; which keys were pressed for them is nobody's business here."""

    def __init__(self, pad: Callable[[], object]) -> None:
        self._pad = pad
        Window.bind(on_key_down=self._down, on_textinput=self._text)

    def let_go(self) -> None:
        """Listen no more."""
        Window.unbind(on_key_down=self._down, on_textinput=self._text)

    def _text(self, _: object, text: str, *__: Any) -> bool:
        pad = self._pad()
        if isinstance(pad, TypingPad):
            for sign in text:
                if sign.isprintable():
                    pad.type_sign(sign)
        return False

    def _down(self, _: object, key: int, *__: Any) -> bool:
        pad = self._pad()
        back = getattr(pad, "way_back", None)
        if key == ESCAPE and back is not None:
            back()
        elif isinstance(pad, TypingPad):
            if key in ENTER:
                pad.type_enter()
            elif key == RUB_OUT:
                pad.rub_out()
        return False
