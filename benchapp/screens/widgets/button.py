"""Something to press, and what the finger meant by it."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from typing import Any

from kivy.graphics import Color, Line, RoundedRectangle
from kivy.uix.widget import Widget

from benchapp.foundation.language import translated
from benchapp.screens.display import design as d
from benchapp.screens.drawings.typeset import typeset
from benchapp.screens.widgets.text_label import TextLabel, natural_wide

#: A button to be: its label, what it does, and its kind (see TouchButton).
ButtonSpec = tuple[str, Callable[[], None], str]
#: The kind of one that only keeps its place; and of one that is said on the page and pressed nowhere.
ABSENT, SAID = "absent", "said"
#: How large a second line is beside the first, and how far both keep from the edges, in pixels.
DETAIL_SHARE, DETAIL_EDGE = 0.56, 16.0
#: How much of its width words alone keep free, in pixels.
EDGE = 12.0


class TouchButton(Widget):
    """Something to press (Kivy draws what is named Button in its own style). ``kind``: "main" (the plain yes), "plain", "serious" (wants a second look).

    ``meaning`` is what the finger meant when it came down: where something else stands there by the time it
    lifts, nothing is pressed. One that has to be held counts after ``hold_s`` seconds, and shows how far it is.
    """

    hold_s = 0.0
    head = foot = 0.0  # so much of its height, in pixels, is kept free over and under its words
    margin = 0.0  # how much wider it is than its words ask for, in pixels
    edge = EDGE  # so much of its width, in pixels, is kept free beside its words
    own_width = False  # it is as wide as its words ask, however wide what stands in its row

    def __init__(
        self,
        label: str,
        act: Callable[[], None],
        kind: str = "plain",
        size: int = 26,
        meaning: object = None,
        detail: str = "",
    ) -> None:
        """``detail``: a second line under its words, smaller."""
        super().__init__(size_hint=(None, None))
        self.kind, self.act = kind, act
        self.meaning = (label, meaning)
        ground, ink = {"main": (d.TIDE, d.FOAM), "plain": (d.SHELL, d.INK), "serious": (d.SHELL, d.CORAL)}[
            kind
        ]
        self.ground, self._font, self._ink = ground, size, ink
        with self.canvas:
            self._fill = Color(*ground)
            self._box = RoundedRectangle(radius=[10])
            self._edged = Color(*(d.TIDE if kind == "main" else ink if kind == "serious" else d.DRIFT))
            self._edge = Line(width=1.6)
        self.caption = TextLabel(label, size, ink, bold=True, halign="center")
        self.add_widget(self.caption)
        self.detail: TextLabel | None = None
        if detail:
            self.detail = TextLabel(detail, round(size * DETAIL_SHARE), ink)
            self.caption.halign = "left"
            self.add_widget(self.detail)
        self.bind(pos=self._arrange, size=self._arrange)

    def say(self, text: str) -> None:
        """Other words on it for a while: what was pressed is being done."""
        if self.caption.text != translated(text):
            self.caption.text, self.caption.font_size = text, self._font
            while self._too_high() and self.caption.font_size > self._font / 2:
                self.caption.font_size -= 2  # it was laid out for other words
            self._arrange()

    def dim(self, on: bool) -> None:
        """Drawn as what cannot be pressed yet: flat on its ground, and in its place a press all the same."""
        ground, edge = (d.TIDE, d.TIDE) if self.kind == "main" else (d.SHELL, d.DRIFT)
        self.ground = d.SAND if on else ground
        self._fill.rgb = self.ground
        self._edged.rgb = d.WET_SAND if on else edge
        self.caption.color = (*(d.INK if on else self._ink), 1)

    def _too_high(self) -> bool:
        broken = self.least_width() - 20.0 > self.width - 8.0
        return broken or bool(self.caption.height_at(self.width - self.edge) > self.height - self.foot)

    @property
    def label(self) -> str:
        """Its own words."""
        return self.meaning[0]

    def fill(self, share: float) -> None:
        """Held for so much of ``hold_s``, 0 to 1; only what has to be held shows it."""

    def least_width(self) -> float:
        """How wide its longest word is, with the edges."""
        return least_width(self.caption.text, self.caption.font_size)

    def one_line(self) -> float:
        """How wide it has to be for its words on one line."""
        return natural_wide(self.caption.text, round(self.caption.font_size)) + 30.0

    def width_for(self, height: float) -> float:
        """How wide it has to be for all its words to stand within that height."""
        width = self.least_width() + self.margin
        while (
            self.caption.height_at(width - self.edge) > height - self.foot - 2
            and width < 40 * self.caption.font_size
        ):
            width += self.caption.font_size
        return width

    def drop_detail(self) -> None:
        """Its own words alone, where there is no room for a second line."""
        if self.detail is not None:
            self.remove_widget(self.detail)
            self.detail, self.caption.halign = None, "center"

    def detail_fits(self, font: float) -> bool:
        """Its second line in that size; whether both have room."""
        if self.detail is None:
            return True
        self.detail.font_size = font
        self._arrange()
        inner = self.width - 2 * DETAIL_EDGE
        words = self.caption.height_at(inner) + self.detail.height_at(inner)
        return bool(words <= self.height - self.foot - 4)

    def shrink(self, size: int) -> None:
        """Smaller words, where the row is short of room."""
        self.caption.font_size = self._font = size
        self._arrange()

    def _arrange(self, *_: object) -> None:
        self._box.pos, self._box.size = self.pos, self.size
        self._edge.rounded_rectangle = (*self.pos, *self.size, 10)
        inner = self.width - (self.edge if self.detail is None else 2 * DETAIL_EDGE)
        left = self.center_x - inner / 2
        height = self.caption.height_at(inner)
        under = 0.0 if self.detail is None else self.detail.height_at(inner)
        low = self.caption.place(left, self.center_y + (self.foot - self.head + height + under) / 2, inner)
        if self.detail is not None:
            self.detail.place(left, low, inner)

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


def least_width(text: str, size: float) -> float:
    """How wide the longest word is, with the edges of a button."""
    return _least_width(translated(text), size)


@lru_cache(maxsize=512)
def _least_width(text: str, size: float) -> float:
    ruler = typeset(size=size, bold=True)
    return float(max(ruler.get_extents(word)[0] for word in re.split(r"[ \n]+", text))) + 20.0
