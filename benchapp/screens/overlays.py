"""Sheets over the make: the keypad, reasons to pick, the full guidance, and the lock for wiping the glass."""

from __future__ import annotations

from collections.abc import Callable

from kivy.clock import Clock
from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.make.moment import Ask, Moment
from benchapp.screens import design as d
from benchapp.screens.panel import Panel, Sizes
from benchapp.screens.parts import Press, Words

#: Reasons offered where one is wanted, so that nothing needs a keyboard.
REASONS = (
    "Checked: no harm at this amount", "Stock ran out", "Spilt beside the vessel", "Device read false",
    "Decided with the second person", "Told to the person in charge",
)  # fmt: skip


class Sheet(Widget):
    """Plain ground over the whole panel; touches go no further."""

    def __init__(self, panel: Panel, sizes: Sizes) -> None:
        super().__init__(size=(panel.width, panel.height), size_hint=(None, None))
        self.panel, self.sizes = panel, sizes
        with self.canvas.before:
            Color(*d.SAND)
            Rectangle(size=self.size)

    def on_touch_down(self, touch: object) -> bool:
        super().on_touch_down(touch)
        return True

    def on_touch_up(self, touch: object) -> bool:
        super().on_touch_up(touch)
        return True

    def grid(
        self,
        labels: list[tuple[str, Callable[[], None], str]],
        columns: int,
        left: float,
        low: float,
        width: float,
        top: float,
    ) -> None:
        """Presses in rows from the top, as high as there is room, never smaller than an action."""
        s = self.sizes
        rows = -(-len(labels) // columns)
        high = max(min((top - low - s.gap * (rows - 1)) / rows, s.action * 1.4), s.action)
        wide = (width - s.gap * (columns - 1)) / columns
        for n, (label, act, kind) in enumerate(labels):
            row, column = divmod(n, columns)
            press = Press(label, act, kind, s.note)
            press.size = (wide, high)
            press.pos = (left + column * (wide + s.gap), top - (row + 1) * high - row * s.gap)
            self.add_widget(press)


class Keypad(Sheet):
    """Large digits for the value asked for; refuses what cannot be meant, with the limits."""

    def __init__(
        self, panel: Panel, sizes: Sizes, ask: Ask, done: Callable[[float], None], back: Callable[[], None]
    ) -> None:
        super().__init__(panel, sizes)
        self.ask, self._done_act = ask, done
        self.typed = ""
        s = sizes
        portrait = panel.portrait
        pad_w = panel.width - 2 * s.pad if portrait else panel.width * 0.52
        pad_x = s.pad if portrait else panel.width - s.pad - pad_w
        pad_top = panel.height * 0.62 if portrait else panel.height - s.pad
        side_w = panel.width - 2 * s.pad if portrait else panel.width - pad_w - 3 * s.pad
        self.what = Words(ask.what, s.note, d.INK, bold=True)
        self.value = Words("", s.instruction, d.TIDE, bold=True)
        self.told = Words(f"{ask.low:g} to {ask.high:g} {ask.unit}", s.note, d.SLATE)
        y = panel.height - s.pad
        for words in (self.what, self.value, self.told):
            self.add_widget(words)
            words.text = words.text or " "
            y = words.place(s.pad, y, side_w) - s.gap
        keys = [(c, self._key(c), "plain") for c in "789456123"]
        keys += [(".", self._key("."), "plain"), ("0", self._key("0"), "plain"), ("⌫", self._rub, "plain")]
        keys[-1] = ("Rub out", self._rub, "plain")
        rows_low = s.pad + (s.action + s.gap if portrait else 0)
        self.grid(keys, 3, pad_x, rows_low, pad_w, pad_top)
        enter, leave = Press("Enter", self._enter, "main", s.note), Press("Back", back, "plain", s.note)
        half = (side_w - s.gap) / 2
        for n, press in enumerate((enter, leave)):
            press.size, press.pos = (half, s.action), (s.pad + n * (half + s.gap), s.pad)
            self.add_widget(press)
        self._show()

    def _key(self, sign: str) -> Callable[[], None]:
        def act() -> None:
            if sign == "." and "." in self.typed:
                return
            if len(self.typed.replace(".", "")) < 7:
                self.typed += sign
                self._show()

        return act

    def _rub(self) -> None:
        self.typed = self.typed[:-1]
        self._show()

    def _show(self) -> None:
        self.value.text = f"{self.typed or '–'} {self.ask.unit}"
        self.value.place(self.value.x, self.value.top, self.value.width)

    def _enter(self) -> None:
        try:
            value = float(self.typed)
        except ValueError:
            return self._tell("Type a number first.")
        if not self.ask.low <= value <= self.ask.high:
            return self._tell(
                f"{value:g} cannot be meant: {self.ask.low:g} to {self.ask.high:g} {self.ask.unit}."
            )
        return self._done_act(value)

    def _tell(self, text: str) -> None:
        self.told.text, self.told.color = text, (*d.CORAL, 1)
        self.told.place(self.told.x, self.told.top, self.told.width)


class ReasonSheet(Sheet):
    """Why? One of the usual reasons."""

    def __init__(
        self, panel: Panel, sizes: Sizes, what: str, done: Callable[[str], None], back: Callable[[], None]
    ) -> None:
        super().__init__(panel, sizes)
        s = sizes
        self.what = Words(f"{what}: why?", s.instruction, d.INK, bold=True)
        self.add_widget(self.what)
        low = self.what.place(s.pad, panel.height - s.pad, panel.width - 2 * s.pad) - s.gap
        labels = [(r, _give(done, r), "serious") for r in REASONS] + [("Back", back, "plain")]
        columns = 1 if panel.portrait else 3
        self.grid(labels, columns, s.pad, s.pad, panel.width - 2 * s.pad, low)


def _give(done: Callable[[str], None], reason: str) -> Callable[[], None]:
    return lambda: done(reason)


class DetailSheet(Sheet):
    """Why this step matters, what it looks like when it is right, what goes wrong; and all that is said now."""

    def __init__(
        self, panel: Panel, sizes: Sizes, moment: Moment, back: Callable[[], None], wipe: Callable[[], None]
    ) -> None:
        super().__init__(panel, sizes)
        s = sizes
        y = panel.height - s.pad
        low = s.pad + s.action + s.gap
        detail = moment.detail
        lines = [
            (moment.step_title, True),
            (moment.face.note, False),
            *((w, False) for w in moment.face.not_yet),
        ]
        lines += [
            (f"Why: {detail.why}", False),
            (f"Right: {detail.look}", False),
            (f"Wrong: {detail.wrong}", False),
            (f"Next: {moment.next_up}", False),
        ]
        self.lines: list[Words] = []
        size = s.note if panel.width >= 1024 or panel.portrait else s.small
        for text, bold in lines:
            if text and not text.endswith(": "):
                words = Words(text, size, d.INK, bold=bold)
                self.add_widget(words)
                y = words.place(s.pad, y, panel.width - 2 * s.pad) - s.gap * 0.5
                self.lines.append(words)
        self.fits = y >= low - s.gap
        half = (panel.width - 2 * s.pad - s.gap) / 2
        for n, (label, act, kind) in enumerate((("Wipe", wipe, "plain"), ("Back", back, "main"))):
            press = Press(label, act, kind, s.note)
            press.size, press.pos = (half, s.action), (s.pad + n * (half + s.gap), s.pad)
            self.add_widget(press)


class LockSheet(Sheet):
    """Nothing reacts while the glass is wiped; two presses, one in each lower corner, unlock it."""

    def __init__(self, panel: Panel, sizes: Sizes, back: Callable[[], None]) -> None:
        super().__init__(panel, sizes)
        s = sizes
        self._pressed: set[str] = set()
        self._back = back
        self.words = Words("Wipe the glass. Nothing reacts.", s.instruction, d.INK, bold=True)
        self.add_widget(self.words)
        y = self.words.place(s.pad, panel.height - s.pad, panel.width - 2 * s.pad)
        self.how = Words("To go on: press left, then right.", s.note, d.INK)
        self.add_widget(self.how)
        self.how.place(s.pad, y - s.gap, panel.width - 2 * s.pad)
        for name, x in (("left", s.pad), ("right", panel.width - s.pad - 2 * s.action)):
            press = Press(name, self._corner(name), "plain", s.note)
            press.size, press.pos = (2 * s.action, s.action), (x, s.pad)
            self.add_widget(press)

    def _corner(self, name: str) -> Callable[[], None]:
        def act() -> None:
            if name == "left":
                self._pressed = {"left"}
                Clock.schedule_once(lambda _: self._pressed.clear(), 3.0)
            elif "left" in self._pressed:
                self._back()

        return act
