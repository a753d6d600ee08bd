"""What every set of ways between pages can count on: what the app itself does for them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from kivy.uix.widget import Widget

    from benchapp.make.moment import Ask
    from benchapp.screens.panel import Panel, Sizes
    from benchapp.service.bench_service import BenchService

T = TypeVar("T")


class Going:
    """Only named here, so that each set of ways stands in a file of its own; the app and its other ways do it."""

    panel: Panel
    sizes: Sizes

    if TYPE_CHECKING:

        def show(self, screen: Widget) -> None: ...
        def past(self, page: int = 0) -> None: ...
        def told(self, sentence: str, back: Callable[[], None]) -> None: ...
        def ask(self, ask: Ask, done: Callable[[float], None], back: Callable[[], None]) -> None: ...
        def sign(
            self,
            people: tuple[str, ...],
            meaning: str,
            done: Callable[[str, str], None],
            back: Callable[[], None],
        ) -> None: ...
        def fetch(
            self, work: Callable[[BenchService], T], then: Callable[[T], None], what: str = ""
        ) -> None: ...
