"""A maker with a finger: presses on the real window what a sensible maker would, and nothing but the glass."""

from __future__ import annotations

import threading

from kivy.base import EventLoop
from kivy.core.window import Window
from kivy.tests.common import UnitTestTouch

from benchapp.rehearsal.runner import RehearsalRunner
from benchapp.runtime.settings import Preferences
from benchapp.screens.app import BenchApp
from benchapp.screens.make.reason_sheets import ReasonSheet
from benchapp.screens.widgets.button import TouchButton
from benchapp.screens.widgets.keypad import Keypad
from benchapp.service.bench_service import BenchService
from benchapp.service.makes import Simulation

#: How long a frame waits for the make to ask something, in seconds.
PAUSE_S = 0.03
#: So long a finger holds what says what was picked, in seconds.
HELD_S = 0.35
#: The longest anything is fetched in a test, in seconds.
ERRAND_S = 20.0


class Time:
    """The time by which touches are judged, moved on by the finger itself."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


class Overheard:
    """A rehearsal's runner that keeps to itself what it would answer, so that a finger can."""

    def __init__(self, runner) -> None:
        self._runner = runner
        self.session, self.hooks = runner.session, runner.hooks
        self.would_say = ("", None)
        self.has_answer = threading.Event()
        self.shown = threading.Condition()  # notified when the make's next turn begins, which `turns` counts
        self.turns = 0
        self.asked_at = -1  # how much was recorded when it had an answer
        self._said_at = -1  # how much was recorded when the finger answered
        self._planned = None  # (condition, act): something to do to the bench, in the make's own thread

        self.awaited = None  # a condition: the bench stands still as soon as a moment meets it

    def when(self, condition, act):
        """As soon as the make comes to a moment like that, whatever the glass shows by then."""
        self._planned = (condition, act)

    def beat(self):
        # What the turn before came to is on the glass; a held make is asked no answer, but turns.
        with self.shown:
            self.turns += 1
            self.shown.notify_all()
        view = self._beat()
        if self._planned is not None and self._planned[0](view):
            act, self._planned = self._planned[1], None
            act(view)
        return view

    def _beat(self):
        if self._stands or (self.awaited is not None and self.awaited(self.session.view())):
            return (
                self.session.view()
            )  # the bench stands still until the finger has answered, or the glass seen it
        self._said_at = -1
        return self._runner.beat()

    @property
    def _stands(self):
        return self.asked_at == self.session.recorded != self._said_at

    def go_on(self, asked_at=None):
        """What was asked then has been answered; the bench moves on even where the make wanted nothing of it yet."""
        self._said_at = self.asked_at if asked_at is None else asked_at

    def spare_s(self):
        return PAUSE_S if self._stands else self._runner.spare_s()

    def own_answer(self, view):
        self.would_say = (view.prompt, self._runner.own_answer(view))
        if self.would_say[1] is not None:
            self.asked_at = self.session.recorded
            self.has_answer.set()

    def heard(self, loop):
        """Wait until the make has heard what the finger said, and shown what came of it."""
        said_in = []
        loop.do(lambda session: said_in.append(self.turns))
        with self.shown:  # the turn that heard it, and the beginning of the one after
            assert self.shown.wait_for(lambda: said_in and self.turns > said_in[0] + 1, ERRAND_S)


class Shop(BenchService):
    """A workshop whose makes are overheard."""

    runner: Overheard

    def begin(self, key, batch_g):
        self.runner = Overheard(super().begin(key, batch_g))
        return self.runner

    def resume(self, batch):
        super().resume(batch)
        return self._overheard()

    def practise(self, key, who=""):
        super().practise(key, who)
        return self._overheard()

    def _overheard(self):
        self.runner = Overheard(Sensible(self.makes.rehearsal, 0.0))
        return self.runner


class Sensible(RehearsalRunner):
    """Says what a sensible maker would, once a scenario has begun too."""

    def own_answer(self, view):
        director = self._rehearsal.director
        leading_in = director is not None and director.leading_in
        return None if leading_in else super().own_answer(view)


