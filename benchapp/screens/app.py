"""The app: one window, one screen at a time; the make beats in a thread of its own and never waits for the glass."""

from __future__ import annotations

import gc
import logging
import time
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from kivy.app import App
from kivy.base import ExceptionManager
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.widget import Widget

from benchapp.make.inputs import Abandon, Hold, Press, Resume, Sign, Skip, TakeBack, TypeValue
from benchapp.runtime.settings import Preferences
from benchapp.screens import home
from benchapp.screens.alarm_band import AlarmBand, unseen_alarm
from benchapp.screens.code_keys import CodeKeys
from benchapp.screens.errand import Errands
from benchapp.screens.figures import Figures
from benchapp.screens.home import Page
from benchapp.screens.panel import Sizes, panel_for
from benchapp.screens.parts import Glass
from benchapp.screens.pedal import PedalKeys
from benchapp.screens.safety import Net
from benchapp.screens.ways import Ways

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import BenchMonitor
    from benchapp.runtime.runner import Runner
    from benchapp.screens.loop import Loop
    from benchapp.service.bench_facts import BenchFacts
    from benchapp.service.bench_service import BenchService
    from benchapp.service.training_facts import Practice
    from benchapp.voice.announcer import Voice

T = TypeVar("T")
LOG = logging.getLogger("benchapp")
#: A person on a rehearsal is waited for so long before it answers for itself, in seconds.
PATIENCE_S = 8.0


