"""A make on the glass: begins, resumes or rehearses one, draws its views every frame, lets go of it again."""

from __future__ import annotations

import gc
from collections.abc import Callable
from typing import TYPE_CHECKING

from kivy.clock import Clock

from benchapp.calculations.pedal import PedalAction
from benchapp.foundation.collector import full_rounds_as_usual, hold_back_full_rounds
from benchapp.foundation.language import tr
from benchapp.screens.make.lead_in_page import LeadInPage
from benchapp.screens.make.make_input import MakeInput
from benchapp.screens.make.sound_output import SoundOutput
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.alarm_band import unseen_alarm
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.text_line import TextLine

if TYPE_CHECKING:
    from benchapp.runtime.runner import Runner
    from benchapp.screens.make.loop import Loop
    from benchapp.screens.make.make_screen import MakeScreen
    from benchapp.service.bench_service import BenchService
    from benchapp.service.training_facts import Practice


class MakeController:
    """One make at a time. ``patience_s``: how long a person on a rehearsal is waited for before it answers itself."""

    def __init__(self, navigator: Navigator, patience_s: float) -> None:
        self._nav, self._patience_s = navigator, patience_s
        self.loop: Loop | None = None
        self.sound = SoundOutput()
        self._littered = False  # whether a page has gone since garbage was last cleared away
        self.input = MakeInput(navigator, lambda: self.loop)
        #: Any thread: the next frame begins now, and not when the one before has had its sixtieth of a second.
        self._wake = Clock.create_trigger_free(lambda _: None)

    # --- opening one and letting go of it ------------------------------------------------------------

    def begin(self, key: str, batch_g: float) -> None:
        """Begin a make."""
        self._open(lambda shop: shop.begin(key, batch_g))

    def resume(self, batch: str) -> None:
        """Go on with an unfinished make."""
        self._open(lambda shop: shop.resume(batch))

    def rehearse(self, key: str, batch_g: float) -> None:
        """Rehearse a whole batch on a simulated bench."""
        self._open(lambda shop: shop.rehearse(key, batch_g))

    def practise(self, p: Practice, who: str) -> None:
        """Rehearse that scenario on a simulated bench; ``who`` practises, the maker here where nobody is named."""
        self._open(lambda shop: shop.practise(p.key, who))

    def _open(self, open_make: Callable[[BenchService], Runner]) -> None:
        def ready(shop: BenchService) -> Loop:
            from benchapp.runtime.runner import spoken_by
            from benchapp.screens.make import make_screen  # noqa: F401  loaded here, not between two frames
            from benchapp.screens.make.loop import Loop

            voice = self.sound.open(self._nav.preferences)
            runner = open_make(shop)
            runner.hooks.append(spoken_by(voice, lambda: shop.leading_in() is not None))
            loop = Loop(runner, self._patience_s)
            hold_back_full_rounds()
            return loop

        self.close()
        self._nav.fetch(ready, self.run, tr("Getting the bench ready."))

    def run(self, loop: Loop) -> None:
        """Show a make that beats."""
        self.loop = loop
        loop.wake = self._wake
        loop.start()
        ahead = self._leading_in()
        if ahead is None:
            self.show()
        else:
            self._nav.show(LeadInPage(self._nav.sizes, ahead, self._stop_leading_in))

    def _stop_leading_in(self) -> None:
        """Nothing of the scenario has happened yet, and it is not wanted any more."""
        self.input.abandon(tr("Stopped before the scenario began."))

    def _leading_in(self) -> Practice | None:
        return self._nav.shop.leading_in() if self._nav.shop is not None else None

    def close_running(self) -> None:
        """End the make that runs, if there is one."""
        if self.loop is not None:
            self.close()

    def close(self) -> None:
        """End the make and the watch, and let go of their ports; the background waits for them, not the glass."""
        loop, self.loop = self.loop, None
        shop = self._nav.shop
        self._nav.routes.stop_watching()
        if shop is None:
            return

        def end() -> None:
            if loop is not None:
                loop.stop()
            full_rounds_as_usual()
            shop.end()

        self._nav.background.run(end, lambda _: None)

    # --- the page ------------------------------------------------------------------------------------

    def show(self) -> None:
        """The make itself."""
        from benchapp.screens.make.make_screen import MakeScreen

        chosen = self._nav.preferences
        rehearsing = self.loop is not None and self.loop.rehearsing
        screen = MakeScreen(self._nav.sizes, self.input, chosen.left_handed, chosen.guidance, rehearsing)
        self._nav.show(screen)

    def screen(self) -> MakeScreen | None:
        """The make on the glass, if it is there; its module is only loaded once there is a make."""
        if self.loop is None:
            return None
        from benchapp.screens.make.make_screen import MakeScreen

        return self._nav.page if isinstance(self._nav.page, MakeScreen) else None

    def draw(self) -> None:
        """The newest view onto the page; an alarm is seen at once, whatever lies over the make. Call every frame."""
        loop = self.loop
        if loop is None:
            return
        if isinstance(self._nav.page, LeadInPage):
            self._draw_lead_in(loop, self._nav.page)
        screen = self.screen()
        if screen is not None:
            self._draw_view(loop, screen)
        if self.loop is not None:  # drawing a make that is over may have left it
            screen = self.screen()
            covered = screen is None or screen.view is None or screen.overlay is not None
            self._nav.alarm.show(unseen_alarm(loop.view, covered))

    def _draw_lead_in(self, loop: Loop, page: LeadInPage) -> None:
        view = loop.view
        if view is not None and view.over:  # stopped before it began
            self._nav.routes.home()
        elif loop.trouble or self._leading_in() is None:
            self.show()
        elif view is not None:
            page.show(view)

    def _draw_view(self, loop: Loop, screen: MakeScreen) -> None:
        view = loop.view
        if loop.trouble:
            self.show_failure(tr("The make stands still."), loop.trouble)
            return
        if view is not None and view.over and loop.practising:
            loop.practising = False
            self._nav.routes.ended_practice(view.batch)
            return
        if view is not None and view is not screen.view:
            self._littered = screen.show(view) or self._littered
        elif (
            self._littered
        ):  # a frame that has nothing to show: what the page before was made of is cleared away now,
            self._littered = (
                False  # page by page, before there is so much of it that a pour has to wait for it
            )
            gc.collect()
        screen.writing(loop.writing, loop.meanwhile() if loop.writing else ())

    def show_failure(self, title: str, why: str) -> None:
        """A quiet page for when something went wrong: what was recorded is saved, and the make goes on."""
        goes_on = self.loop is not None and not self.loop.trouble
        page = Page(self._nav.sizes, title)
        page.bottom(
            [
                (tr("Back to the make"), self.show, "main")
                if goes_on
                else (tr("To the bench"), self._nav.routes.home, "main")
            ]
        )
        page.listed_large([TextLine(why)])
        self._nav.show(page)

    # --- the pedal (see pedal_keys.PedalTarget) and the barcode reader -------------------------------

    def pedal_prompt(self) -> str:
        """What the glass asks; "" while a sheet lies over it."""
        screen = self.screen()
        if screen is None or screen.view is None or screen.overlay is not None:
            return ""
        return screen.view.prompt

    def pedal_down(self, prompt: str) -> None:
        """The pedal went down."""
        self.input.pedal_down(prompt)

    def pedal_step(self, step: PedalAction) -> None:
        """The pedal was pressed or held: a caution is read to its end before anything is said to it."""
        screen = self.screen()
        if screen is None:
            return
        if screen.pages is not None and not screen.pages.last and step.meant == self.pedal_prompt():
            screen.pages.turn()
        else:
            self.input.pedal(step.meant, step.held)

    def scanned(self, code: str) -> None:
        """A code, for what the make asks while it waits for a lot."""
        screen = self.screen()
        if screen is not None and screen.view is not None:
            self.input.scan(screen.view.prompt, code)
