"""Settings: what was chosen is kept and shown at once; and finding devices, which writes the bench file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

from benchapp.foundation.catalogues import LanguageRefused, codes, language_of
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.view_model import NumberRequest
from benchapp.runtime.settings import DIAL_C
from benchapp.screens.bench.device_search_pages import HeardActions, ListeningPage, added_page, heard_page
from benchapp.screens.bench.settings_pages import SettingsLeads, called, languages_page, settings_page
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.pager import Paging
from benchapp.service.references import CAPACITY

if TYPE_CHECKING:
    from drivers.hearing import PortReport

#: What no thermometer of the bench says.
DIAL = NumberRequest(tr_noop("What does the dial of the bath say?"), "°C", *DIAL_C, 0, usual=True)


class SettingsController:
    """What is shown and heard, and what hangs on the ports."""

    def __init__(self, navigator: Navigator) -> None:
        self._nav = navigator

    def settings(self, number: int = 0) -> None:
        """Every choice as it is now."""
        nav = self._nav
        leads = SettingsLeads(
            self.languages, self.listen, self.upkeep, partial(self.dial, number), nav.routes.home
        )
        paging = Paging(nav.routes.home, self.settings, number)
        nav.show(settings_page(nav.sizes, nav.preferences, partial(self.change, number), leads, paging))

    def change(self, number: int = 0, **changes: Any) -> None:
        """Another choice: kept, and shown at once on the same page."""
        self._keep(changes)
        self.settings(number)

    def _keep(self, changes: dict[str, Any]) -> None:
        chosen = replace(self._nav.preferences, **changes)
        self._nav.apply(chosen)
        self._nav.fetch(lambda shop: shop.keep_preferences(chosen), lambda _: None)

    def dial(self, number: int = 0) -> None:
        """What the thermostat of the bath is set to."""

        def typed(bath_c: float) -> None:
            self.change(number, bath_c=bath_c)

        self._nav.ask_number(DIAL, typed, partial(self.settings, number))

    def languages(self) -> None:
        """Which language people read, and which the record is written in."""
        self._nav.show(languages_page(self._nav.sizes, self._nav.preferences, self._which, self.settings))

    def _which(self, field: str, number: int = 0) -> None:
        nav = self._nav
        by_name = {called(code): code for code in codes(nav.data)}
        paging = Paging(self.languages, partial(self._which, field), number)

        def picked(name: str) -> None:
            self._language(field, by_name[name])

        nav.ask_choice(tr("Which language?"), tuple(by_name), picked, paging)

    def _language(self, field: str, code: str) -> None:
        """Another language; the one of the faces with the mark of its decimal numbers, which can be changed apart. One
        that cannot be read is said, and nothing changes."""
        try:
            mark = language_of(code, self._nav.data).decimal
        except LanguageRefused as error:
            self._nav.message(str(error), self.languages)
            return
        self._keep({field: code, "comma": mark == ","} if field == "language" else {field: code})
        self.languages()

    def upkeep(self, back: Callable[[], None] | None = None) -> None:
        """Whether everything is in order; ``back`` leads to the settings if left out. Loaded when it is wanted."""
        from benchapp.screens.bench.upkeep_controller import UpkeepController

        UpkeepController(self._nav, back or self.settings).findings()

    def listen(self) -> None:
        """What hangs on the ports."""
        nav = self._nav
        page = ListeningPage(
            nav.sizes, [("Back", self._leave, "plain"), (tr("Step by step"), self.guide, "plain")]
        )
        nav.show(page)
        nav.routes.stop_watching()

        def heard(found: tuple[PortReport, ...], number: int = 0) -> None:
            paging = Paging(nav.routes.settings, lambda to: heard(found, to), number)
            leads = HeardActions(self.listen, self.guide)
            nav.show(heard_page(nav.sizes, found, self.add_device, leads, paging))

        nav.fetch(lambda shop: shop.listen(page.tell), heard)

    def _leave(self) -> None:
        """Back, once what was begun has ended."""
        self._nav.fetch(lambda shop: shop.end(), lambda _: self.settings(), tr("Letting go of the ports."))

    def guide(self) -> None:
        """One device, question by question. Loaded when it is wanted."""
        from benchapp.screens.bench.connecting_controller import ConnectingController

        ConnectingController(self._nav, self.listen).begin()

    def add_device(self, heard: PortReport) -> None:
        """Into the bench file; a scale's capacity is not heard, so it is asked for."""
        if heard.fits[0].kind == "scale":
            self._nav.ask_number(CAPACITY, partial(self._add, heard), self.settings)
        else:
            self._add(heard, None)

    def _add(self, heard: PortReport, capacity_g: float | None) -> None:
        nav = self._nav

        def added(found: tuple[str, str]) -> None:
            nav.show(added_page(nav.sizes, *found, self.listen, nav.routes))

        nav.fetch(lambda shop: (shop.add_device(heard, capacity_g), shop.where), added)
