"""The ways between the screens around a make: each reads what its page needs in the errands' thread, then shows it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Any, TypeVar

from benchapp.runtime.clocks import wall_now
from benchapp.runtime.settings import Preferences
from benchapp.screens import home
from benchapp.screens.desk_ways import DeskWays
from benchapp.screens.overlays import Keypad
from benchapp.screens.store_ways import StoreWays
from benchapp.screens.training_ways import TrainingWays

if TYPE_CHECKING:
    from kivy.uix.widget import Widget

    from benchapp.make.moment import Ask
    from benchapp.make.plan import Plan
    from benchapp.record.journal import BatchLine
    from benchapp.runtime.bench_monitor import BenchMonitor
    from benchapp.runtime.device_checks import Check
    from benchapp.service.bench_facts import Recipe
    from benchapp.service.bench_service import BenchService
    from drivers.finding import PortReport
    from drivers.settings import DeviceSettings

T = TypeVar("T")
#: What stays in pots and on tools when a size is reckoned from bottles. Common practice, no source.
LOSS_PERCENT = 5.0


class Ways(DeskWays, TrainingWays, StoreWays):
    """What the pages' presses do; the app is one."""

    chosen: Preferences
    watching: BenchMonitor | None

    if TYPE_CHECKING:  # what the app itself does

        def measure(self) -> None: ...
        def home(self) -> None: ...
        def go_on(self, batch: str) -> None: ...
        def begin(self, key: str, batch_g: float) -> None: ...

    def choose(self) -> None:
        """The shelf."""
        self.fetch(
            lambda shop: shop.recipes(),
            lambda recipes: self.show(home.choose_page(self.panel, self.sizes, recipes, self)),
            "Reading the shelf.",
        )

    def size(self, recipe: Recipe) -> None:
        """The usual size first."""
        self.size_of(recipe, recipe.usual_g)

    def size_of(self, recipe: Recipe, batch_g: float) -> None:
        """Another size."""

        def planned(found: tuple[Plan, tuple[str, ...]]) -> None:
            plan, problems = found
            self.show(home.size_page(self.panel, self.sizes, plan, problems, self, recipe, batch_g))

        self.fetch(lambda shop: shop.plan(recipe.key, batch_g), planned)

    def bottles(self, recipe: Recipe) -> None:
        """The size by how many bottles of what content."""
        from benchapp.make.moment import Ask

        def count(content_g: float) -> None:
            self.ask(
                Ask(f"how many bottles of {content_g:g} g?", "bottles", 1, 500, 0, True),
                lambda n: self.size_of(recipe, _for_bottles(recipe, n, content_g)),
                lambda: self.size(recipe),
            )

        self.ask(
            Ask("how much goes into one bottle?", "g", 5, 1000, 1, True), count, lambda: self.size(recipe)
        )

    def past(self, page: int = 0) -> None:
        """Past batches."""
        rows = home.past_rows(self.panel, self.sizes)

        def read(shop: BenchService) -> tuple[tuple[BatchLine, ...], Mapping[str, str]]:
            batches = shop.batches()
            return batches, shop.practised(batches[page * rows : (page + 1) * rows])

        self.fetch(
            read,
            lambda found: self.show(home.past_page(self.panel, self.sizes, *found, self, page)),
        )

    def record(self, batch: str, page: int = 0) -> None:
        """One record."""
        from benchapp.screens import leaves

        self.fetch(
            lambda shop: shop.record(batch),
            lambda record: self.show(leaves.record_page(self.panel, self.sizes, record, self, batch, page)),
        )

    # --- the bench check -----------------------------------------------------------------------------

    def check(self) -> None:
        """The bench check."""
        from benchapp.screens import check_page

        def known(found: tuple[tuple[DeviceSettings, ...], Mapping[tuple[str, str], Check]]) -> None:
            devices, checks = found
            self.show(check_page.check_page(self.panel, self.sizes, devices, checks, self))

        self.fetch(lambda shop: (shop.devices(), shop.last_checks()), known)

    def check_device(self, device: DeviceSettings, channel: str) -> None:
        """One channel of one device."""
        from benchapp.screens import check_page

        self.fetch(
            lambda shop: shop.maker,
            lambda maker: self.show(
                check_page.device_page(
                    self.panel, self.sizes, self, check_page.Subject(device, channel, maker, wall_now)
                )
            ),
        )

    def check_against(self, page: Widget) -> None:
        """Hold it against that value: a page that reads the device live."""
        self.show(page)

    def judge(self, check: Check) -> None:
        """Keep a check and say how it came out."""
        from benchapp.screens import check_page

        self.fetch(
            lambda shop: shop.keep_check(check),
            lambda said: self.show(check_page.verdict_page(self.panel, self.sizes, self, check, said)),
        )

    def sign(
        self,
        people: tuple[str, ...],
        meaning: str,
        done: Callable[[str, str], None],
        back: Callable[[], None],
    ) -> None:
        """A signature, by name and PIN."""
        from benchapp.screens.signing import SignSheet

        self.show(SignSheet(self.panel, self.sizes, people, meaning, done, back))

    def ask(self, ask: Ask, done: Callable[[float], None], back: Callable[[], None]) -> None:
        """A number, on the keypad."""
        self.show(Keypad(self.panel, self.sizes, ask, done, back))

    # --- settings ------------------------------------------------------------------------------------

    def settings(self) -> None:
        """What is shown and heard, and what hangs on the ports."""
        from benchapp.screens import settings_page

        self.show(settings_page.settings_page(self.panel, self.sizes, self.chosen, self))

    def choose_setting(self, **changes: Any) -> None:
        """Another choice: kept, and shown at once."""
        chosen = self.chosen = replace(self.chosen, **changes)
        self.measure()
        self.settings()
        self.fetch(lambda shop: shop.keep_preferences(chosen), lambda _: None)

    def listen(self) -> None:
        """What hangs on the ports."""
        from benchapp.screens import settings_page

        page = settings_page.listening_page(self.panel, self.sizes)
        self.show(page)
        self.watching = None

        def heard(found: tuple[PortReport, ...]) -> None:
            self.show(settings_page.heard_page(self.panel, self.sizes, found, self))

        self.fetch(lambda shop: shop.listen(page.tell), heard)

    def add_device(self, heard: PortReport) -> None:
        """Into the bench file; a scale's capacity is not heard, so it is asked for."""
        from benchapp.make.moment import Ask

        if heard.fits[0].kind == "scale":
            ask = Ask("the most this scale weighs (it stands on its plate)", "g", 1, 100_000, 0, True)
            self.ask(ask, lambda grams: self._add(heard, grams), self.settings)
        else:
            self._add(heard, None)

    def _add(self, heard: PortReport, capacity_g: float | None) -> None:
        from benchapp.screens import settings_page

        def added(found: tuple[str, str]) -> None:
            self.show(settings_page.added_page(self.panel, self.sizes, *found, self))

        def add(shop: BenchService) -> tuple[str, str]:
            return shop.add_device(heard, capacity_g), shop.where

        self.fetch(add, added)


def _for_bottles(recipe: Recipe, count: float, content_g: float) -> float:
    """Grams for so many bottles, within what the procedure allows."""
    from benchapp.calculations.scaling import batch_for_bottles_g

    wanted = batch_for_bottles_g(int(count), content_g, LOSS_PERCENT)
    return min(max(wanted, recipe.smallest_g), recipe.largest_g)