class Pilot:
    """The app in a real window, and the finger before it."""

    def __init__(self, journal, seed: int = 1, folder=None, office: bool = False) -> None:
        self.time = Time()
        self.shop = Shop(journal, None, "Mara Lind", Simulation(pace=0.0, seed=seed), folder)
        self.app = BenchApp(
            lambda: self.shop, Preferences(sound=False), float("inf"), self.time, office=office
        )
        self.app.root = self.app.build()
        Window.add_widget(self.app.root)
        self.frames = 0
        self.arrive()

    def close(self) -> None:
        Window.remove_widget(self.app.root)
        self.app.on_stop()

    # --- the finger ----------------------------------------------------------------------------------

    def frame(self) -> None:
        """Draw once."""
        EventLoop.idle()
        self.frames += 1

    def touch(self, x: float, y: float, length_s: float = 0.1) -> None:
        """A finger on one spot, and the glass quiet afterwards."""
        finger = UnitTestTouch(x, y)
        finger.touch_down()
        self.time.now += length_s
        finger.touch_up()
        self.time.now += 0.2
        self.frame()
        self.time.now += 0.1

    @property
    def page(self):
        """What is on the glass."""
        return self.app.navigator.page

    @property
    def bar(self):
        """What was picked and waits to be said."""
        return getattr(self.page, "bar", None)

    def presses(self) -> dict[str, TouchButton]:
        """What could be pressed on the glass now, by its words."""
        top = self.page
        top = getattr(top, "overlay", None) or top
        return {w.caption.text.replace("\u00a0", " "): w for w in top.walk() if isinstance(w, TouchButton)}

    def figures(self) -> dict[str, str]:
        """What stands at the right end of each row, by the row's name."""
        return {row.label: row.figure for row in self.page.rows_shown}

    def press(self, words: str) -> None:
        """Press what bears these words, and wait for whatever has to be read or opened for it."""
        shown = self.presses()
        assert words in shown, f"no {words!r} at {self.view and self.view.prompt}, only {list(shown)}"
        target = shown[words]
        self.touch(*target.center)
        self.arrive()
        if self.bar is not None:  # picked; now it is said
            self.touch(*self.bar.center, HELD_S)
            self.arrive()

    def turn_page(self) -> None:
        """To the next page of what takes several."""
        self.press(next(words for words in ("Next page", "First page") if words in self.presses()))

    def arrive(self) -> None:
        """Draw until nothing is being fetched any more."""
        self.frame()
        while self.app.navigator.background.busy:
            self.app.navigator.background.wait(ERRAND_S)
            self.frame()

    # --- the make ------------------------------------------------------------------------------------

    @property
    def view(self):
        """What the glass shows."""
        return getattr(self.page, "view", None)

    def begin(self, name: str = "Oat and sea-buckthorn hand lotion") -> None:
        """From the bench to the first prompt."""
        self.press("Make a batch")
        while name not in self.presses():  # a small glass has few on a page
            self.turn_page()
        self.press(name)
        self.press("Begin")
        self.until(lambda m: m.prompt)

    def until(self, condition, frames: int = 2_000):
        """Draw, and answer as a sensible maker would, until the glass shows what is waited for."""
        self.shop.runner.awaited = condition
        try:
            return self._until(condition, frames)
        finally:
            self.shop.runner.awaited = None

    def until_page(self, kind, frames: int = 3_000):
        """The same, until the glass shows a page of that kind."""
        return self._until(lambda m: False, frames, kind)

    def _until(self, condition, frames, page=None):
        for _ in range(frames):
            self.frame()
            if page is not None and isinstance(self.page, page):
                return self.page
            m = self.view
            if m is None:
                continue
            if condition(m):
                return m
            self.shop.runner.has_answer.wait(PAUSE_S)  # the make needs the machine more than the glass does
            self.shop.runner.has_answer.clear()
            prompt, said = self.shop.runner.would_say
            if said is not None and prompt == m.prompt and not self._answered(m):
                asked_at = self.shop.runner.asked_at
                self.answer(said)
                self.shop.runner.go_on(asked_at)
                self.shop.runner.heard(self.app.make.loop)
        raise AssertionError(
            f"never came to it; the glass shows {self.view and (self.view.prompt, self.view.act_view.instruction)}"
        )

    def wait(self, condition, frames: int = 5_000):
        """Draw and touch nothing until the glass shows what is waited for."""
        for _ in range(frames):
            self.frame()
            if self.view is not None and condition(self.view):
                return self.view
        raise AssertionError(f"never came to it; the glass shows {self.view.prompt}")

    def _answered(self, m) -> bool:
        return self.app.make.loop.view is None or self.app.make.loop.view.prompt != m.prompt

    def answer(self, said) -> None:
        """Press or type it."""
        if said.value is not None:
            if isinstance(self.page.overlay, Keypad):
                self.type(said.value)  # it opened by itself
                return
            ask, asked = self.view.act_view.ask, self.view.prompt
            if ask is None or ask.press not in self.presses():
                return
            self.press(ask.press)
            if self.view.prompt == asked and isinstance(self.page.overlay, Keypad):
                self.type(said.value)
            return  # else the glass has moved on under the finger: look again
        choice = next((c for c in self.view.act_view.choices if c.word == said.choice), None)
        if choice is None or choice.label not in self.presses():
            return  # the glass is a frame behind or ahead of it: look again
        for _ in self.page.pages.pages if self.page.pages else ():
            if choice.label in self.presses():
                self.press(choice.label)
        if not self.view.act_view.cautions and choice.label in self.presses():
            self.press(choice.label)
        if choice.reason:
            if "Leave it at less" in self.presses():
                self.press("Leave it at less")
            self.give_reason()

    def give_reason(self, words: str = "Checked: lawful and safe on skin at this amount") -> None:
        """Pick a reason on the sheet."""
        assert isinstance(self.page.overlay, ReasonSheet)
        self.press(words)

    def type(self, value: float) -> None:
        """On the keypad."""
        pad = self.page.overlay
        assert isinstance(pad, Keypad)
        for sign in f"{value:.{pad.ask.decimals}f}":
            self.press(sign)
        self.press("Enter")
