"""The controllers that the first frame does not wait for: each is loaded and made when one of its pages is first wanted."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING

from benchapp.screens.navigator import Navigator

if TYPE_CHECKING:
    from benchapp.screens.bench.check_controller import CheckController
    from benchapp.screens.bench.recipe_controller import RecipeController
    from benchapp.screens.bench.settings_controller import SettingsController
    from benchapp.screens.desk.batch_controller import BatchController
    from benchapp.screens.desk.lot_controller import LotController
    from benchapp.screens.desk.overview_controller import OverviewController
    from benchapp.screens.desk.release_controller import ReleaseController
    from benchapp.screens.recipes.draft_controller import DraftController
    from benchapp.screens.training.competence_controller import CompetenceController
    from benchapp.screens.training.practice_controller import PracticeController

#: What :meth:`Controllers.load` loads: the modules named below.
MODULES = (
    "bench.recipe_controller", "bench.check_controller", "bench.settings_controller", "desk.batch_controller",
    "desk.release_controller", "desk.lot_controller", "desk.overview_controller", "training.practice_controller",
)  # fmt: skip


class Controllers:
    """``office``: there is no bench here. ``now``: a clock in seconds that never runs backwards."""

    def __init__(self, navigator: Navigator, office: bool, now: Callable[[], float]) -> None:
        self._nav, self._office, self._now = navigator, office, now

    @staticmethod
    def load() -> None:
        """Load them all, in the background, so that a touch does not wait for it."""
        for name in MODULES:
            importlib.import_module(f"benchapp.screens.{name}")

    @cached_property
    def recipes(self) -> RecipeController:
        """What can be made."""
        from benchapp.screens.bench.recipe_controller import RecipeController

        return RecipeController(self._nav)

    @cached_property
    def checks(self) -> CheckController:
        """Devices held against what is known."""
        from benchapp.screens.bench.check_controller import CheckController

        return CheckController(self._nav)

    @cached_property
    def settings(self) -> SettingsController:
        """Settings, upkeep, finding devices."""
        from benchapp.screens.bench.settings_controller import SettingsController

        return SettingsController(self._nav)

    @cached_property
    def batches(self) -> BatchController:
        """What was made."""
        from benchapp.screens.desk.batch_controller import BatchController

        return BatchController(self._nav, self._office)

    @cached_property
    def releases(self) -> ReleaseController:
        """What may leave."""
        from benchapp.screens.desk.release_controller import ReleaseController

        return ReleaseController(self._nav, self._office)

    @cached_property
    def lots(self) -> LotController:
        """What it is made of."""
        from benchapp.screens.desk.lot_controller import LotController

        return LotController(self._nav)

    @cached_property
    def benches(self) -> OverviewController:
        """All benches of the workshop."""
        from benchapp.screens.desk.overview_controller import OverviewController

        return OverviewController(self._nav, self._office, self._now)

    @cached_property
    def practices(self) -> PracticeController:
        """What can be rehearsed."""
        from benchapp.screens.training.practice_controller import PracticeController

        return PracticeController(self._nav)

    @cached_property
    def drafts(self) -> DraftController:
        """Recipes of one's own."""
        from benchapp.screens.recipes.draft_controller import DraftController

        return DraftController(self._nav)

    @cached_property
    def competence(self) -> CompetenceController:
        """Who may do what."""
        from benchapp.screens.training.competence_controller import CompetenceController

        return CompetenceController(self._nav)
