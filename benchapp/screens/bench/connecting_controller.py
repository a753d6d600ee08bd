"""Connecting a device on the glass: each answer is handed on in the background, then the next question is shown."""

from __future__ import annotations

from collections.abc import Callable

from benchapp.foundation.language import tr
from benchapp.screens.bench.connecting_pages import STOP, QuestionActs, question_page, refused_page
from benchapp.screens.bench.device_search_pages import ONE_PORT, ListeningPage, added_page
from benchapp.screens.navigator import Navigator
from benchapp.service.bench_service import BenchService
from benchapp.service.connecting_questions import ConnectingStep
from benchapp.service.connecting_steps import ConnectingSteps
from benchapp.service.errors import CommandError
from drivers.errors import DriverError


class ConnectingController:
    """One device on its way to the bench. ``listen`` leads to the page that listens on every port."""

    def __init__(self, navigator: Navigator, listen: Callable[[], None]) -> None:
        self._nav, self._listen = navigator, listen
        self._steps: ConnectingSteps | None = None

    def begin(self) -> None:
        """The first question."""
        self._nav.routes.stop_watching()

        def first(shop: BenchService) -> ConnectingStep | None:
            self._steps = shop.connect()
            return self._steps.begin()

        self._fetch(first, tr("Getting ready."))

    def _fetch(self, work: Callable[[BenchService], ConnectingStep | None], what: str = "") -> None:
        def tried(shop: BenchService) -> ConnectingStep | str | None:
            try:
                return work(shop)
            except (CommandError, DriverError) as why:
                return str(why)

        self._nav.fetch(tried, self._show, what)

    def _show(self, came: ConnectingStep | str | None) -> None:
        nav, steps = self._nav, self._steps
        if isinstance(came, str):
            nav.show(refused_page(nav.sizes, came, self.begin, nav.routes.settings))
        elif came is not None:
            self._ask(came)
        elif steps is not None:
            nav.fetch(
                lambda shop: (steps.name, shop.where),
                lambda found: nav.show(added_page(nav.sizes, *found, self._listen, nav.routes)),
            )

    def _ask(self, step: ConnectingStep, number: int = 0) -> None:
        steps = self._steps
        assert steps is not None
        acts = QuestionActs(
            lambda word: self._answer(step, word), self._stop, lambda other: self._ask(step, other)
        )
        self._nav.show(question_page(self._nav.sizes, step, steps.look, acts, number))

    def _answer(self, step: ConnectingStep, word: str) -> None:
        """A device that is open is shown on until the next question; else it says what is listened to."""
        steps = self._steps
        assert steps is not None
        if step.device is None:
            page = ListeningPage(self._nav.sizes, [(STOP, self._stop, "plain")], ONE_PORT)
            steps.tell = page.tell
            self._nav.show(page)
        self._fetch(lambda shop: steps.answer(word))

    def _stop(self) -> None:
        """No more; nothing was written."""
        self._nav.fetch(
            lambda shop: shop.end(), lambda _: self._nav.routes.settings(), tr("Letting go of the device.")
        )
