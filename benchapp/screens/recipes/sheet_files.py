"""One of the spreadsheets that lie in the workshop's folder, or on a stick that is plugged in."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from benchapp.foundation.language import tr
from benchapp.screens.recipes.recipe_requests import RecipeRequests
from benchapp.screens.widgets.pager import Paging
from benchapp.service.recipe_sheets import SheetFile, sheet_files

Done = Callable[[Path], None]


class SheetFiles:
    """Picks one. ``back`` is where it was wanted."""

    def __init__(self, recipes: RecipeRequests, back: Callable[[], None]) -> None:
        self._recipes, self._back = recipes, back

    def pick(self, done: Done, number: int = 0) -> None:
        """Those that are there, newest first."""

        def shown(found: tuple[Path, tuple[SheetFile, ...]]) -> None:
            self._shown(*found, done, number)

        self._recipes.ask(
            lambda desk: (desk.sheets_folder, sheet_files(desk.sheets_folder)), shown, self._back
        )

    def _shown(self, folder: Path, files: tuple[SheetFile, ...], done: Done, number: int) -> None:
        nav = self._recipes.nav
        if not files:
            nav.message(
                tr(
                    "No sheet is here. Put one (XLSX, ODS or CSV) into {folder}, or plug a stick in with "
                    "one at its top, then come here again.",
                    folder=folder,
                ),
                self._back,
            )
            return
        paths = {one.name: one.path for one in files}
        paging = Paging(self._back, partial(self.pick, done), number)
        nav.ask_choice(tr("Which sheet?"), tuple(paths), lambda name: done(paths[name]), paging)
