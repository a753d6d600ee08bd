"""The moment on the glass: one instruction, one reading huge, one drawing, what is not right yet, what may be pressed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from kivy.clock import Clock
from kivy.graphics import Color, Rectangle

from benchapp.make.guidance import coaching, note_at
from benchapp.make.guidance_levels import Level
from benchapp.make.moment import Choice, CoolPicture, HeatPicture, ListPicture, Live, Moment
from benchapp.make.waits import forecast
from benchapp.screens import design as d
from benchapp.screens.action_row import lay_rows, rows_of
from benchapp.screens.cautions import CautionPages, CautionStrip
from benchapp.screens.drawings.picture import Drawing
from benchapp.screens.make_sheets import Maker, OverMake
from benchapp.screens.meanwhile_band import MeanwhileBand
from benchapp.screens.overlays import (
    Keypad,
)
from benchapp.screens.panel import Panel, Sizes
from benchapp.screens.parts import Press, TideLine, Words
from benchapp.screens.reading import Reading
from benchapp.screens.say import held_together, short_forecast
from benchapp.screens.taking_bar import TakingBar

#: Choices heard at once, since there is no time for two presses and nothing is recorded: an objection.
AT_ONCE = ("wait",)
#: Serious choices that are the plain way on all the same.
PLAIN_WORDS = ("understood", "sign", "pan is empty", "seen to")
#: The picture's share of the width; what is not named here has 0.27.
PICTURE_SHARE: dict[type, float] = {HeatPicture: 0.36, CoolPicture: 0.36, ListPicture: 0.12}
#: A glass of fewer lines than this has no room for a line of its own about a wait.
CROWDED = 18.0
#: How long it stays on the glass that something was typed in vain, in seconds.
NOTICE_S = 8.0
#: What a press says, and how a reading stands, while the disk keeps the make waiting.
WRITING, NOT_WRITTEN = "Being written…", "not written yet"


class MakeScreen(OverMake):
    """Draws moments of one make, and hands on what is pressed with the prompt it was meant for."""

    def __init__(
        self, panel: Panel, sizes: Sizes, maker: Maker, left_handed: bool = False, guidance: Level = "normal"
    ) -> None:
        super().__init__(panel, sizes, maker)
        self.guidance = guidance
        self.rehearsing = False  # on a simulated bench, and it says so
        self.left_handed = left_handed
        self.notice = ""  # what was typed in vain, for a few seconds
        self._behind = False  # whether the readings show more than is written down
        self._laid: tuple[object, ...] = ()
        self._said: tuple[object, ...] = ()
        self._text_box = (0.0, 0.0, 0.0, 0.0)  # left, width, low, top of what is read up close
        with self.canvas.before:
            Color(*d.SAND)
            self._ground = Rectangle(size=self.size)
        self.title = Words("", sizes.small, d.SLATE, bold=True)
        self.tide = TideLine()
        self.instruction = Words("", sizes.instruction, d.INK, bold=True)
        self.note = Words("", sizes.note, d.INK)
        self.why = Words("", sizes.note, d.INK, bold=True)
        self.when = Words("", sizes.note, d.INK)
        self.coach = Words("", sizes.small, d.INK)  # why, right and wrong, where full guidance is wanted
        self.next_up = Words("", sizes.small, d.SLATE)
        self.trouble = Words("", sizes.note, d.FOAM, bold=True)
        self.drawing = Drawing(sizes.note, sizes.figures)
        self.strip = CautionStrip(sizes)
        self.about = TakingBar(sizes)
        self.beside = MeanwhileBand(sizes)
        self.readings: list[Reading] = []
        self.actions: list[Press] = []
        self.pages: CautionPages | None = None
        for part in (self.title, self.tide, self.instruction, self.note, self.why, self.when, self.coach, self.next_up,
                     self.drawing, self.strip, self.beside, self.trouble):  # fmt: skip
            self.add_widget(part)

    # --- drawing a moment ----------------------------------------------------------------------------

    def show(self, moment: Moment) -> None:
        """Draw this moment. Cheap where only numbers changed."""
        before, self.moment = self.moment, moment
        if before is None or before.prompt != moment.prompt:
            self._turned(before, moment)
        shape = self._shape(moment)
        if shape != self._laid:
            self._laid = shape
            self._lay_out(moment)
            self._cover()
        self._numbers(moment)

    def _turned(self, before: Moment | None, moment: Moment) -> None:
        """Another prompt: a sheet stays where it still means the same; what was typed in vain is said."""
        sheet, self._pressed = self.overlay, None
        if self.bar is not None and not (before is not None and _same_offer(before, moment)):
            self.unpick()
        if sheet is None or (before is not None and sheet.stays(before, moment)):
            return
        if isinstance(sheet, Keypad) and sheet.typed:
            self._notify(f"Not used: {sheet.typed} typed for the {sheet.ask.what}. The make has moved on.")
        self.close_overlay()

    def _notify(self, text: str) -> None:
        self.notice = text
        Clock.schedule_once(lambda _: self._end_notice(text), NOTICE_S)

    def _end_notice(self, text: str) -> None:
        if self.notice == text:
            self.notice = ""
            if self.moment is not None and self.pages is None:
                self._texts(self.moment)

    def writing(self, on: bool, live: Sequence[Live]) -> None:
        """Whether the disk keeps the make waiting; ``live`` are the values by the devices' newest readings."""
        if self._pressed is not None:
            self._pressed.say(WRITING if on else self._pressed.label)
        if on and self.moment is not None:
            for reading, now in zip(self.readings, live, strict=False):
                measured = now.source == "measured" and now.value is not None
                reading.show(replace(now, word=NOT_WRITTEN) if measured else now)
            self._behind = True
        elif self._behind and self.moment is not None:
            self._behind = False
            self._numbers(self.moment)

    def _shape(self, m: Moment) -> tuple[object, ...]:
        """Everything that moves things about; numbers do not."""
        f = m.face
        return (
            m.prompt, m.over, f.instruction, f.choices, f.ask is not None, type(f.picture),
            tuple((x.name, x.source) for x in f.live), m.trouble, f.cautions, m.cautions,
            m.meanwhile.calls if m.meanwhile else None,
        )  # fmt: skip

    def _numbers(self, m: Moment) -> None:
        for reading, live in zip(self.readings, m.face.live, strict=False):
            reading.show(live)
        self.about.show(m.face.live[0] if m.face.live else None, m.face.taking)
        self.tide.show(m.progress, m.step_number, m.step_count)
        self.beside.numbers(m.meanwhile)
        if self.pages is None:
            self.drawing.show(m.face.picture)
            self._texts(m)

    # --- laying out ----------------------------------------------------------------------------------

    def _lay_out(self, m: Moment) -> None:
        s, p = self.sizes, self.panel
        self._clear()
        self._ground.size = self.size
        left, right = s.pad, p.width - s.pad
        top = self._header(m, left, right)
        low = self._action_row(m) + s.gap
        self.remove_widget(self.about)
        self.add_widget(self.about)  # over whatever is laid out
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
        for words in (
            self.instruction,
            self.note,
            self.why,
            self.when,
            self.coach,
            self.next_up,
            self.trouble,
        ):
            words.text = ""
            words.size = (0, 0)
        self.drawing.size = (0, 0)
        self.drawing.show(None)
        self.trouble.canvas.before.clear()

    def _header(self, m: Moment, left: float, right: float) -> float:
        s = self.sizes
        top = self.height - s.pad / 2
        strip_w = self.strip.show(m.cautions, right, top, s.small * 1.35)
        room = right - left - strip_w - s.gap
        crowded = m.meanwhile is not None and self.height < CROWDED * s.note
        self.title.text = "" if crowded else self._title(m)
        if crowded:  # what the step is called stands in the instruction, more or less; the wait does not
            low = self.beside.place(m.meanwhile, left, left + room, top, tight=True)
        else:
            low = self.title.place(left, top, room)
        low = min(low, top - s.small * 1.4)
        waved = not (crowded and m.meanwhile is not None and m.meanwhile.calls)
        self.tide.size = (right - left, max(s.gap, 12)) if waved else (0, 0)
        self.tide.pos = (left, low - self.tide.height - 4)
        low = self.tide.y - s.gap if waved else low - 4
        if not crowded:
            low = self.beside.place(m.meanwhile, left, right, low)
        if m.trouble is not None:
            self.trouble.text = m.trouble.title
            self.trouble.place(left + s.gap, low - 4, right - left - 2 * s.gap)
            with self.trouble.canvas.before:
                Color(*d.CORAL)
                Rectangle(pos=(left, self.trouble.y - 6), size=(right - left, self.trouble.height + 10))
            low = self.trouble.y - 6 - s.gap
        return float(low)

    def _title(self, m: Moment) -> str:
        where = "Simulated  " if self.rehearsing else ""
        return f"{where}{m.step_number}/{m.step_count}  {m.step_title}"

    def _action_row(self, m: Moment) -> float:
        choices, always = self._buttons(m)
        rows = rows_of(self.panel, self.sizes, choices, always)
        top = lay_rows(self.panel, self.sizes, rows, self.left_handed)
        self.actions = [press for row in rows for press in row]
        for press in self.actions:
            self.add_widget(press)
        return top

    def _buttons(self, m: Moment) -> tuple[list[Press], list[Press]]:
        """What this moment offers, the plain yes last; and what every moment offers, the dearest first."""
        if m.over:
            return [self._press("Back to the bench", self.maker.leave, "main", m)], []
        usual = [c for c in m.face.choices if not c.serious or c.key in PLAIN_WORDS]
        late = [c for c in m.face.choices if c not in usual]
        out = [self._press(c.label, self._chosen(m, c), "serious", m) for c in late]
        if m.face.ask is not None:
            out.append(self._press("Type it", self._ask, "main" if m.face.ask.usual else "plain", m))
        for n, choice in reversed(list(enumerate(usual))):
            out.append(self._press(choice.label, self._chosen(m, choice), "plain" if n else "main", m))
        always = [self._press("More", self._more, "plain", m)]
        if m.face.stage != "held":
            always.append(self._press("Hold", lambda: self.pick("Hold", self.maker.hold), "plain", m))
        always.append(self._press("Wipe", self._lock, "plain", m))
        return out, always

    def _press(self, label: str, act: Callable[[], None], kind: str, m: Moment) -> Press:
        def pressed() -> None:
            self._pressed = press
            act()

        press = Press(label, pressed, kind, self.sizes.note, meaning=m.prompt)
        return press

    def _chosen(self, m: Moment, choice: Choice) -> Callable[[], None]:
        def act() -> None:
            if self.pages is not None and not self.pages.last:
                self.pages.turn()
            elif choice.sign:
                self.maker.signature(m.prompt, choice.sign)
            elif choice.reason:
                self._why(choice.label, lambda why: self.maker.press(self._prompt(), choice.key, why))
            elif choice.key in AT_ONCE:
                self.maker.press(m.prompt, choice.key)
            else:
                self.pick(choice.label, lambda: self.maker.press(self._prompt(), choice.key))

        return act

    def _caution_pages(self, m: Moment, left: float, right: float, low: float, top: float) -> None:
        self.pages = CautionPages(self.sizes, m.face.cautions, (left, low), (right - left, top - low))
        self.add_widget(self.pages)

    def _side_by_side(self, m: Moment, left: float, right: float, low: float, top: float) -> None:
        s = self.sizes
        if m.face.picture is None:
            self._column(m, left, right, low, self._instruct(m, left, right, top))
            return
        share = PICTURE_SHARE.get(type(m.face.picture), 0.27)
        width = (right - left) * (min(share, 0.28) if len(m.face.live) > 1 and self.height <= 600 else share)
        x = left + width + 1.5 * s.gap
        self.instruction.text = self._put(m.face.instruction)
        if m.face.live and self.instruction.height_at(right - x) > top - low - self._needed(m):
            top = self._instruct(m, left, right, top)
            below = top
        else:
            below = self._instruct(m, x, right, top)
        self.drawing.pos, self.drawing.size = (left, low), (width, top - low)
        self._column(m, x, right, low, below)

    def _needed(self, m: Moment) -> float:
        """How high the readings and one line of reasons are, with the words beside the numbers."""
        many = len(m.face.live) > 1
        live = (Reading(self.sizes, self._is_big(x), many).high(True) for x in m.face.live)
        return max(live, default=0.0) + self.sizes.gap + (self.sizes.note * 1.2 if m.face.not_yet else 0.0)

    def _upright(self, m: Moment, left: float, right: float, low: float, top: float) -> None:
        s = self.sizes
        floor = low
        if m.face.picture is not None:
            height = (top - low) * 0.4
            self.drawing.pos, self.drawing.size = (left, low), (right - left, height)
            floor = low + height + s.gap
        self._column(m, left, right, floor, self._instruct(m, left, right, top))

    def _put(self, text: str) -> str:
        """The text as figures are written here."""
        return self.sizes.figures.text(held_together(text))

    def _instruct(self, m: Moment, left: float, right: float, top: float) -> float:
        self.instruction.text = self._put(m.face.instruction)
        return self.instruction.place(left, top, right - left) - self.sizes.gap * 0.5

    def _column(self, m: Moment, left: float, right: float, low: float, top: float) -> None:
        """Readings, and under them what is read up close."""
        y = self._lay_readings(m, left, right - left, low, top)
        self._text_box = (left, right - left, low, y)
        self.about.place(left, low, right - left, y - low + self.sizes.gap * 0.8)
        self._said = ()

    def _lay_readings(self, m: Moment, left: float, width: float, low: float, top: float) -> float:
        lives, s = m.face.live, self.sizes
        if not lives:
            return top
        each = width / len(lives)
        self.readings = [Reading(s, self._is_big(x), named=len(lives) > 1) for x in lives]
        stacked = max(r.high(False) for r in self.readings) + 3 * s.note
        bottom = top
        for n, (reading, live) in enumerate(zip(self.readings, lives, strict=True)):
            self.add_widget(reading)
            bottom = min(bottom, reading.place(left + n * each, top, each - s.gap, top - low < stacked))
            reading.show(live)
        return bottom - s.gap * 0.5

    @staticmethod
    def _is_big(live: Live) -> bool:
        return live.source == "measured" or live.unit == "s"

    def _texts(self, m: Moment) -> None:
        """Why not yet, how long still, what it says up close, what comes next: as much of it as there is room for.

        What has no room stands in "More" all the same.
        """
        put = self.sizes.figures.text
        about = m.face.taking is not None  # then the bar says so, and how to object
        not_yet = [] if about else m.face.not_yet
        why = [put(text) for text in (m.face.news, self.notice, *not_yet) if text]
        when = put(forecast(m.face.forecast) if m.face.forecast else "")
        note = put(note_at(m, self.guidance))
        coach = [put(text) for text in coaching(m, self.guidance)]
        next_up = f"next: {put(m.next_up)}" if m.next_up and not m.over else ""
        before, self._said = self._said, ("\n".join(why), when, note, next_up, about)
        if before == self._said:
            return
        self.coach.text = ""
        left, width, low, top = self._text_box
        low = max(low, self.about.top) if about else low
        room = top - low + self.sizes.gap * 0.8  # the last line may reach into the gap above the presses
        self.note.font_size = self.sizes.note
        reserve = self._high(self.when, when, width) if not m.face.forecast else 0.0
        if m.face.forecast:
            short = short_forecast(m.face.forecast)
            reserve = self._high(self.when, short, width)
            if self._high(self.when, when, width) + self._high(self.why, "\n".join(why), width) > room:
                when = short
        while why and self._high(self.why, "\n".join(why), width) + reserve > room:
            why.pop()
        said = ("\n".join(why), when, note, "" if coach else next_up)
        for words, text in zip((self.why, self.when, self.note, self.next_up), said, strict=True):
            high = self._high(words, text, width)
            if not text or high > room:
                words.text, words.size = "", (0, 0)
            else:
                room -= high
        room -= self._coached(coach, width, room)
        if self.note.text:
            self._roomy(self.note, width, self.note.height_at(width) + room * 0.8)
        y = top
        for words in (self.note, self.why, self.when, self.coach):
            if words.text:
                y = words.place(left, y, width) - self.sizes.gap * 0.4
        if self.next_up.text:
            self.next_up.place(left, low + self.next_up.height_at(width), width)

    def _coached(self, coach: list[str], width: float, room: float) -> float:
        """As much of the coaching as there is room for, smaller before it is less; returns how high it is."""
        self.coach.font_size = self.sizes.note
        if self._high(self.coach, "\n".join(coach), width) > room:
            self.coach.font_size = self.sizes.small
        while coach and self._high(self.coach, "\n".join(coach), width) > room:
            coach.pop()
        return self._high(self.coach, "\n".join(coach), width)

    def _high(self, words: Words, text: str, width: float) -> float:
        """How high these words would be with this text; leaves the text in them."""
        words.text = text
        return words.height_at(width) + self.sizes.gap * 0.4 if text else 0.0

    def _roomy(self, words: Words, width: float, room: float) -> None:
        """As large as there is room for, from a few sizes only (each new size costs memory)."""
        for scale in (1.5, 1.2, 1.0):
            words.font_size = round(self.sizes.note * scale)
            if words.height_at(width) <= room:
                return


def _same_offer(before: Moment, after: Moment) -> bool:
    """Whether the same act still offers the same, whatever its turn."""
    same = before.prompt.partition("#")[0] == after.prompt.partition("#")[0]
    return same and (before.face.choices, before.face.ask) == (after.face.choices, after.face.ask)