class BenchApp(App, Ways):
    """The touchscreen. ``open_shop`` is called once, in a thread, after the first frame.

    ``begin_with`` starts a make of that procedure and size at once.
    """

    title = "benchapp"

    def __init__(
        self,
        open_shop: Callable[[], BenchService],
        chosen: Preferences | None = None,
        patience_s: float = PATIENCE_S,
        now: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__()
        self.now = now
        self.chosen = chosen or Preferences()
        self.patience_s = patience_s
        self.loop: Loop | None = None
        self.screen: Widget | None = None
        self.facts: BenchFacts | None = None
        self.watching: BenchMonitor | None = None
        self.begin_with: tuple[str, float] | None = None
        self.voice: Voice | None = None
        self.errands = Errands()
        self._open_shop = open_shop
        self._shop: BenchService | None = None

    # --- the window ----------------------------------------------------------------------------------

    def build(self) -> Widget:
        """The root; everything is laid out for the window's own pixels."""
        self.panel = panel_for(*(int(v) for v in Window.size))
        self.measure()
        self.root_box = Widget(size_hint=(None, None), size=Window.size)
        self.glass = Glass(self.panel.px_per_mm, self.now, self._tick)
        self.pedal = PedalKeys(self, self.chosen.pedal_key)
        self.codes = CodeKeys(self)
        self._net = Net(self.safe)
        ExceptionManager.add_handler(self._net)
        self.show(home.home_page(self.panel, self.sizes, None, (), self))
        Window.bind(on_flip=self._drawn)  # the first frame comes before anything is opened
        return self.root_box

    def measure(self) -> None:
        """Take the sizes from the panel and what was chosen."""
        figures = Figures(self.chosen.comma, self.chosen.fahrenheit, self.chosen.kilograms)
        self.sizes = Sizes.of(self.panel, self.chosen.large_text, figures)

    def _drawn(self, *_: object) -> None:
        Window.unbind(on_flip=self._drawn)
        Clock.schedule_interval(self._draw, 0)  # every frame
        if self.begin_with is not None:
            self.begin(*self.begin_with)
        else:
            self.home()

    def open_settings(self, *_: object) -> bool:
        """F1 opens nothing: Kivy's own settings are no business of a maker."""
        return False

    def on_stop(self) -> None:
        """The window is closed; what was recorded is on the disk."""
        Clock.unschedule(self._draw)
        ExceptionManager.remove_handler(self._net)
        self.glass.let_go()
        self.pedal.let_go()
        self.codes.let_go()
        self._let_go()
        self.errands.end()
        if self.voice is not None:
            self.voice.close()

    def show(self, screen: Widget) -> None:
        """This screen, and no other."""
        self.root_box.clear_widgets()
        self.screen = screen
        self.root_box.add_widget(screen)
        self.band = AlarmBand(self.panel, self.sizes)
        self.root_box.add_widget(self.band)

    def _draw(self, _: float) -> None:
        self.glass.settle()
        self.pedal.look()
        self.errands.look()
        if self.loop is not None:
            self._draw_make(self.loop)
            if self.loop is not None:  # drawing a make that is over may have left it
                self._warn(self.loop)
        elif isinstance(self.screen, Page):
            self.screen.live(self.watching.seen() if self.watching is not None else ())

    def _warn(self, loop: Loop) -> None:
        """An alarm is seen at once, whatever lies over the make."""
        covered = getattr(self.screen, "moment", None) is None or self.screen_has_sheet()
        self.band.show(unseen_alarm(loop.moment, covered))

    def screen_has_sheet(self) -> bool:
        """Whether a sheet lies over what is shown."""
        return getattr(self.screen, "overlay", None) is not None

    def _draw_make(self, loop: Loop) -> None:
        from benchapp.screens.make_screen import MakeScreen
        from benchapp.screens.training import LeadInPage

        leading_in = self._shop.leading_in() if self._shop is not None else None
        shown = loop.shown
        if isinstance(self.screen, LeadInPage):
            if shown is not None and shown.moment.over:  # stopped before it began
                self.leave()
            elif loop.trouble or leading_in is None:
                self.make_screen()
            elif shown is not None:
                self.screen.show(shown.moment)
        if not isinstance(self.screen, MakeScreen):
            return
        if loop.trouble:
            self.safe("The make stands still.", loop.trouble)
            return
        if shown is not None and shown.moment.over and loop.practising:
            loop.practising = False
            self.debrief(shown.moment.batch, after_it=True)
            return
        if shown is not None and shown.moment is not self.screen.moment:
            self.screen.show(shown.moment)
        self.screen.writing(loop.writing, loop.meanwhile() if loop.writing else ())

    def safe(self, title: str, why: str) -> None:
        """A quiet page for when something went wrong: what was recorded is saved, and the make goes on."""
        page = Page(self.panel, self.sizes, title)
        goes_on = self.loop is not None and not self.loop.trouble
        page.bottom(
            [
                ("Back to the make", self.make_screen, "main")
                if goes_on
                else ("To the bench", self.leave, "main")
            ]
        )
        page.line(why, self.sizes.note)
        self.show(page)

    # --- work that may take long (see errand.Errands) -------------------------------------------------

    def fetch(self, work: Callable[[BenchService], T], then: Callable[[T], None], what: str = "") -> None:
        """Let the workshop do it in the errands' thread. With ``what``, the glass says so meanwhile."""
        if what:
            self.show(home.wait_page(self.panel, self.sizes, what))
        self.errands.run(lambda: work(self._workshop()), then)

    def _workshop(self) -> BenchService:
        """The workshop, opened the first time; only in the errands' thread."""
        if self._shop is None:
            self._shop = self._open_shop()
        return self._shop

    # --- the bench and the make ----------------------------------------------------------------------

    def home(self) -> None:
        """The bench: what is known at once, what has to be read when it comes."""
        if self.loop is not None:
            self._let_go()
        self._show_home(self.facts)
        self.fetch(lambda shop: (shop.facts(), shop.watch()), self._arrived)

    def _arrived(self, came: tuple[BenchFacts, BenchMonitor]) -> None:
        self.facts, self.watching = came
        self._show_home(self.facts)

    def _show_home(self, facts: BenchFacts | None) -> None:
        seen = self.watching.seen() if self.watching is not None else ()
        self.show(home.home_page(self.panel, self.sizes, facts, seen, self))

    def begin(self, key: str, batch_g: float) -> None:
        """Begin a make."""
        self._let_go()
        self._make(lambda shop: shop.begin(key, batch_g))

    def practise(self, p: Practice, who: str = "") -> None:
        """Rehearse that scenario on a simulated bench; ``who`` practises, the maker here where nobody is named."""
        self._let_go()
        self._make(lambda shop: shop.practise(p.key, who))

    def rehearse(self, key: str, batch_g: float) -> None:
        """Rehearse a whole batch on a simulated bench."""
        self._let_go()
        self._make(lambda shop: shop.rehearse(key, batch_g))

    def go_on(self, batch: str) -> None:
        """Go on with an unfinished make."""
        self._let_go()
        self._make(lambda shop: shop.resume(batch))

    def _make(self, open_make: Callable[[BenchService], Runner]) -> None:
        def ready(shop: BenchService) -> Loop:
            from benchapp.runtime.runner import spoken_by
            from benchapp.screens import make_screen  # noqa: F401  loaded here, not between two frames
            from benchapp.screens.loop import Loop

            runner = open_make(shop)
            runner.hooks.append(spoken_by(self._voice(), lambda: shop.leading_in() is not None))
            loop = Loop(runner, self.patience_s)
            gc.unfreeze()
            gc.collect()
            gc.freeze()  # what lives as long as the program is not looked through again in the middle of a pour
            return loop

        self.fetch(ready, self.run_loop, "Getting the bench ready.")

    def _tick(self) -> None:
        if self.voice is not None:
            self.voice.tick()

    def _voice(self) -> Voice:
        """A voice as the settings have it, in place of the one before."""
        from benchapp.voice.announcer import voice_for

        if self.voice is not None:
            self.voice.close()
        self.voice = voice_for(self.chosen.volume if self.chosen.sound else 0, LOG.warning)
        return self.voice

    def run_loop(self, loop: Loop) -> None:
        """Show a make that beats."""
        self.loop = loop
        loop.start()
        ahead = self._shop.leading_in() if self._shop is not None else None
        if ahead is None:
            self.make_screen()
        else:
            from benchapp.screens.training import LeadInPage

            self.show(LeadInPage(self.panel, self.sizes, ahead, self._stop_leading_in))

    def _stop_leading_in(self) -> None:
        """Nothing of the scenario has happened yet, and it is not wanted any more."""
        self.abandon("Stopped before the scenario began.")

    def make_screen(self) -> None:
        """The make itself."""
        from benchapp.screens.make_screen import MakeScreen

        chosen = self.chosen
        screen = MakeScreen(self.panel, self.sizes, self, chosen.left_handed, chosen.guidance)
        screen.rehearsing = self.loop is not None and self.loop.rehearsing
        self.show(screen)

    def leave(self) -> None:
        """Back to the bench."""
        self.home()

    def _let_go(self) -> None:
        """End the make and the watch, and let go of their ports; the errands' thread waits for them, not the glass."""
        loop, self.loop, self.watching = self.loop, None, None
        shop = self._shop
        if shop is None:
            return

        def end() -> None:
            if loop is not None:
                loop.stop()
            shop.end()

        self.errands.run(end, lambda _: None)

    # --- the maker (see make_screen.Maker) -----------------------------------------------------------

    def press(self, prompt: str, choice: str, reason: str = "") -> None:
        """A choice, for the prompt it was meant for."""
        if choice == "resume" and self.loop is not None:
            self.loop.do(lambda s: s.put(Resume(s.clock())))
        elif self.loop is not None:
            self.loop.do(lambda s: s.put(Press(s.clock(), prompt, choice, reason)))

    def type_value(self, prompt: str, value: float) -> None:
        """A typed value."""
        if self.loop is not None:
            self.loop.do(lambda s: s.put(TypeValue(s.clock(), prompt, value)))

    def signature(self, prompt: str, meaning: str) -> None:
        """A signature the make asks for: who, their PIN, and then it is put to the prompt it was meant for."""

        def signed(who: str, pin: str) -> None:
            self.fetch(lambda shop: shop.desk().prove(who, pin), partial(proved, who))

        def proved(who: str, found: tuple[str, str]) -> None:
            role, why_not = found
            if why_not:
                self.told(why_not, self.make_screen)
                return
            if self.loop is not None:
                self.loop.do(lambda s: s.put(Sign(s.clock(), prompt, who, role, "pin")))
            self.make_screen()

        self.fetch(
            lambda shop: shop.desk().people(),
            lambda people: self.sign(people, meaning, signed, self.make_screen),
        )

    def take_back(self, prompt: str) -> None:
        """Unsay the last act."""
        if self.loop is not None:
            self.loop.do(lambda s: s.put(TakeBack(s.clock(), prompt)))

    def skip(self, prompt: str, reason: str) -> None:
        """Leave out the step of that prompt."""
        if self.loop is not None:
            self.loop.do(lambda s: s.put(Skip(s.clock(), prompt, reason)))

    def abandon(self, reason: str) -> None:
        """Give the batch up."""
        if self.loop is not None:
            self.loop.do(lambda s: s.put(Abandon(s.clock(), reason)))

    def hold(self) -> None:
        """The maker goes away."""
        if self.loop is not None:
            self.loop.do(lambda s: s.put(Hold(s.clock(), "")))
