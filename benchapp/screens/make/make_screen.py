"""The view on the glass: one instruction, one reading huge, one drawing, what is not right yet, what may be pressed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from kivy.clock import Clock

from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.make.guidance_levels import Level
from benchapp.make.view_model import Choice, LiveValue, ViewModel
from benchapp.make.vocabulary import ChoiceKey, Verb
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.drawings.ground import draw_ground
from benchapp.screens.make.caution_pages import CautionPages
from benchapp.screens.make.choice_kinds import another_lot, kind_of, way_on
from benchapp.screens.make.make_header import MakeHeader
from benchapp.screens.make.remedy_press import RemedyPress
from benchapp.screens.make.remedy_rows import Box
from benchapp.screens.make.sheet_layer import MakeActions, SheetLayer
from benchapp.screens.make.signed_press import SignedPress
from benchapp.screens.make.work_place import WorkPlace
from benchapp.screens.widgets.action_row import lay_rows, rows_of
from benchapp.screens.widgets.button import TouchButton
from benchapp.screens.widgets.keypad import Keypad
from benchapp.screens.widgets.surface import same_act

#: Choices heard at once, since there is no time for two presses and nothing is recorded: an objection.
AT_ONCE = (ChoiceKey.WAIT, ChoiceKey.ANOTHER)
#: What cuts short lies beside what stops, and never where going on does.
SHORT = (ChoiceKey.ENOUGH, ChoiceKey.CUT_SHORT)
#: How long it stays on the glass that something was typed in vain, in seconds.
NOTICE_S = 8.0
#: Opens what is read up close; counts the reasons that have no room on this glass.
MORE = "More"
#: What a press says, and how a reading stands, while the disk keeps the make waiting.
WRITING, NOT_WRITTEN = tr_noop("Being written…"), tr_noop("not written yet")


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
        draw_ground(self.canvas.before)
        self.header = MakeHeader(sizes, rehearsing)
        for part in self.header.parts:
            self.add_widget(part)
        self.work = WorkPlace(self, sizes, guidance)
        self.uncut = (self.work.text.bites,)
        self.buttons: list[TouchButton] = []
        self._aside: list[TouchButton] = []  # of them, what cuts short
        self.pages: CautionPages | None = None

    # --- drawing a view ----------------------------------------------------------------------------

    def show(self, view: ViewModel) -> bool:
        """Draw this view; whether things had to be moved about. Cheap where only numbers changed."""
        before, self.view = self.view, view
        if before is None or before.prompt != view.prompt:
            self._turned(before, view)
        shape = self._shape(view)
        moved = shape != self._laid
        if moved:
            self._laid = shape
            self._lay_out(view)
            self._cover()
        self._numbers(view)
        if (before is None or before.prompt != view.prompt) and _only_typed(view):
            self.show_keypad(view.act_view.instruction)
        return moved

    def _turned(self, before: ViewModel | None, view: ViewModel) -> None:
        """Another prompt: a sheet stays where it still means the same; what was typed in vain is said."""
        sheet, self._pressed = self.overlay, None
        if self.bar is not None and not (before is not None and _same_offer(before, view)):
            self.cancel_confirm()
        if sheet is None or (before is not None and sheet.stays(before, view)):
            return
        if isinstance(sheet, Keypad) and sheet.typed:
            self._notify(
                tr(
                    "Not used: {typed} typed for the {what}. The make has moved on.",
                    typed=sheet.typed,
                    what=sheet.ask.what,
                )
            )
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
            for reading, now in zip(self.work.readouts.all, live, strict=False):
                measured = now.source == "measured" and now.value is not None
                reading.show(replace(now, word=NOT_WRITTEN, to_go=None) if measured else now)
            self._behind = True
        elif self._behind and self.view is not None:
            self._behind = False
            self._numbers(self.view)

    def _shape(self, m: ViewModel) -> tuple[object, ...]:
        """Everything that moves things about; numbers do not."""
        f = m.act_view
        return (
            m.prompt, m.over, f.instruction, f.choices, f.ask is not None, type(f.picture),
            tuple((x.name, x.source, x.value is None, x.to_go is None, bool(x.word)) for x in f.live), m.trouble, f.too_much is None,
            bool(f.move), bool(f.news), f.forecast is None, f.taking is None, f.cautions, m.cautions,
            m.meanwhile.calls if m.meanwhile else None,
        )  # fmt: skip

    def _numbers(self, m: ViewModel) -> None:
        self.work.numbers(m)
        self.header.show(m)
        if self.pages is None:
            self._show_text(m)

    # --- laying out ----------------------------------------------------------------------------------

    def _lay_out(self, m: ViewModel) -> None:
        s = self.sizes
        self._clear()
        left, right = s.pad, self.panel.width - s.pad
        top = self.header.lay_out(m)
        low, rows = self._action_row(m, top)
        if m.act_view.cautions:
            self._caution_pages(m, left, right, low, top)
        else:
            self.work.lay_out(m, Box(left, right, low, top), rows)

    def _clear(self) -> None:
        for widget in (*self.buttons, *([self.pages] if self.pages else [])):
            self.remove_widget(widget)
        self.buttons, self.pages = [], None
        self.work.clear()

    def _show_text(self, m: ViewModel) -> None:
        self.work.words(m, self.notice)
        left_out = self.work.text.left_out
        for press in self.buttons:
            if press.label == MORE:
                press.say(f"{translated(MORE)} ({left_out})" if left_out else MORE)

    def _action_row(self, m: ViewModel, top: float) -> tuple[float, list[TouchButton]]:
        """The presses at the bottom, and what is chosen from as rows; returns where the work may begin."""
        choices, always = self._buttons(m)
        remedies = [press for press in choices if press.detail is not None]
        high = 2 * self.sizes.action + 3 * self.sizes.gap if self.panel.portrait else self.sizes.action
        if not remedies or not self.work.rows_fit(m, len(remedies), top - high - 2 * self.sizes.gap):
            for press in remedies:
                press.drop_detail()
            remedies = []
        rows = rows_of(self.sizes, [x for x in choices if x not in remedies], always)
        low = lay_rows(self.sizes, rows, [*always, *self._aside], self.left_handed) + self.sizes.gap
        self.buttons = [*(press for row in rows for press in row), *remedies]
        for press in self.buttons:
            self.add_widget(press)
        return low, remedies

    def _buttons(self, m: ViewModel) -> tuple[list[TouchButton], list[TouchButton]]:
        """What this view offers, the plain yes last; and what every view offers, the dearest first."""
        if m.over:
            self._aside = []
            return [self._press(tr("Back to the bench"), self.actions.leave, "main", m)], []
        way, ask = way_on(m), m.act_view.ask
        if m.act_view.struck:  # nothing is to be done but that the hand stops
            ask = None
        folded = [c for c in m.act_view.choices if c is not another_lot(m)]
        offered = [c for c in folded if c.effect]
        offered += sorted((c for c in folded if not c.effect), key=lambda c: (c is way, not c.serious))
        whole_g = max((c.outcome.after_g + c.outcome.waste_g for c in offered if c.outcome), default=0.0)
        out = [self._choice(m, c, whole_g) for c in offered]
        self._aside = [press for press, c in zip(out, offered, strict=False) if c.serious and c.key in SHORT]
        out = [*self._aside, *(press for press in out if press not in self._aside)]
        if ask is not None:  # it keeps its place whatever else is offered
            kind = "main" if ask.usual and way is None else "plain"
            last = len(out) - (way is not None)
            out.insert(last, self._press(ask.press, self.show_keypad, kind, m))
        return out, [self._signed(*one, m) for one in self._always()]

    def _always(self) -> tuple[tuple[str, Callable[[], None], str, str], ...]:
        """What every view offers, the dearest first: its word, what it does, its kind and its sign."""
        return (
            (MORE, self.show_details, "plain", "info"), ("Stop", self.show_stop, "serious", "stop"),
            ("Lock", self.show_lock, "plain", "lock"),
        )  # fmt: skip

    def _signed(self, label: str, act: Callable[[], None], kind: str, sign: str, m: ViewModel) -> TouchButton:
        press = SignedPress(self.sizes, label, lambda: self._pressing(press, act), kind, m.prompt, sign)
        return press

    def _choice(self, m: ViewModel, choice: Choice, whole_g: float) -> TouchButton:
        """A press for a choice; one that says what comes of it in grams shows it beside the others, of ``whole_g``."""
        act, kind = self._chosen(m, choice), kind_of(m, choice)
        if choice.outcome is None:
            return self._press(choice.label, act, kind, m, choice.effect)
        advised = choice is m.act_view.choices[0] and choice.key != ChoiceKey.ACCEPT
        press = RemedyPress(self.sizes, choice, lambda: self._pressing(press, act), kind, m.prompt, whole_g)
        if advised:
            press.advise()
        return press

    def _pressing(self, press: TouchButton, act: Callable[[], None]) -> None:
        self._pressed = press
        act()

    def _press(
        self, label: str, act: Callable[[], None], kind: str, m: ViewModel, effect: str = ""
    ) -> TouchButton:
        press = TouchButton(
            label, lambda: self._pressing(press, act), kind, self.sizes.line, m.prompt, effect
        )
        return press

    def _chosen(self, m: ViewModel, choice: Choice) -> Callable[[], None]:
        def act() -> None:
            if self.pages is not None and not self.pages.last:
                self.pages.turn()
            elif choice.sign:
                self.actions.signature(m.prompt, choice.sign, choice.signer)
            elif choice.key == ChoiceKey.ACCEPT_LESS and (another := another_lot(m)) is not None:
                self._ran_out(choice, another)
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


def _only_typed(m: ViewModel) -> bool:
    """Whether nothing can be done here but type what a scale shows that sends nothing."""
    f = m.act_view
    if f.ask is None or f.want is None or f.choices or f.cautions or m.over or m.trouble:
        return False
    return f.ask.usual and f.ask.band is not None and f.want.verb == Verb.TYPE


def _same_offer(before: ViewModel, after: ViewModel) -> bool:
    """Whether the same act still offers the same, whatever its turn."""
    same = (before.act_view.choices, before.act_view.ask) == (after.act_view.choices, after.act_view.ask)
    return same and same_act(before, after)
