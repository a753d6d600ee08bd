"""The benches of the workshop, looked at again while they are on the glass."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr
from benchapp.screens.desk.alarms_page import AlarmsPage
from benchapp.screens.desk.overview_pages import (
    WHOLE_LINES,
    BetweenBenches,
    OverviewPage,
    bench_page,
    rooms_of,
)
from benchapp.screens.matter_row import matter_row
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.pager import Paging

if TYPE_CHECKING:
    from benchapp.screens.widgets.button import ButtonSpec
    from benchapp.screens.widgets.row_button import RowSpec
    from benchapp.service.bench_service import BenchService
    from benchapp.service.open_matters import OpenMatter
    from benchapp.service.overview import BenchNow

#: So often the page asks how the benches stand, in seconds.
AGAIN_S = 5.0

#: The benches, what they did that does not go together, and how the workshop stands.
Seen = tuple[tuple["BenchNow", ...], tuple["OpenMatter", ...], str]


class OverviewController:
    """``office``: there is no bench here, so this is where everything begins and every way back leads."""

    def __init__(
        self, navigator: Navigator, office: bool = False, now: Callable[[], float] = time.monotonic
    ) -> None:
        self._nav, self._office, self._now = navigator, office, now
        self._asked_s = 0.0
        self._seen: Seen | None = None

    def overview(self, number: int = 0) -> None:
        """All benches."""
        self._nav.fetch(_read, partial(self._show, number))

    def others(self, number: int = 0) -> None:
        """Those that do not call, where many do."""
        self._nav.fetch(_read, partial(self._show_all, number, self.others, self.overview, "Back"))

    def _show(self, number: int, seen: Seen) -> None:
        nav, routes = self._nav, self._nav.routes
        back = routes.batches if self._office else routes.home
        label = tr("Past batches") if self._office else "Back"
        calling = [one for one in seen[0] if one.alarms]
        if len(calling) <= WHOLE_LINES:
            self._show_all(number, self.overview, back, label, seen)
            return
        self._note(seen)
        paging = Paging(back, self.overview, number, label)
        look = partial(self._look, partial(self._show, number))
        nav.show(AlarmsPage(nav.sizes, calling, self.bench, paging, self.others, look))

    def _show_all(
        self, number: int, turn: Callable[[int], None], back: Callable[[], None], label: str, seen: Seen
    ) -> None:
        nav = self._nav
        self._note(seen)
        benches, conflicts, said = seen
        standing = BetweenBenches([matter_row(one, nav.routes) for one in conflicts], said if benches else "")
        calm = benches and not any(one.alarms for one in benches)
        more = self._more() if calm or self._office else []
        look = partial(self._look, partial(self._show_all, number, turn, back, label))
        paging = Paging(back, turn, number, label)
        rooms: tuple[RowSpec, ...] = ()
        if not benches:
            rooms = rooms_of(nav.routes)
            paging, more = Paging(nav.routes.settings, back_label="Settings"), []
        nav.show(OverviewPage(nav.sizes, benches, standing, self.bench, paging, more, look, rooms))

    def _note(self, seen: Seen) -> None:
        self._seen, self._asked_s = seen, self._now()

    def _more(self) -> list[ButtonSpec]:
        routes = self._nav.routes
        release: ButtonSpec = (tr("To release"), routes.undecided, "plain")
        if not self._office:
            return [("Lots", routes.lots, "plain"), release]
        return [
            ("Settings", routes.settings, "plain"), ("Recipes", routes.own_recipes, "plain"),
            ("Lots", routes.lots, "plain"), release,
        ]  # fmt: skip

    def _look(self, again: Callable[[Seen], None]) -> None:
        """Ask anew when it is time to; the page changes only where something did, so that nothing moves under a finger."""
        if self._now() - self._asked_s < AGAIN_S:
            return
        self._asked_s = self._now()
        page = self._nav.page

        def came(seen: Seen) -> None:
            if self._nav.page is page and seen != self._seen:
                again(seen)

        self._nav.fetch(_read, came)

    def bench(self, name: str, number: int = 0) -> None:
        """One of them."""
        nav = self._nav
        paging = Paging(self.overview, partial(self.bench, name), number)

        def show(benches: tuple[BenchNow, ...]) -> None:
            one = next((one for one in benches if one.bench == name), None)
            if one is None:
                self.overview()
                return
            more: list[ButtonSpec] = [(tr("To release"), nav.routes.undecided, "plain")]
            nav.show(bench_page(nav.sizes, one, nav.routes, paging, more))

        nav.fetch(lambda shop: shop.desk().benches(), show)


def _read(shop: BenchService) -> Seen:
    standing, conflicts = shop.standing()
    return shop.desk().benches(), conflicts, standing
