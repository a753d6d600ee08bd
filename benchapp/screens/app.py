"""The app: one window, one page at a time; the make beats in a thread of its own and never waits for the glass."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from kivy.app import App
from kivy.base import ExceptionManager
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.widget import Widget

from benchapp.foundation.language import tr
from benchapp.runtime.settings import Preferences
from benchapp.screens.bench.bench_controller import BenchController
from benchapp.screens.controllers import Controllers
from benchapp.screens.display.sizes import panel_for
from benchapp.screens.failures import FailureHandler
from benchapp.screens.input.code_keys import CodeKeys
from benchapp.screens.input.pedal_keys import PedalKeys
from benchapp.screens.input.touch_filter import TouchFilter
from benchapp.screens.input.typed_keys import TypedKeys
from benchapp.screens.make.make_controller import MakeController
from benchapp.screens.navigator import Navigator, Routes
from benchapp.screens.widgets.page_base import wait_page

if TYPE_CHECKING:
    from benchapp.record.batch_line import BatchLine
    from benchapp.service.bench_service import BenchService

#: A person on a rehearsal is waited for so long before it answers for itself, in seconds.
PATIENCE_S = 8.0


class BenchApp(App):
    """The touchscreen, put together. ``open_shop`` is called once, in the background, after the first frame.

    ``begin_with`` starts a make of that procedure and size at once; ``go_on`` takes up the real make that is unfinished,
    where there is one.
    """

    title = "benchapp"

    def __init__(
        self,
        open_shop: Callable[[], BenchService],
        preferences: Preferences | None = None,
        patience_s: float = PATIENCE_S,
        now: Callable[[], float] = time.monotonic,
        data: Path | None = None,
        office: bool = False,
    ) -> None:
        """``data``: the folder in which a workshop's own languages are. ``office``: there is no bench here, and everything begins with
        those of the workshop."""
        super().__init__()
        self._data, self._office = data, office
        self.begin_with: tuple[str, float] | None = None
        self.go_on = False
        self._open_shop, self._preferences = open_shop, preferences or Preferences()
        self._patience_s, self._now = patience_s, now

    def build(self) -> Widget:
        """The root; everything is laid out for the window's own pixels."""
        panel = panel_for(*(int(v) for v in Window.size))
        nav = self.navigator = Navigator(panel, self._preferences, self._open_shop, self._data)
        self.make = MakeController(nav, self._patience_s)
        self.bench = BenchController(nav, self.make.close_running)
        nav.routes = self._routes(nav)
        self._touches = TouchFilter(panel.px_per_mm, self._now, self.make.sound.tick)
        self._pedal = PedalKeys(self.make, self._now, self._preferences.pedal_key)
        self._codes = CodeKeys(self.make.scanned, self._now)
        self._typed = TypedKeys(lambda: nav.page)
        self._failures = FailureHandler(self.make.show_failure)
        ExceptionManager.add_handler(self._failures)
        if self._office:
            nav.show(wait_page(nav.sizes, tr("Opening the journal.")))
        else:
            self.bench.show()
        Window.bind(on_flip=self._first_frame)  # the first frame comes before anything is opened
        return nav.root

    def _routes(self, nav: Navigator) -> Routes:
        """Where the pages of each subject lead."""
        to = self._controllers = Controllers(nav, self._office, self._now)
        return Routes(
            home=(lambda: to.benches.overview()) if self._office else self.bench.home,
            checks=lambda: to.checks.devices(),
            settings=lambda: to.settings.settings(),
            upkeep=lambda: to.settings.upkeep(nav.routes.home),
            recipes=lambda: to.recipes.shelf(),
            own_recipes=lambda: to.drafts.drafts(),
            size=lambda procedure, batch_g: to.recipes.size(procedure, batch_g),
            batches=lambda: to.batches.past(),
            practised=lambda: to.batches.practised(),
            batch=lambda batch: to.batches.batch(batch),
            benches=lambda: to.benches.overview(),
            release=lambda batch: to.releases.release(batch),
            undecided=lambda: to.releases.undecided(),
            lots=lambda: to.lots.lots(),
            practices=lambda: to.practices.practices(),
            competence=lambda: to.competence.people(),
            debrief=lambda batch: to.practices.debrief(batch),
            ended_practice=lambda batch: to.practices.debrief_of_ended(batch),
            make=self.make.show,
            begin=self.make.begin,
            resume=self.make.resume,
            rehearse=self.make.rehearse,
            practise=self.make.practise,
            stop_watching=self.bench.stop_watching,
        )

    def _first_frame(self, *_: object) -> None:
        Window.unbind(on_flip=self._first_frame)
        Clock.schedule_interval(self._draw, 0)  # every frame
        if self.begin_with is not None:
            self.make.begin(*self.begin_with)
        elif self.go_on:
            self.navigator.fetch(lambda shop: shop.makes.unfinished(), self._unfinished)
        else:
            self.navigator.routes.home()
        self.navigator.background.prepare(self._controllers.load)

    def _unfinished(self, line: BatchLine | None) -> None:
        """A rehearsal is not gone on with by itself: nothing stands on a real scale that it would lose."""
        if line is None or line.rehearsal:
            self.bench.home()
        else:
            self.make.resume(line.batch)

    def _draw(self, _: float) -> None:
        self._touches.settle()
        self._pedal.look()
        self.navigator.background.look()
        if self.make.loop is not None:
            self.make.draw()
        else:
            self.bench.draw()

    def open_settings(self, *_: object) -> bool:
        """F1 opens nothing: Kivy's own settings are no business of a maker."""
        return False

    def on_stop(self) -> None:
        """The window is closed; what was recorded is on the disk."""
        Window.unbind(on_flip=self._first_frame)  # closed before there was one
        Clock.unschedule(self._draw)
        ExceptionManager.remove_handler(self._failures)
        for listener in (self._touches, self._pedal, self._codes, self._typed):
            listener.let_go()
        self.make.close()
        self.navigator.background.end()
        self.make.sound.close()
