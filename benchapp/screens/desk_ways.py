"""The ways between the desk's pages: each reads what its page needs in the errands' thread, then shows it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from benchapp.screens.going import Going

if TYPE_CHECKING:
    from benchapp.service.bench_facts import Recipe
    from benchapp.service.bench_service import BenchService
    from benchapp.service.desk_facts import BatchFacts, CheckFacts

T = TypeVar("T")
#: Why a batch is not let go, to pick from: nothing here needs a keyboard.
WHY = {
    "rejected": ("It separates or has grains", "It smells or looks wrong", "Its pH left the limits", "It was contaminated", "Its record cannot be relied on"),
    "rework": ("Its pH is set anew", "It is filled anew", "It is labelled anew", "It is blended once more"),
}  # fmt: skip


class DeskWays(Going):
    """What the desk's presses do; the app is one."""

    if TYPE_CHECKING:  # what the app itself does

        def receive(self, number: int = 0) -> None: ...
        def debrief(self, batch: str, after_it: bool = False) -> None: ...
        def record(self, batch: str, page: int = 0) -> None: ...
        def begin(self, key: str, batch_g: float) -> None: ...

    # --- one batch -----------------------------------------------------------------------------------

    def batch(self, batch: str) -> None:
        """How it stands."""
        from benchapp.screens import desk

        self.fetch(lambda shop: shop.desk().batch(batch),
                   lambda b: self.show(desk.batch_page(self.panel, self.sizes, b, self)))  # fmt: skip

    def again(self, procedure: str, batch_g: float) -> None:
        """The same once more, in the same size: its plan first."""
        self.fetch(lambda shop: next((r for r in shop.recipes() if r.key == procedure), None),
                   lambda recipe: self.past() if recipe is None else self.size_of(recipe, batch_g))  # fmt: skip

    if TYPE_CHECKING:

        def size_of(self, recipe: Recipe, batch_g: float) -> None: ...

    def trace_batch(self, batch: str, number: int = 0) -> None:
        """Every lot in it, and where it went."""
        self._text("What is in it, and where it went", lambda shop: shop.desk().trace_batch(batch),
                   partial(self.batch, batch), partial(self.trace_batch, batch), number)  # fmt: skip

    def compare_from(self, batch: str, number: int = 0) -> None:
        """Beside which other?"""
        from benchapp.screens import desk

        def listed(found: tuple[str, ...]) -> None:
            rows = [(other, partial(self.compare, batch, other)) for other in found]
            self.show(desk.list_page(self.panel, self.sizes, f"{batch} beside …", rows, partial(self.batch, batch),
                                     partial(self.compare_from, batch), number, "There is no other finished batch."))  # fmt: skip

        self.fetch(
            lambda shop: tuple(b.batch for b in shop.batches() if b.batch != batch and b.end == "finished"),
            listed,
        )

    def compare(self, first: str, second: str, number: int = 0) -> None:
        """Two batches side by side."""
        self._text(f"{first} and {second}", lambda shop: shop.desk().compare(first, second),
                   partial(self.batch, first), partial(self.compare, first, second), number)  # fmt: skip

    def trend(self, procedure: str, batch: str) -> None:
        """The yields of a procedure's batches."""
        from benchapp.screens import desk

        self.fetch(lambda shop: shop.desk().trend(procedure),
                   lambda t: self.show(desk.trend_page(self.panel, self.sizes, procedure, t, partial(self.batch, batch))))  # fmt: skip

    # --- release -------------------------------------------------------------------------------------

    def due(self) -> None:
        """What waits for a decision."""
        from benchapp.screens import desk

        self.fetch(lambda shop: shop.desk().undecided(),
                   lambda found: self.show(desk.due_page(self.panel, self.sizes, found, self)))  # fmt: skip

    def release(self, batch: str) -> None:
        """What speaks against it, and the decisions."""
        from benchapp.screens import desk

        self.fetch(lambda shop: shop.desk().batch(batch),
                   lambda b: self.show(desk.release_page(self.panel, self.sizes, b, self)))  # fmt: skip

    def decide(self, b: BatchFacts, decision: str) -> None:
        """A reason where one is wanted, then the releaser's signature."""
        from benchapp.screens import desk

        back = partial(self.release, b.batch)

        def reasoned(reason: str) -> None:
            def signed(who: str, pin: str) -> None:
                self.fetch(
                    lambda shop: shop.desk().decide(b.batch, decision, reason, who, pin),
                    lambda said: self.told(said, back),
                )

            self.sign(b.releasers, f"batch {decision}", signed, back)

        if decision == "released":
            reasoned("")
        else:
            self.show(
                desk.choice_page(self.panel, self.sizes, f"Why {decision}?", WHY[decision], reasoned, back)
            )

    def check_batch(self, batch: str, c: CheckFacts) -> None:
        """One result: a number where it takes one, otherwise as expected or different."""
        from benchapp.make.moment import Ask
        from benchapp.screens import desk
        from benchapp.service.desk_facts import CheckResult

        back = partial(self.release, batch)

        def found(value: float | None, words: str, fine: bool | None) -> None:
            def ask_who(people: tuple[str, ...]) -> None:
                def signed(who: str, pin: str) -> None:
                    result = CheckResult(value, words, fine)
                    self.fetch(lambda shop: shop.desk().record_check(batch, c.name, result, who, pin),
                               lambda said: self.told(said, back))  # fmt: skip

                self.sign(people, "release check", signed, back)

            self.fetch(lambda shop: shop.desk().people(), ask_who)

        if c.low is not None and c.high is not None:
            span = c.high - c.low
            self.ask(
                Ask(c.name, "", max(c.low - 5 * span, 0.0), c.high + 5 * span, 2, True),
                lambda v: found(v, "", None),
                back,
            )
        else:
            choices = (
                "As it has to be",
                "Different: it separates",
                "Different: its smell",
                "Different: its colour",
                "Different: its thickness",
            )
            self.show(
                desk.choice_page(
                    self.panel,
                    self.sizes,
                    f"{c.name}: {c.expect}?",
                    choices,
                    lambda words: found(None, words, words == choices[0]),
                    back,
                )
            )

    def told(self, sentence: str, back: Callable[[], None]) -> None:
        """How it went, in one sentence."""
        from benchapp.screens.home import Page

        page = Page(self.panel, self.sizes, sentence)
        page.bottom([("Back", back, "main")])
        self.show(page)

    # --- lots ----------------------------------------------------------------------------------------

    def lots(self, number: int = 0) -> None:
        """Everything in the store."""
        from benchapp.screens import desk

        def listed(found: tuple[tuple[str, str], ...]) -> None:
            rows = [(said, partial(self.trace_lot, lot)) for lot, said in found]
            self.show(desk.list_page(self.panel, self.sizes, "Lots in the store", rows, self.past, self.lots, number,
                                     "No lots are on the books yet.",
                                     [("Receive a lot", self.receive, "main")]))  # fmt: skip

        self.fetch(lambda shop: shop.desk().lots(), listed)

    def trace_lot(self, lot: str, number: int = 0) -> None:
        """Where it went."""
        self._text(f"Where lot {lot} went", lambda shop: shop.desk().trace_lot(lot), self.lots,
                   partial(self.trace_lot, lot), number)  # fmt: skip

    def _text(
        self, title: str, work: Callable[[BenchService], tuple[str, ...]], back: Callable[[], None],
        turn: Callable[[int], None], number: int,
    ) -> None:  # fmt: skip
        from benchapp.screens import desk

        self.fetch(
            work,
            lambda lines: self.show(desk.text_page(self.panel, self.sizes, title, lines, back, turn, number)),
        )
