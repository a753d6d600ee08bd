"""Sheets over the make: the keypad, reasons to pick, the full guidance, and the lock for wiping the glass."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from kivy.clock import Clock
from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.screens import design as d
from benchapp.screens.panel import Panel, Sizes
from benchapp.screens.parts import Press, Words

if TYPE_CHECKING:
    from benchapp.make.moment import Ask, Moment

#: Reasons offered where one is wanted, so that nothing needs a keyboard.
REASONS = (
    "Checked: no harm at this amount", "Stock ran out", "Spilt beside the vessel", "Device read false",
    "Decided with the second person", "Told to the person in charge",
)  # fmt: skip
#: Why a step is left out, or a batch given up.
SKIP_REASONS = (
    "Done already", "Not needed for this batch", "Equipment out of order", "Decided with the second person",
    "Another reason, on paper",
)  # fmt: skip
ABANDON_REASONS = (
    "Wrong ingredient went in", "Spilt or contaminated", "Equipment out of order", "No time to finish it safely",
    "Another reason, on paper",
)  # fmt: skip


class Sheet(Widget):
    """Plain ground over the whole panel; touches go no further."""

    def __init__(self, panel: Panel, sizes: Sizes) -> None:
        super().__init__(size=(panel.width, panel.height), size_hint=(None, None))
        self.panel, self.sizes = panel, sizes
        with self.canvas.before:
            Color(*d.SAND)
            Rectangle(size=self.size)

    def stays(self, before: Moment, after: Moment) -> bool:
        """Whether it still means the same after the make has moved from one moment to the other."""
        return False

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
        """Presses in rows from the top, as high as there is room, never smaller than an action; digits are large."""
        s = self.sizes
        rows = -(-len(labels) // columns)
        high = max(min((top - low - s.gap * (rows - 1)) / rows, s.action * 1.4), s.action)
        wide = (width - s.gap * (columns - 1)) / columns
        for n, (label, act, kind) in enumerate(labels):
            row, column = divmod(n, columns)
            press = Press(label, act, kind, s.instruction if len(label) == 1 else s.note)
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
        s, figures = sizes, sizes.figures
        self._unit = figures.unit(ask.unit)
        self._low, self._high = (figures.limit(v, ask.unit) for v in (ask.low, ask.high))
        portrait = panel.portrait
        pad_w = panel.width - 2 * s.pad if portrait else panel.width * 0.52
        pad_x = s.pad if portrait else panel.width - s.pad - pad_w
        pad_top = panel.height * 0.62 if portrait else panel.height - s.pad
        side_w = panel.width - 2 * s.pad if portrait else panel.width - pad_w - 3 * s.pad
        self.what = Words(ask.what, s.note, d.INK, bold=True)
        self.value = Words("", s.instruction, d.TIDE, bold=True)
        self.told = Words(self._limits(), s.note, d.SLATE)
        y = float(panel.height - s.pad)
        for words in (self.what, self.value, self.told):
            self.add_widget(words)
            words.text = words.text or " "
            y = words.place(s.pad, y, side_w) - s.gap
        keys = [(c, self._key(c), "plain") for c in "789456123"]
        keys += [
            (figures.number("0.0")[1], self._key("."), "plain"),
            ("0", self._key("0"), "plain"),
            ("Rub out", self._rub, "plain"),
        ]
        rows_low = float(s.pad) + (s.action + s.gap if portrait else 0)
        self.grid(keys, 3, pad_x, rows_low, pad_w, pad_top)
        enter, leave = Press("Enter", self._enter, "main", s.note), Press("Back", back, "plain", s.note)
        half = (side_w - s.gap) / 2
        for n, press in enumerate((enter, leave)):
            press.size, press.pos = (half, s.action), (s.pad + n * (half + s.gap), s.pad)
            self.add_widget(press)
        self._show()

    def stays(self, before: Moment, after: Moment) -> bool:
        """What was typed is kept while the same act asks for the same value in the same words."""
        return (
            _act_of(before) == _act_of(after)
            and before.face.ask == after.face.ask
            and before.face.instruction == after.face.instruction
        )

    def _limits(self) -> str:
        return self.sizes.figures.number(f"{self._low:g} to {self._high:g} {self._unit}")

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
        self.value.text = f"{self.sizes.figures.number(self.typed) or '–'} {self._unit}"
        self.value.place(self.value.x, self.value.top, self.value.width)

    def _enter(self) -> None:
        try:
            value = float(self.typed)
        except ValueError:
            return self._tell("Type a number first.")
        if not self._low <= value <= self._high:
            number = self.sizes.figures.number(f"{value:g}")
            return self._tell(f"{number} cannot be meant: {self._limits()}.")
        return self._done_act(self.sizes.figures.typed(value, self.ask.unit))

    def said(self) -> str:
        """What is typed, with its unit."""
        return f"{self.sizes.figures.number(self.typed)} {self._unit}".strip()

    def _tell(self, text: str) -> None:
        self.told.text, self.told.color = text, (*d.CORAL, 1)
        self.told.place(self.told.x, self.told.top, self.told.width)


def _act_of(moment: Moment) -> str:
    """The act a prompt belongs to, whatever its turn."""
    return moment.prompt.partition("#")[0]


class ReasonSheet(Sheet):
    """Why? One of the usual reasons."""

    def __init__(
        self,
        panel: Panel,
        sizes: Sizes,
        what: str,
        done: Callable[[str], None],
        back: Callable[[], None],
        reasons: Sequence[str] = REASONS,
    ) -> None:
        super().__init__(panel, sizes)
        s = sizes
        self.what = Words(f"{what}: why?", s.instruction, d.INK, bold=True)
        self.add_widget(self.what)
        low = self.what.place(s.pad, panel.height - s.pad, panel.width - 2 * s.pad) - s.gap
        labels = [(r, _give(done, r), "serious") for r in reasons] + [("Back", back, "plain")]
        columns = 1 if panel.portrait else 3
        self.grid(labels, columns, s.pad, s.pad, panel.width - 2 * s.pad, low)

    def stays(self, before: Moment, after: Moment) -> bool:
        """While the same act offers the same choices."""
        return _act_of(before) == _act_of(after) and before.face.choices == after.face.choices


def _give(done: Callable[[str], None], reason: str) -> Callable[[], None]:
    return lambda: done(reason)


class DetailSheet(Sheet):
    """Why this step matters, what it looks like when it is right, what goes wrong; and all that is said now.

    As many pages as it takes. From here a step is left out, the batch given up, the last act taken back.
    """

    def __init__(
        self, panel: Panel, sizes: Sizes, moment: Moment, ways: Sequence[tuple[str, Callable[[], None], str]]
    ) -> None:
        """``ways``: what may be pressed beside turning the page, the way back last."""
        super().__init__(panel, sizes)
        self._ways = list(ways)
        self._size = sizes.note if panel.width >= 1024 or panel.portrait else sizes.small
        self.pages = self._paged(_told(moment))
        self.page = 0
        self.lines: list[Words] = []
        self.fits = True
        self._draw()

    def stays(self, before: Moment, after: Moment) -> bool:
        """While it is the same step, and nothing has come up that matters more."""
        return before.step_key == after.step_key and before.trouble == after.trouble and not after.over

    def turn(self) -> None:
        """The next page, after the last the first again."""
        self.page = (self.page + 1) % len(self.pages)
        self._draw()

    def _room(self) -> float:
        s = self.sizes
        return float(self.panel.height - 2 * s.pad - s.action - s.gap)

    def _words(self, text: str, bold: bool) -> Words:
        return Words(self.sizes.figures.text(text), self._size, d.INK, bold=bold)

    def _paged(self, lines: list[tuple[str, bool]]) -> list[list[tuple[str, bool]]]:
        """The lines on pages; one that is higher than a whole page by itself gets one to itself."""
        wide, between = self.panel.width - 2 * self.sizes.pad, self.sizes.gap * 0.5
        pages: list[list[tuple[str, bool]]] = [[]]
        room = self._room()
        for text, bold in lines:
            high = self._words(text, bold).height_at(wide) + between
            if high > room and pages[-1]:
                pages.append([])
                room = self._room()
            pages[-1].append((text, bold))
            room -= high
        return pages

    def _draw(self) -> None:
        s, panel = self.sizes, self.panel
        self.clear_widgets()
        self.lines = []
        y = float(panel.height - s.pad)
        for text, bold in self.pages[self.page]:
            words = self._words(text, bold)
            self.add_widget(words)
            y = words.place(s.pad, y, panel.width - 2 * s.pad) - s.gap * 0.5
            self.lines.append(words)
        self.fits = y >= s.pad + s.action
        ways = list(self._ways)
        if len(self.pages) > 1:
            ways.insert(-1, (f"On, {self.page + 1} of {len(self.pages)}", self.turn, "plain"))
        wide = (panel.width - 2 * s.pad - s.gap * (len(ways) - 1)) / len(ways)
        for n, (label, act, kind) in enumerate(ways):
            press = Press(label, act, kind, s.note)
            press.size, press.pos = (wide, s.action), (s.pad + n * (wide + s.gap), s.pad)
            self.add_widget(press)


def _told(moment: Moment) -> list[tuple[str, bool]]:
    """All that is to be said about a moment: (text, bold)."""
    detail = moment.detail
    lines = [
        (moment.step_title, True),
        (f"Can be taken back: {moment.take_back}" if moment.take_back else "", False),
        (moment.trouble.text if moment.trouble else "", True),
        (moment.face.note, False),
        *((w, False) for w in moment.face.not_yet),
        (f"Why: {detail.why}" if detail.why else "", False),
        (f"Right: {detail.look}" if detail.look else "", False),
        (f"Wrong: {detail.wrong}" if detail.wrong else "", False),
        (f"Next: {moment.next_up}" if moment.next_up else "", False),
        (f"Last recorded: {moment.last}" if moment.last else "", False),
    ]
    return [line for line in lines if line[0]]


class GiveUpSheet(Sheet):
    """Leave out this step, or abandon the batch; either asks why before anything happens."""

    def __init__(
        self, panel: Panel, sizes: Sizes, title: str, ways: list[tuple[str, Callable[[], None], str]]
    ) -> None:
        super().__init__(panel, sizes)
        s = sizes
        self.what = Words(title, s.instruction, d.INK, bold=True)
        self.add_widget(self.what)
        low = self.what.place(s.pad, panel.height - s.pad, panel.width - 2 * s.pad) - s.gap
        self.grid(ways, 1, s.pad, s.pad, panel.width - 2 * s.pad, low)

    def stays(self, before: Moment, after: Moment) -> bool:
        """While it is the same step."""
        return before.step_key == after.step_key and not after.over


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

    def stays(self, before: Moment, after: Moment) -> bool:
        """Whatever the make comes to: a wet cloth presses nothing."""
        return True

    def _corner(self, name: str) -> Callable[[], None]:
        def act() -> None:
            if name == "left":
                self._pressed = {"left"}
                Clock.schedule_once(lambda _: self._pressed.clear(), 3.0)
            elif "left" in self._pressed:
                self._back()

        return act
