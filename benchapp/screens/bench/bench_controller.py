"""The bench page: what is known at once, what has to be read when it comes, and what the devices read now."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING

from benchapp.screens.bench.home_page import HomePage
from benchapp.screens.bench.matter_rows import matters_page
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.service.bench_facts import BenchFacts

if TYPE_CHECKING:
    from benchapp.runtime.bench_monitor import BenchMonitor, ChannelStatus
    from benchapp.screens.widgets.row_button import RowSpec


class BenchController:
    """``close_make`` ends the make that runs, if there is one: it has the ports the bench page watches."""

    def __init__(self, navigator: Navigator, close_make: Callable[[], None]) -> None:
        self._nav, self._close_make = navigator, close_make
        self.facts: BenchFacts | None = None
        self.monitor: BenchMonitor | None = None

    def home(self) -> None:
        """The bench."""
        self._close_make()
        self.show()
        self._nav.fetch(lambda shop: (shop.facts(), shop.watch()), self._arrived)

    def _arrived(self, came: tuple[BenchFacts, BenchMonitor]) -> None:
        self.facts, self.monitor = came
        self.show()

    def show(self) -> None:
        """What is known of it, at once."""
        nav = self._nav
        nav.show(HomePage(nav.sizes, self.facts, self._seen(), nav.routes, self._matters))

    def _matters(self, rows: Sequence[RowSpec], number: int = 0) -> None:
        """All that is due."""
        paging = Paging(self.home, partial(self._matters, rows), number)
        self._nav.show(matters_page(self._nav.sizes, rows, paging))

    def _seen(self) -> tuple[ChannelStatus, ...]:
        return self.monitor.seen() if self.monitor is not None else ()

    def stop_watching(self) -> None:
        """Somebody else has the ports now."""
        self.monitor = None

    def draw(self) -> None:
        """The newest readings onto the page. Call every frame."""
        if isinstance(self._nav.page, Page):
            self._nav.page.live(self._seen())
