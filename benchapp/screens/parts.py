"""The few widgets every screen is made of: words, the big number, something to press, the tide line."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import lru_cache
from typing import Any

from kivy.core.text import Label as CoreLabel
from kivy.core.window import Window
from kivy.graphics import Color, Line, Rectangle, RoundedRectangle
from kivy.uix.label import Label
from kivy.uix.widget import Widget

from benchapp.screens import design as d
from benchapp.screens.drawings.shapes import draw_shape
from benchapp.screens.touch_guard import TouchGuard


class Words(Label):
    """Text that wraps to its width, never as markup, so that no file or device can steer it."""

    def __init__(
        self, text: str = "", size: int = 24, color: d.RGB = d.INK, bold: bool = False, halign: str = "left"
    ) -> None:
        super().__init__(
            text=text, font_size=size, color=(*color, 1), bold=bold, halign=halign, valign="top",
            size_hint=(None, None), markup=False, line_height=1.0,
        )  # fmt: skip

    def place(self, x: float, top: float, width: float) -> float:
        """Lay it out with its top left corner there; returns where it ends at the bottom."""
        self.text_size: tuple[float | None, float | None] = (max(width, 1), None)
        self.texture_update()
        self.size = (width, self.texture_size[1])
        self.pos = (x, top - self.height)
        return float(self.y)

    def natural(self) -> tuple[float, float]:
        """Make it as large as its text is on one line; returns that size."""
        self.text_size = (None, None)
        self.texture_update()
        self.size = self.texture_size
        return float(self.width), float(self.height)

    def height_at(self, width: float) -> float:
        """How high it would be at that width."""
        self.text_size = (max(width, 1), None)
        self.texture_update()
        return float(self.texture_size[1])


class Press(Widget):
    """Something to press. ``kind``: "main" (the plain yes), "plain", "serious" (wants a second look).

    ``meaning`` is what the finger meant when it came down: where something else stands there by the time it
    lifts, nothing is pressed. One that has to be held counts after ``hold_s`` seconds, and shows how far it is.
    """

    hold_s = 0.0

    def __init__(
        self,
        label: str,
        act: Callable[[], None],
        kind: str = "plain",
        size: int = 26,
        meaning: object = None,
    ) -> None:
        super().__init__(size_hint=(None, None))
        self.kind, self.act = kind, act
        self.meaning = (label, meaning)
        ground, ink = {"main": (d.TIDE, d.FOAM), "plain": (d.SHELL, d.INK), "serious": (d.SHELL, d.CORAL)}[
            kind
        ]
        self.ground = ground
        with self.canvas:
            self._fill = Color(*ground)
            self._box = RoundedRectangle(radius=[10])
            Color(*(d.TIDE if kind == "main" else ink if kind == "serious" else d.DRIFT))
            self._edge = Line(width=1.6)
        self.words = Words(label, size, ink, bold=True, halign="center")
        self.add_widget(self.words)
        self.bind(pos=self._arrange, size=self._arrange)

    def say(self, text: str) -> None:
        """Other words on it for a while: what was pressed is being done."""
        if self.words.text != text:
            self.words.text = text
            self._arrange()

    @property
    def label(self) -> str:
        """Its own words."""
        return self.meaning[0]

    def fill(self, share: float) -> None:
        """Held for so much of ``hold_s``, 0 to 1; only what has to be held shows it."""

    def least_width(self) -> float:
        """How wide its longest word is, with the edges."""
        return _longest_word(self.words.text, self.words.font_size) + 20.0

    def width_for(self, height: float) -> float:
        """How wide it has to be for all its words to stand within that height."""
        width = self.least_width()
        while self.words.height_at(width - 12) > height - 4 and width < 40 * self.words.font_size:
            width += self.words.font_size
        return width

    def shrink(self, size: int) -> None:
        """Smaller words, where the row is short of room."""
        self.words.font_size = size

    def _arrange(self, *_: object) -> None:
        self._box.pos, self._box.size = self.pos, self.size
        self._edge.rounded_rectangle = (*self.pos, *self.size, 10)
        height = self.words.height_at(self.width - 12)
        self.words.place(self.x + 6, self.center_y + height / 2, self.width - 12)

    def on_touch_down(self, touch: Any) -> bool:
        if not self.collide_point(*touch.pos):
            return False
        self._fill.rgb = d.WET_SAND if self.kind != "main" else d.INK
        touch.ud["meant"], touch.ud["press"] = self.meaning, self
        return True

    def on_touch_up(self, touch: Any) -> bool:
        self._fill.rgb = self.ground
        if self.collide_point(*touch.pos) and touch.ud.get("meant") == self.meaning:
            then = touch.ud.get("then")
            if then is not None:
                then(self)
            return True
        return False


@lru_cache(maxsize=512)
def _longest_word(text: str, size: float) -> float:
    ruler = CoreLabel(font_size=size, bold=True)
    return float(max(ruler.get_extents(word)[0] for word in text.split()))


class Glass:
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
        self._pressed: dict[object, Press] = {}
        self._touches: dict[object, Any] = {}
        self._full: object = None  # the contact for which it has ticked
        Window.bind(on_touch_down=self._down, on_touch_move=self._move, on_touch_up=self._up)

    def let_go(self) -> None:
        """Judge no more."""
        Window.unbind(on_touch_down=self._down, on_touch_move=self._move, on_touch_up=self._up)

    def settle(self) -> None:
        """Let the presses count that nothing came near in time, show how far the held ones are. Call every frame."""
        self._fill()
        for stand in self._guard.settled(self._now()):
            press = next((self._pressed[k] for k in stand.keys if k in self._pressed), None)
            self._pressed.clear()
            if press is not None and stand.lasted_s >= press.hold_s:
                press.act()

    def _fill(self) -> None:
        stand = self._guard.steady(self._now())
        key = next((k for k in stand.keys if k in self._touches), None) if stand is not None else None
        press = self._touches[key].ud.get("press") if key is not None else None
        if stand is None or press is None or not press.hold_s:
            return
        share = min((self._now() - stand.down_s) / press.hold_s, 1.0)
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


class TideLine(Widget):
    """The whole make as a waterline that comes in from the left, with a notch for every step."""

    def __init__(self) -> None:
        super().__init__(size_hint=(None, None))
        self.share, self.steps, self.now = 0.0, 1, 1
        self.bind(pos=self.draw, size=self.draw)

    def show(self, share: float, now: int, steps: int) -> None:
        """So much is done; step ``now`` of ``steps``."""
        if (share, now, steps) != (self.share, self.now, self.steps):
            self.share, self.now, self.steps = share, now, steps
            self.draw()

    def draw(self, *_: object) -> None:
        """Draw it anew."""
        self.canvas.clear()
        with self.canvas:
            Color(*d.WET_SAND)
            Rectangle(pos=self.pos, size=self.size)
            Color(*d.TIDE)
            Rectangle(pos=self.pos, size=(self.width * self.share, self.height))
            Color(*d.SAND)
            for n in range(1, self.steps):
                x = self.x + self.width * n / self.steps
                Rectangle(pos=(x - 1, self.y), size=(2, self.height))
            Color(*d.INK)
            x = self.x + self.width * (self.now - 1) / self.steps
            Rectangle(pos=(x, self.y), size=(self.width / self.steps, 4))


class Standing(Widget):
    """How a reading stands, as a shape and a word."""

    def __init__(self, size: int) -> None:
        super().__init__(size_hint=(None, None))
        self.words = Words("", size, d.INK, bold=True)
        self.add_widget(self.words)
        self.word = ""
        self._font = size

    def show(self, word: str, x: float, y: float) -> float:
        """Draw it with its left bottom corner there; returns its width."""
        colour, shape = d.STANDING.get(word, d.STANDING[""])
        self.word = word
        side = self._font * 1.3
        self.pos, self.size = (x, y), (side, side)
        self.canvas.before.clear()
        with self.canvas.before:
            draw_shape(shape, x, y, side, colour)
        self.words.text = word
        self.words.color = (*colour, 1)
        self.words.natural()
        self.words.pos = (x + side + 8, y + (side - self.words.height) / 2)
        return float(side + 8 + self.words.width)
