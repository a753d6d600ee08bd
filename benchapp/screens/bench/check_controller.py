"""The bench check: each page's data is read in the background, then shown."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.make.view_model import NumberRequest
from benchapp.runtime.clocks import wall_now
from benchapp.runtime.device_checks import Check
from benchapp.screens.bench.check_pages import ComparisonPage, checks_page, device_page, verdict_page
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.pager import Paging
from benchapp.service.references import CheckSubject, ReferenceChoice, ReferenceValue

if TYPE_CHECKING:
    from drivers.settings import DeviceSettings


class CheckController:
    """Which device, against what, and how it came out."""

    def __init__(self, navigator: Navigator) -> None:
        self._nav = navigator

    def devices(self, number: int = 0) -> None:
        """Every device and its newest check."""
        nav = self._nav
        paging = Paging(nav.routes.home, self.devices, number)

        def known(found: tuple[tuple[DeviceSettings, ...], Mapping[tuple[str, str], Check]]) -> None:
            nav.show(checks_page(nav.sizes, *found, self.device, paging))

        nav.fetch(lambda shop: (shop.devices(), shop.last_checks()), known)

    def device(self, device: DeviceSettings, channel: str) -> None:
        """One channel of one device."""

        def by(maker: str) -> None:
            subject = CheckSubject(device, channel, maker, wall_now)
            pick = partial(self._pick, subject)
            self._nav.show(device_page(self._nav.sizes, subject, pick, self.devices))

        self._nav.fetch(lambda shop: shop.maker, by)

    def _pick(self, subject: CheckSubject, choice: ReferenceChoice) -> None:
        if choice.ask is None:
            self._compare(subject, choice.value(0.0))
        else:
            self._nav.ask_number(
                choice.ask, lambda value: self._compare(subject, choice.value(value)), self.devices
            )

    def _compare(self, subject: CheckSubject, reference: ReferenceValue) -> None:
        """A page that reads the device live."""
        ask = NumberRequest(
            tr("{against}: what does the {name} show?", against=reference.against, name=subject.name),
            subject.unit, 0.0, 100_000.0, reference.decimals, True,
        )  # fmt: skip

        def typed(value: float) -> None:
            self._judge(subject.check(reference, value, "stated"))

        type_it: ButtonSpec = (ask.press, partial(self._nav.ask_number, ask, typed, self.devices), "plain")
        self._nav.show(
            ComparisonPage(self._nav.sizes, subject, reference, self._judge, type_it, self.devices)
        )

    def _judge(self, check: Check) -> None:
        """Keep a check and say how it came out."""
        nav = self._nav
        nav.open(
            lambda shop: shop.keep_check(check),
            lambda electrode: verdict_page(nav.sizes, check, electrode, nav.routes),
        )
