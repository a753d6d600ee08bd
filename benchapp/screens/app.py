"""The app: one window, one screen at a time; the make beats in a thread of its own and never waits for the glass."""

from __future__ import annotations

import logging
import time
from collections.abc import Callable

from kivy.app import App
from kivy.base import ExceptionHandler, ExceptionManager
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.widget import Widget

from benchapp.bench_check import Check
from benchapp.calculations.scaling import batch_for_bottles_g
from benchapp.make.moment import Ask
from benchapp.screens import check_page, home
from benchapp.screens.bench import Recipe, Workshop
from benchapp.screens.loop import PATIENCE_S, Loop
from benchapp.screens.make_screen import MakeScreen
from benchapp.screens.overlays import Keypad
from benchapp.screens.panel import Sizes, panel_for
from benchapp.screens.parts import Glass
from benchapp.screens.pedal import PedalKeys
from benchapp.settings import wall_now

#: What stays in pots and on tools when a size is reckoned from bottles. Common practice, no source.
LOSS_PERCENT = 5.0
LOG = logging.getLogger("benchapp")


class BenchApp(App):
    """The touchscreen. ``begin_with`` starts a rehearsal of that procedure at once."""

    title = "benchapp"

    def __init__(
        self,
        shop: Workshop,
        large_text: bool = False,
        patience_s: float = PATIENCE_S,
        now: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__()
        self.now = now
        self.shop = shop
        self.large_text, self.left_handed = large_text, False
        self.patience_s = patience_s
        self.loop: Loop | None = None
        self.screen: Widget | None = None
        self.begin_with: tuple[str, float] | None = None
        self.resume_at_once: str | None = None

    # --- the window ----------------------------------------------------------------------------------

    def build(self) -> FloatLayout:
        """The root; everything is laid out for the window's own pixels."""
        self.panel = panel_for(*(int(v) for v in Window.size))
        self.sizes = Sizes.of(self.panel, self.large_text)
        self.root_box = FloatLayout(size_hint=(None, None), size=Window.size)
        self.glass = Glass(self.panel.px_per_mm, self.now)
        self.pedal = PedalKeys(self)
        self._net = Net(self)
        ExceptionManager.add_handler(self._net)
        Clock.schedule_interval(self._draw, 0)  # every frame
        self.home()
        if self.begin_with is not None:
            self._begin(*self.begin_with)
        elif self.resume_at_once is not None:
            self.go_on(self.resume_at_once)
        return self.root_box

    def open_settings(self, *_: object) -> bool:
        """F1 opens nothing: Kivy's own settings are no business of a maker."""
        return False

    def on_stop(self) -> None:
        """The window is closed; what was recorded is on the disk."""
        Clock.unschedule(self._draw)
        ExceptionManager.remove_handler(self._net)
        self.glass.let_go()
        self.pedal.let_go()
        self._end_loop()

    def _show(self, screen: Widget) -> None:
        self.root_box.clear_widgets()
        self.screen = screen
        self.root_box.add_widget(screen)

    def _draw(self, _: float) -> None:
        self.glass.settle()
        self.pedal.look()
        if self.loop is None or not isinstance(self.screen, MakeScreen):
            return
        if self.loop.trouble:
            self.safe(self.loop.trouble)
        else:
            moment = self.loop.moment
            if moment is not None and moment is not self.screen.moment:
                self.screen.show(moment)

    def safe(self, why: str) -> None:
        """A quiet page for when something of ours broke: the batch is saved, and the make goes on."""
        page = home.Page(self.panel, self.sizes, "The batch is saved.")
        goes_on = self.loop is not None and not self.loop.trouble
        page.bottom(
            [
                ("Back to the make", self.make_screen, "main")
                if goes_on
                else ("To the bench", self.leave, "main")
            ]
        )
        page.line(why, self.sizes.note)
        self._show(page)

    # --- ways (see home.Ways) ------------------------------------------------------------------------

    def home(self) -> None:
        """The bench."""
        self._show(home.home_page(self.panel, self.sizes, self.shop, self))

    def choose(self) -> None:
        """The shelf."""
        self._show(home.choose_page(self.panel, self.sizes, self.shop, self))

    def size(self, recipe: Recipe) -> None:
        """The usual size first."""
        self.size_of(recipe, recipe.usual_g)

    def size_of(self, recipe: Recipe, batch_g: float) -> None:
        """Another size."""
        self._show(home.size_page(self.panel, self.sizes, self.shop, self, recipe, batch_g))

    def past(self, page: int = 0) -> None:
        """Past batches."""
        self._show(home.past_page(self.panel, self.sizes, self.shop, self, page))

    def record(self, batch: str, page: int = 0) -> None:
        """One record."""
        self._show(home.record_page(self.panel, self.sizes, self.shop, self, batch, page))

    def check(self) -> None:
        """The bench check."""
        self._show(check_page.check_page(self.panel, self.sizes, self.shop, self))

    def check_device(self, name: str) -> None:
        """One device's check."""
        device = next(s for s in self.shop.devices() if s.name == name)
        self._show(check_page.device_page(self.panel, self.sizes, self.shop, self, device, wall_now))

    def ask(self, ask: Ask, done: Callable[[float], None], back: Callable[[], None]) -> None:
        """A number, on the keypad."""
        self._show(Keypad(self.panel, self.sizes, ask, done, back))

    def judge(self, check: Check) -> None:
        """Keep a check and say how it came out."""
        self.shop.keep_check(check)
        self._show(check_page.verdict_page(self.panel, self.sizes, self, check))

    def bottles(self, recipe: Recipe) -> None:
        """The size by how many bottles of what content."""

        def count(content_g: float) -> None:
            self.ask(
                Ask(f"how many bottles of {content_g:g} g?", "bottles", 1, 500, 0, True),
                lambda n: self.size_of(recipe, self._for_bottles(recipe, n, content_g)),
                lambda: self.size(recipe),
            )

        self.ask(
            Ask("how much goes into one bottle?", "g", 5, 1000, 1, True), count, lambda: self.size(recipe)
        )

    @staticmethod
    def _for_bottles(recipe: Recipe, count: float, content_g: float) -> float:
        """Grams for so many bottles, within what the procedure allows."""
        wanted = batch_for_bottles_g(int(count), content_g, LOSS_PERCENT)
        return min(max(wanted, recipe.smallest_g), recipe.largest_g)

    def settings(self) -> None:
        """Text size and the hand that works."""
        self._show(home.settings_page(self.panel, self.sizes, self.large_text, self.left_handed, self))

    def set_text(self, large: bool) -> None:
        """Text size."""
        self.large_text = large
        self.sizes = Sizes.of(self.panel, large)
        self.settings()

    def set_hand(self, left: bool) -> None:
        """On which side the plain yes lies."""
        self.left_handed = left
        self.settings()

    def start(self, recipe: Recipe, batch_g: float) -> None:
        """Begin a make."""
        self._begin(recipe.key, batch_g)

    def _begin(self, key: str, batch_g: float) -> None:
        self.run_loop(Loop(self.shop.begin(key, batch_g), self.patience_s))

    def go_on(self, batch: str) -> None:
        """Go on with an unfinished make."""
        self.run_loop(Loop(self.shop.resume(batch), self.patience_s))

    def run_loop(self, loop: Loop) -> None:
        """Show a make that beats."""
        self._end_loop()
        self.loop = loop
        loop.start()
        self.make_screen()

    def make_screen(self) -> None:
        """The make itself."""
        self._show(MakeScreen(self.panel, self.sizes, self, self.left_handed))

    # --- the maker (see make_screen.Maker) -----------------------------------------------------------

    def press(self, prompt: str, choice: str, reason: str = "") -> None:
        """A choice, for the prompt it was meant for."""
        if choice == "resume" and self.loop is not None:
            self.loop.do(lambda s: s.resume())
        elif self.loop is not None:
            self.loop.do(lambda s: s.press(prompt, choice, reason))

    def type_value(self, prompt: str, value: float) -> None:
        """A typed value."""
        if self.loop is not None:
            self.loop.do(lambda s: s.type_value(prompt, value))

    def skip(self, prompt: str, reason: str) -> None:
        """Leave out the step of that prompt."""
        if self.loop is not None:
            self.loop.do(lambda s: s.skip(prompt, reason))

    def abandon(self, reason: str) -> None:
        """Give the batch up."""
        if self.loop is not None:
            self.loop.do(lambda s: s.abandon(reason))

    def hold(self) -> None:
        """The maker goes away."""
        if self.loop is not None:
            self.loop.do(lambda s: s.hold(""))

    def leave(self) -> None:
        """Back to the bench."""
        self._end_loop()
        self.home()

    def _end_loop(self) -> None:
        if self.loop is not None:
            self.loop.stop()
            self.loop = None
            self.shop.end()


class Net(ExceptionHandler):
    """An exception in a callback of ours ends on a safe page, not in the dark."""

    def __init__(self, app: BenchApp) -> None:
        super().__init__()
        self._app = app

    def handle_exception(self, exception: BaseException) -> int:
        """Write it down, show the safe page, go on. Leaving the program is no mishap."""
        if not isinstance(exception, Exception):
            return int(ExceptionManager.RAISE)
        LOG.error("a callback failed", exc_info=exception)
        self._app.safe(
            f"Something in the display failed ({type(exception).__name__}). Nothing recorded is lost."
        )
        return int(ExceptionManager.PASS)
