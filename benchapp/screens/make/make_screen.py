"""The view on the glass: one instruction, one reading huge, one drawing, what is not right yet, what may be pressed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from kivy.clock import Clock
from kivy.graphics import Color, Rectangle

from benchapp.make.guidance_levels import Level
from benchapp.make.view_model import Choice, CoolPicture, HeatPicture, ListPicture, LiveValue, ViewModel
from benchapp.make.vocabulary import ChoiceKey, Stage
from benchapp.screens.display import design as d
from benchapp.screens.display.phrases import held_together
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.drawing import Drawing
from benchapp.screens.make.accept_countdown import AcceptCountdown
from benchapp.screens.make.action_row import lay_rows, rows_of
from benchapp.screens.make.caution_pages import CautionPages
from benchapp.screens.make.guidance_text import GuidanceText
from benchapp.screens.make.live_readout import LiveReadout
from benchapp.screens.make.make_header import MakeHeader
from benchapp.screens.make.sheet_layer import MakeActions, SheetLayer
from benchapp.screens.widgets.button import TouchButton
from benchapp.screens.widgets.keypad import Keypad
from benchapp.screens.widgets.surface import same_act
from benchapp.screens.widgets.text_label import TextLabel

#: Choices heard at once, since there is no time for two presses and nothing is recorded: an objection.
AT_ONCE = (ChoiceKey.WAIT,)
#: Serious choices that are the plain way on all the same.
PLAIN_WORDS = (ChoiceKey.UNDERSTOOD, ChoiceKey.SIGN, ChoiceKey.PAN_IS_EMPTY, ChoiceKey.SEEN_TO)
#: The picture's share of the width; what is not named here has 0.27.
PICTURE_SHARE: dict[type, float] = {HeatPicture: 0.36, CoolPicture: 0.36, ListPicture: 0.12}
#: How long it stays on the glass that something was typed in vain, in seconds.
NOTICE_S = 8.0
#: Opens what is read up close; counts the reasons that have no room on this glass.
MORE = "More"
#: What a press says, and how a reading stands, while the disk keeps the make waiting.
WRITING, NOT_WRITTEN = "Being written…", "not written yet"


class MakeScreen(SheetLayer):
    """Draws the views of one make, and hands on what is pressed with the prompt it was meant for."""

    def __init__(
        self,
        sizes: Sizes,
        actions: MakeActions,
        left_handed: bool = False,
        guidance: Level = "normal",
        rehearsing: bool = False,
    ) -> None:
        """``rehearsing``: on a simulated bench, and it says so."""
        super().__init__(sizes, actions)
        self.left_handed = left_handed
        self.notice = ""  # what was typed in vain, for a few seconds
        self._behind = False  # whether the readings show more than is written down
        self._laid: tuple[object, ...] = ()
        with self.canvas.before:
            Color(*d.SAND)
            self._ground = Rectangle(size=self.size)
        self.header = MakeHeader(sizes, rehearsing)
        self.instruction = TextLabel("", sizes.instruction, d.INK, bold=True)
        self.text = GuidanceText(sizes, guidance)
        self.drawing = Drawing(sizes.note, sizes.figures)
        self.countdown = AcceptCountdown(sizes)
        self.readings: list[LiveReadout] = []
        self.buttons: list[TouchButton] = []
        self.pages: CautionPages | None = None
        for part in (*self.header.parts, self.instruction, *self.text.parts, self.drawing):
            self.add_widget(part)

    # --- drawing a view ----------------------------------------------------------------------------

    def show(self, view: ViewModel) -> None:
        """Draw this view. Cheap where only numbers changed."""
        before, self.view = self.view, view
        if before is None or before.prompt != view.prompt:
            self._turned(before, view)
        shape = self._shape(view)
        if shape != self._laid:
            self._laid = shape
            self._lay_out(view)
            self._cover()
        self._numbers(view)

    def _turned(self, before: ViewModel | None, view: ViewModel) -> None:
        """Another prompt: a sheet stays where it still means the same; what was typed in vain is said."""
        sheet, self._pressed = self.overlay, None
        if self.bar is not None and not (before is not None and _same_offer(before, view)):
            self.cancel_confirm()
        if sheet is None or (before is not None and sheet.stays(before, view)):
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
            if self.view is not None and self.pages is None:
                self._show_text(self.view)

    def writing(self, on: bool, live: Sequence[LiveValue]) -> None:
        """Whether the disk keeps the make waiting; ``live`` are the values by the devices' newest readings."""
        if self._pressed is not None:
            self._pressed.say(WRITING if on else self._pressed.label)
        if on and self.view is not None:
            for reading, now in zip(self.readings, live, strict=False):
                measured = now.source == "measured" and now.value is not None
                reading.show(replace(now, word=NOT_WRITTEN) if measured else now)
            self._behind = True
        elif self._behind and self.view is not None:
            self._behind = False
            self._numbers(self.view)

    def _shape(self, m: ViewModel) -> tuple[object, ...]:
        """Everything that moves things about; numbers do not."""
        f = m.act_view
        return (
            m.prompt, m.over, f.instruction, f.choices, f.ask is not None, type(f.picture),
            tuple((x.name, x.source) for x in f.live), m.trouble, f.cautions, m.cautions,
            m.meanwhile.calls if m.meanwhile else None,
        )  # fmt: skip

    def _numbers(self, m: ViewModel) -> None:
        for reading, live in zip(self.readings, m.act_view.live, strict=False):
            reading.show(live)
        self.countdown.show(m.act_view.live[0] if m.act_view.live else None, m.act_view.taking)
        self.header.show(m)
        if self.pages is None:
            self.drawing.show(m.act_view.picture)
            self._show_text(m)

    # --- laying out ----------------------------------------------------------------------------------

    def _lay_out(self, m: ViewModel) -> None:
        s, p = self.sizes, self.panel
        self._clear()
        self._ground.size = self.size
        left, right = s.pad, p.width - s.pad
        top = self.header.lay_out(m)
        low = self._action_row(m) + s.gap
        self.remove_widget(self.countdown)
        self.add_widget(self.countdown)  # over whatever is laid out
        if m.act_view.cautions:
            self._caution_pages(m, left, right, low, top)
            return
        if p.portrait:
            self._upright(m, left, right, low, top)
        else:
            self._side_by_side(m, left, right, low, top)

    def _clear(self) -> None:
        for widget in (*self.readings, *self.buttons, *([self.pages] if self.pages else [])):
            self.remove_widget(widget)
        self.readings, self.buttons, self.pages = [], [], None
        self.text.clear()
        self.instruction.text, self.instruction.size = "", (0, 0)
        self.drawing.size = (0, 0)
        self.drawing.show(None)

    def _show_text(self, m: ViewModel) -> None:
        self.text.show(m, self.notice, self.countdown.top if m.act_view.taking is not None else None)
        for press in self.buttons:
            if press.label == MORE:
                press.say(f"{MORE} ({self.text.left_out})" if self.text.left_out else MORE)

    def _action_row(self, m: ViewModel) -> float:
        choices, always = self._buttons(m)
        rows = rows_of(self.sizes, choices, always)
        top = lay_rows(self.sizes, rows, self.left_handed)
        self.buttons = [press for row in rows for press in row]
        for press in self.buttons:
            self.add_widget(press)
        return top

    def _buttons(self, m: ViewModel) -> tuple[list[TouchButton], list[TouchButton]]:
        """What this view offers, the plain yes last; and what every view offers, the dearest first."""
        if m.over:
            return [self._press("Back to the bench", self.actions.leave, "main", m)], []
        usual = [c for c in m.act_view.choices if not c.serious or c.key in PLAIN_WORDS]
        late = [c for c in m.act_view.choices if c not in usual]
        out = [self._press(c.label, self._chosen(m, c), "serious", m) for c in late]
        if m.act_view.ask is not None:
            out.append(
                self._press("Type it", self.show_keypad, "main" if m.act_view.ask.usual else "plain", m)
            )
        for n, choice in reversed(list(enumerate(usual))):
            out.append(self._press(choice.label, self._chosen(m, choice), "plain" if n else "main", m))
        always = [self._press(MORE, self.show_details, "plain", m)]
        if m.act_view.stage != Stage.HELD:
            always.append(self._press("Hold", lambda: self.confirm("Hold", self.actions.hold), "plain", m))
        always.append(self._press("Wipe", self.show_lock, "plain", m))
        return out, always

    def _press(self, label: str, act: Callable[[], None], kind: str, m: ViewModel) -> TouchButton:
        def pressed() -> None:
            self._pressed = press
            act()

        press = TouchButton(label, pressed, kind, self.sizes.note, meaning=m.prompt)
        return press

    def _chosen(self, m: ViewModel, choice: Choice) -> Callable[[], None]:
        def act() -> None:
            if self.pages is not None and not self.pages.last:
                self.pages.turn()
            elif choice.sign:
                self.actions.signature(m.prompt, choice.sign)
            elif choice.reason:
                self._why(choice.label, lambda why: self.actions.press(self._prompt(), choice.word, why))
            elif choice.key in AT_ONCE:
                self.actions.press(m.prompt, choice.word)
            else:
                self.confirm(choice.label, lambda: self.actions.press(self._prompt(), choice.word))

        return act

    def _caution_pages(self, m: ViewModel, left: float, right: float, low: float, top: float) -> None:
        self.pages = CautionPages(self.sizes, m.act_view.cautions, (left, low), (right - left, top - low))
        self.add_widget(self.pages)

    def _side_by_side(self, m: ViewModel, left: float, right: float, low: float, top: float) -> None:
        s = self.sizes
        if m.act_view.picture is None:
            self._column(m, left, right, low, self._instruct(m, left, right, top))
            return
        share = PICTURE_SHARE.get(type(m.act_view.picture), 0.27)
        width = (right - left) * (
            min(share, 0.28) if len(m.act_view.live) > 1 and self.height <= 600 else share
        )
        x = left + width + 1.5 * s.gap
        self.instruction.text = self._put(m.act_view.instruction)
        if m.act_view.live and self.instruction.height_at(right - x) > top - low - self._needed(m):
            top = self._instruct(m, left, right, top)
            below = top
        else:
            below = self._instruct(m, x, right, top)
        self.drawing.pos, self.drawing.size = (left, low), (width, top - low)
        self._column(m, x, right, low, below)

    def _needed(self, m: ViewModel) -> float:
        """How high the readings and one line of reasons are, with the words beside the numbers."""
        many = len(m.act_view.live) > 1
        live = (LiveReadout(self.sizes, self._is_big(x), many).high(True) for x in m.act_view.live)
        return (
            max(live, default=0.0) + self.sizes.gap + (self.sizes.note * 1.2 if m.act_view.not_yet else 0.0)
        )

    def _upright(self, m: ViewModel, left: float, right: float, low: float, top: float) -> None:
        s = self.sizes
        floor = low
        if m.act_view.picture is not None:
            height = (top - low) * 0.4
            self.drawing.pos, self.drawing.size = (left, low), (right - left, height)
            floor = low + height + s.gap
        self._column(m, left, right, floor, self._instruct(m, left, right, top))

    def _put(self, text: str) -> str:
        """The text as figures are written here."""
        return self.sizes.figures.text(held_together(text))

    def _instruct(self, m: ViewModel, left: float, right: float, top: float) -> float:
        self.instruction.text = self._put(m.act_view.instruction)
        return self.instruction.place(left, top, right - left) - self.sizes.gap * 0.5

    def _column(self, m: ViewModel, left: float, right: float, low: float, top: float) -> None:
        """Readings, and under them what is read up close."""
        y = self._lay_readings(m, left, right - left, low, top)
        self.text.place(left, right - left, low, y)
        self.countdown.place(left, low, right - left, y - low + self.sizes.gap * 0.8)

    def _lay_readings(self, m: ViewModel, left: float, width: float, low: float, top: float) -> float:
        lives, s = m.act_view.live, self.sizes
        if not lives:
            return top
        each = width / len(lives)
        self.readings = [LiveReadout(s, self._is_big(x), named=len(lives) > 1) for x in lives]
        stacked = max(r.high(False) for r in self.readings) + 3 * s.note
        bottom = top
        for n, (reading, live) in enumerate(zip(self.readings, lives, strict=True)):
            self.add_widget(reading)
            bottom = min(bottom, reading.place(left + n * each, top, each - s.gap, top - low < stacked))
            reading.show(live)
        return bottom - s.gap * 0.5

    @staticmethod
    def _is_big(live: LiveValue) -> bool:
        return live.source == "measured" or live.unit == "s"


def _same_offer(before: ViewModel, after: ViewModel) -> bool:
    """Whether the same act still offers the same, whatever its turn."""
    same = (before.act_view.choices, before.act_view.ask) == (after.act_view.choices, after.act_view.ask)
    return same and same_act(before, after)
