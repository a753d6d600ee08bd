"""The moment on the glass: one instruction, one reading huge, one drawing, what is not right yet, what may be pressed."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from benchapp.make.moment import Choice, Live, Moment
from benchapp.screens import design as d
from benchapp.screens.cautions import CautionPages, CautionStrip
from benchapp.screens.drawings.picture import Drawing
from benchapp.screens.overlays import DetailSheet, Keypad, LockSheet, ReasonSheet
from benchapp.screens.panel import Panel, Sizes
from benchapp.screens.parts import Press, Standing, TideLine, Words
from benchapp.screens.say import forecast, number_of, source_line

#: Serious choices that are the plain way on all the same.
PLAIN_WORDS = ("understood", "sign", "pan is empty", "seen to")


class Maker(Protocol):
    """What a person can do; the app hands it on to the make's own thread."""

    def press(self, prompt: str, choice: str, reason: str = "") -> None: ...
    def type_value(self, prompt: str, value: float) -> None: ...
    def hold(self) -> None: ...
    def leave(self) -> None: ...


class MakeScreen(Widget):
    """Draws moments of one make, and hands on what is pressed with the prompt it was meant for."""

    def __init__(self, panel: Panel, sizes: Sizes, maker: Maker) -> None:
        super().__init__(size=(panel.width, panel.height), size_hint=(None, None))
        self.panel, self.sizes, self.maker = panel, sizes, maker
        self.moment: Moment | None = None
        self.overlay: Widget | None = None
        self._laid: tuple[object, ...] = ()
        with self.canvas.before:
            Color(*d.SAND)
            self._ground = Rectangle(size=self.size)
        self.title = Words("", sizes.small, d.SLATE, bold=True)
        self.tide = TideLine()
        self.instruction = Words("", sizes.instruction, d.INK, bold=True)
        self.note = Words("", sizes.note, d.INK)
        self.why = Words("", sizes.note, d.INK, bold=True)
        self.when = Words("", sizes.note, d.INK)
        self.next_up = Words("", sizes.small, d.SLATE)
        self.trouble = Words("", sizes.note, d.FOAM, bold=True)
        self.drawing = Drawing(sizes.note)
        self.strip = CautionStrip(sizes)
        self.readings: list[Reading] = []
        self.actions: list[Press] = []
        self.pages: CautionPages | None = None
        for part in (self.title, self.tide, self.instruction, self.note, self.why, self.when, self.next_up,
                     self.drawing, self.strip, self.trouble):  # fmt: skip
            self.add_widget(part)

    # --- drawing a moment ----------------------------------------------------------------------------

    def show(self, moment: Moment) -> None:
        """Draw this moment. Cheap where only numbers changed."""
        before, self.moment = self.moment, moment
        if before is None or before.prompt != moment.prompt:
            self.close_overlay()
        shape = self._shape(moment)
        if shape != self._laid:
            self._laid = shape
            self._lay_out(moment)
        self._numbers(moment)

    def _shape(self, m: Moment) -> tuple[object, ...]:
        """Everything that moves things about; numbers do not."""
        f = m.face
        return (
            m.prompt, m.over, f.instruction, f.note, f.choices, f.ask is not None, type(f.picture), len(f.live),
            tuple(x.name for x in f.live), bool(f.not_yet), f.forecast is not None, m.trouble, f.cautions, m.cautions,
            m.next_up, tuple(len(w) // 12 for w in f.not_yet),
        )  # fmt: skip

    def _numbers(self, m: Moment) -> None:
        for reading, live in zip(self.readings, m.face.live, strict=False):
            reading.show(live)
        self.tide.show(m.progress, m.step_number, m.step_count)
        self.drawing.show(m.face.picture)
        self._set(self.why, "\n".join(m.face.not_yet))
        self._set(self.when, forecast(m.face.forecast) if m.face.forecast else m.face.meanwhile)

    def _set(self, words: Words, text: str) -> None:
        if words.text != text:
            top, width = words.top, words.width
            words.text = text
            words.place(words.x, top, width)

    # --- laying out ----------------------------------------------------------------------------------

    def _lay_out(self, m: Moment) -> None:
        s, p = self.sizes, self.panel
        self._clear()
        self._ground.size = self.size
        left, right = s.pad, p.width - s.pad
        top = self._header(m, left, right)
        low = self._action_row(m, left, right) + s.gap
        if m.face.cautions:
            self._caution_pages(m, left, right, low, top)
            return
        if p.portrait:
            self._upright(m, left, right, low, top)
        else:
            self._side_by_side(m, left, right, low, top)

    def _clear(self) -> None:
        for widget in (*self.readings, *self.actions, *([self.pages] if self.pages else [])):
            self.remove_widget(widget)
        self.readings, self.actions, self.pages = [], [], None
        for words in (self.instruction, self.note, self.why, self.when, self.next_up, self.trouble):
            words.text = ""
            words.size = (0, 0)
        self.drawing.size = (0, 0)
        self.trouble.canvas.before.clear()

    def _header(self, m: Moment, left: float, right: float) -> float:
        s = self.sizes
        top = self.height - s.pad / 2
        strip_w = self.strip.show(m.cautions, right, top, s.small * 1.7)
        self.title.text = f"{m.step_number}/{m.step_count}  {m.step_title}"
        low = self.title.place(left, top, right - left - strip_w - s.gap)
        low = min(low, top - s.small * 1.8)
        self.tide.size = (right - left, max(s.gap, 12))
        self.tide.pos = (left, low - self.tide.height - 4)
        low = self.tide.y - s.gap
        if m.trouble is not None:
            self.trouble.text = m.trouble.title
            self.trouble.place(left + s.gap, low - 4, right - left - 2 * s.gap)
            with self.trouble.canvas.before:
                Color(*d.CORAL)
                Rectangle(pos=(left, self.trouble.y - 6), size=(right - left, self.trouble.height + 10))
            low = self.trouble.y - 6 - s.gap
        return float(low)

    def _action_row(self, m: Moment, left: float, right: float) -> float:
        s = self.sizes
        buttons = self._buttons(m)
        shares = [1.6 if b.kind == "main" else 1.25 if b.kind == "serious" else 1.0 for b in buttons]
        room = right - left - s.gap * (len(buttons) - 1)
        x = left
        for button, share in zip(buttons, shares, strict=True):
            width = max(room * share / sum(shares), s.action)
            button.size = (width, s.action)
            button.pos = (x, s.pad)
            x += width + s.gap
            self.add_widget(button)
        self.actions = buttons
        return float(s.pad + s.action)

    def _buttons(self, m: Moment) -> list[Press]:
        s = self.sizes
        out: list[Press] = []
        if m.over:
            return [Press("Back to the bench", self.maker.leave, "main", s.note)]
        usual = [c for c in m.face.choices if not c.serious or c.key in PLAIN_WORDS]
        late = [c for c in m.face.choices if c not in usual]
        for n, choice in enumerate(usual):
            out.append(Press(choice.label, self._chosen(m, choice), "plain" if n else "main", s.note))
        if m.face.ask is not None:
            out.append(Press("Type it", self._ask, "main" if m.face.ask.usual else "plain", s.note))
        for choice in late:
            out.append(Press(choice.label, self._chosen(m, choice), "serious", s.note))
        if m.face.stage != "held":
            out.append(Press("Hold", self.maker.hold, "plain", s.note))
        out.append(Press("More", self._more, "plain", s.note))
        out.append(Press("Wipe", self._lock, "plain", s.note))
        return out

    def _chosen(self, m: Moment, choice: Choice) -> Callable[[], None]:
        def act() -> None:
            if self.pages is not None and not self.pages.last:
                self.pages.turn()
            elif choice.reason:
                self._open(
                    ReasonSheet(
                        self.panel,
                        self.sizes,
                        choice.label,
                        lambda why: self._done(m, choice.key, why),
                        self.close_overlay,
                    )
                )
            else:
                self.maker.press(m.prompt, choice.key)

        return act

    def _done(self, m: Moment, key: str, why: str) -> None:
        self.close_overlay()
        self.maker.press(m.prompt, key, why)

    def _caution_pages(self, m: Moment, left: float, right: float, low: float, top: float) -> None:
        self.pages = CautionPages(self.sizes, m.face.cautions)
        self.pages.pos, self.pages.size = (left, low), (right - left, top - low)
        self.pages.draw()
        self.add_widget(self.pages)

    def _side_by_side(self, m: Moment, left: float, right: float, low: float, top: float) -> None:
        s = self.sizes
        x = left
        if m.face.picture is not None:
            share = 0.36 if type(m.face.picture).__name__ in ("HeatPicture", "CoolPicture") else 0.27
            if type(m.face.picture).__name__ == "ListPicture":
                share = 0.12
            width = (right - left) * share
            self.drawing.pos, self.drawing.size = (left, low), (width, top - low)
            x = left + width + 1.5 * s.gap
        self._column(m, x, right, low, top)

    def _upright(self, m: Moment, left: float, right: float, low: float, top: float) -> None:
        s = self.sizes
        floor = low
        if m.face.picture is not None:
            height = (top - low) * 0.4
            wide = right - left
            self.drawing.pos, self.drawing.size = (left, low), (wide, height)
            floor = low + height + s.gap
        self._column(m, left, right, floor, top)

    def _column(self, m: Moment, left: float, right: float, low: float, top: float) -> None:
        s = self.sizes
        width = right - left
        self.instruction.text = m.face.instruction
        y = self.instruction.place(left, top, width) - s.gap * 0.5
        y = self._lay_readings(m, left, width, y)
        self.next_up.text = f"next: {m.next_up}" if m.next_up and not m.over else ""
        floor = low + (self.next_up.height_at(width) if self.next_up.text else 0)
        for words, text in (
            (self.note, m.face.note), (self.why, "\n".join(m.face.not_yet)),
            (self.when, forecast(m.face.forecast) if m.face.forecast else m.face.meanwhile),
        ):  # fmt: skip
            words.text = text
            if words is self.note:
                self._roomy(words, width, (y - floor) * 0.6)
            if text and y - words.height_at(width) >= floor - s.gap:
                y = words.place(left, y, width) - s.gap * 0.4
            elif text:
                # Up close only: it stands in "More" too, where it always has room.
                words.text = ""
                words.size = (0, 0)
        if self.next_up.text and y - self.next_up.height_at(width) >= low - s.gap:
            self.next_up.place(left, low + self.next_up.height_at(width), width)
        else:
            self.next_up.text = ""
            self.next_up.size = (0, 0)

    def _roomy(self, words: Words, width: float, room: float) -> None:
        """As large as there is room for, from a few sizes only (each new size costs memory)."""
        for scale in (1.5, 1.2, 1.0):
            words.font_size = round(self.sizes.note * scale)
            if words.height_at(width) <= room:
                return

    def _lay_readings(self, m: Moment, left: float, width: float, top: float) -> float:
        lives = m.face.live
        if not lives:
            return top
        each = width / len(lives)
        bottom = top
        for n, live in enumerate(lives):
            reading = Reading(
                self.sizes, big=live.source == "measured" or live.unit == "s", named=len(lives) > 1
            )
            self.readings.append(reading)
            self.add_widget(reading)
            bottom = min(bottom, reading.place(left + n * each, top, each - self.sizes.gap))
            reading.show(live)
        return bottom - self.sizes.gap * 0.5

    # --- overlays ------------------------------------------------------------------------------------

    def _open(self, sheet: Widget) -> None:
        self.close_overlay()
        self.overlay = sheet
        self.add_widget(sheet)

    def close_overlay(self) -> None:
        """Back to the make."""
        if self.overlay is not None:
            self.remove_widget(self.overlay)
            self.overlay = None

    def _ask(self) -> None:
        m = self.moment
        if m is not None and m.face.ask is not None:
            ask = m.face.ask

            def typed(value: float) -> None:
                self.close_overlay()
                self.maker.type_value(m.prompt, value)

            self._open(Keypad(self.panel, self.sizes, ask, typed, self.close_overlay))

    def _more(self) -> None:
        if self.moment is not None:
            self._open(DetailSheet(self.panel, self.sizes, self.moment, self.close_overlay))

    def _lock(self) -> None:
        self._open(LockSheet(self.panel, self.sizes, self.close_overlay))

    def on_touch_down(self, touch: object) -> bool:
        if self.overlay is not None:
            return bool(self.overlay.on_touch_down(touch))
        return bool(super().on_touch_down(touch))

    def on_touch_up(self, touch: object) -> bool:
        if self.overlay is not None:
            return bool(self.overlay.on_touch_up(touch))
        return bool(super().on_touch_up(touch))


class Reading(Widget):
    """One live value: the number, its unit, how it stands in shape and word, and where it comes from."""

    def __init__(self, sizes: Sizes, big: bool, named: bool) -> None:
        super().__init__(size_hint=(None, None))
        self.sizes, self.big, self.named = sizes, big, named
        self.number = Words("", sizes.reading if big else sizes.instruction, d.INK, bold=True)
        self.unit = Words("", sizes.instruction, d.INK, bold=True)
        self.name = Words("", sizes.note, d.INK, bold=True)
        self.source = Words("", sizes.small, d.SLATE)
        self.standing = Standing(sizes.note)
        for part in (self.number, self.unit, self.name, self.source, self.standing):
            self.add_widget(part)
        self._left = self._top = self._width = 0.0

    def place(self, left: float, top: float, width: float) -> float:
        """Where it goes; returns its bottom."""
        self._left, self._top, self._width = left, top, width
        number = self.number.font_size * 1.17
        rows = (
            (self.sizes.note * 1.25 if self.named else 0)
            + number
            + self.sizes.note * 1.5
            + self.sizes.small * 1.25
        )
        self.pos, self.size = (left, top - rows), (width, rows)
        return float(top - rows)

    def show(self, live: Live) -> None:
        """Put the numbers in."""
        value, unit = number_of(live)
        colour = d.STANDING.get(live.word, d.STANDING[""])[0]
        top = self._top
        if self.named:
            self.name.text = f"{live.name}, {unit}"
            unit = ""
            top = self.name.place(self._left, top, self._width)
        if self.number.text != value:
            self.number.text = value
        self.number.color = (*(colour if live.word not in ("waiting",) else d.INK), 1)
        self.number.text_size = (None, None)
        self.number.texture_update()
        self.number.size = self.number.texture_size
        self.number.pos = (self._left, top - self.number.height)
        self.unit.text = unit
        self.unit.text_size = (None, None)
        self.unit.texture_update()
        self.unit.size = self.unit.texture_size
        self.unit.pos = (self.number.right + 10, self.number.y + self.number.height * 0.1)
        low = self.number.y - self.sizes.note * 1.4
        self.standing.show(live.word, self._left, low)
        self.source.text = source_line(live)
        self.source.place(self._left, low - 2, self._width)
