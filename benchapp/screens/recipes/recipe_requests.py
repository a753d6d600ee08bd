"""How the recipe pages ask the service: a refusal is shown as its sentence, and the way goes back to where it was asked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeVar, get_args

from benchapp.foundation.language import tr
from benchapp.recipes.errors import RecipeError
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.page_base import Page
from benchapp.screens.widgets.pager import Paging
from benchapp.service.errors import CommandError
from benchapp.service.recipes import RecipeDesk
from procedures.errors import ProcedureError
from procedures.formula import Use

T = TypeVar("T")
#: What a product may be for.
USES = get_args(Use)
#: What else is done with a line or a step, and the last of it.
MOVE, REMOVE = "More", "Remove"


@dataclass(frozen=True, slots=True)
class _Refusal:
    sentence: str


class RecipeRequests:
    """Asks in the background, as the navigator does."""

    def __init__(self, navigator: Navigator) -> None:
        self.nav = navigator
        self._seen: dict[str, str] = {}

    def ask(
        self, work: Callable[[RecipeDesk], T], then: Callable[[T], None], back: Callable[[], None]
    ) -> None:
        """Let the recipes do it, then go on with what came of it."""

        def answered(found: T | _Refusal) -> None:
            if isinstance(found, _Refusal):
                self.nav.message(found.sentence, back)
            else:
                then(found)

        self.nav.fetch(lambda shop: _tried(shop.recipe_desk(self._seen), work), answered)

    def change(self, work: Callable[[RecipeDesk], object], back: Callable[[], None]) -> None:
        """Let the recipes change something, then go back."""
        self.ask(work, lambda _: back(), back)

    def write(self, work: Callable[[RecipeDesk], str], back: Callable[[], None]) -> None:
        """Let the recipes do it, and say how it went."""
        self.ask(work, lambda said: self.nav.message(said, back), back)

    def ask_use(self, done: Callable[[str], None], back: Callable[[], None]) -> None:
        """Of what use a new recipe is."""
        self.nav.ask_choice(tr("Does it stay on the skin?"), USES, done, Paging(back))

    def one_of(self, title: str, acts: Sequence[ButtonSpec], back: Callable[[], None]) -> None:
        """What is done more rarely, on a page of its own."""
        page = Page(self.nav.sizes, title)
        page.bottom([("Back", back, "plain")])
        page.stack(acts)
        self.nav.show(page)


def moving(number: int, count: int, move: Callable[[int], None]) -> list[ButtonSpec]:
    """What moves one of so many up or down, where it can be."""
    up: ButtonSpec = (tr("Move it up"), partial(move, -1), "plain")
    down: ButtonSpec = (tr("Move it down"), partial(move, 1), "plain")
    return [*([up] if number > 0 else []), *([down] if number < count - 1 else [])]


def _tried(desk: RecipeDesk, work: Callable[[RecipeDesk], T]) -> T | _Refusal:
    try:
        return work(desk)
    except (RecipeError, ProcedureError, CommandError) as error:
        return _Refusal(str(error).splitlines()[0])
    except OSError as error:
        return _Refusal(
            tr(
                "The disk refuses ({strerror}). What was kept before is there.",
                strerror=error.strerror or error,
            )
        )
