"""Every touch of the window, judged before its widgets see it."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any, Protocol

from kivy.core.window import Window

from benchapp.screens.input.touch_guard import TouchGuard


class Pressable(Protocol):
    """What a touch can press. It counts after ``hold_s`` seconds, and shows how far it is."""

    hold_s: float
    act: Callable[[], None]

    def fill(self, share: float) -> None:
        """Held for so much of ``hold_s``, 0 to 1."""


class TouchFilter:
    """Judges every touch of the window before its widgets see it; what turns out to be no press, presses nothing.

    ``tick`` is called when something that has to be held has been held for long enough.
    """

    def __init__(
        self,
        px_per_mm: float,
        now: Callable[[], float] = time.monotonic,
        tick: Callable[[], None] = lambda: None,
    ) -> None:
        self._px_per_mm, self._now, self._tick = px_per_mm, now, tick
        self._guard = TouchGuard()
        self._pressed: dict[object, Pressable] = {}
        self._touches: dict[object, Any] = {}
        self._full: object = None  # the contact for which it has ticked
        Window.bind(on_touch_down=self._down, on_touch_move=self._move, on_touch_up=self._up)

    def let_go(self) -> None:
        """Judge no more."""
        Window.unbind(on_touch_down=self._down, on_touch_move=self._move, on_touch_up=self._up)

    def settle(self) -> None:
        """Let the presses count that nothing came near in time, show how far the held ones are. Call every frame."""
        self._fill()
        for finger in self._guard.settled(self._now()):
            press = next((self._pressed[k] for k in finger.keys if k in self._pressed), None)
            self._pressed.clear()
            if press is not None and finger.lasted_s >= press.hold_s:
                press.act()

    def _fill(self) -> None:
        finger = self._guard.steady(self._now())
        key = next((k for k in finger.keys if k in self._touches), None) if finger is not None else None
        press = self._touches[key].ud.get("press") if key is not None else None
        if finger is None or press is None or not press.hold_s:
            return
        share = min((self._now() - finger.down_s) / press.hold_s, 1.0)
        press.fill(share)
        if share >= 1.0 and self._full != key:
            self._full = key
            self._tick()

    def _down(self, _: object, touch: Any) -> bool:
        self._touches[touch.uid] = touch
        self._guard.down(touch.uid, self._now(), self._mm(touch.pos))
        return False

    def _move(self, _: object, touch: Any) -> bool:
        self._guard.move(touch.uid, self._mm(touch.pos))
        return False

    def _up(self, _: object, touch: Any) -> bool:
        self._touches.pop(touch.uid, None)
        if self._guard.up(touch.uid, self._now(), self._mm(touch.pos)):
            touch.ud["then"] = lambda press: self._pressed.__setitem__(touch.uid, press)
        return False

    def _mm(self, pos: tuple[float, float]) -> tuple[float, float]:
        return pos[0] / self._px_per_mm, pos[1] / self._px_per_mm
