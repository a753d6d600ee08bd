"""Whether a batch may leave: results of its checks, the decision, and who signs it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from benchapp.foundation.language import tr, tr_noop
from benchapp.make.view_model import NumberRequest
from benchapp.screens.desk.release_pages import release_page, undecided_page
from benchapp.screens.display.dates import product_named
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.list_pages import choice_page
from benchapp.screens.widgets.pager import Paging
from benchapp.service.desk_facts import BatchFacts, CheckResult

if TYPE_CHECKING:
    from benchapp.record.release import DueCheck

#: Why a batch is not let go, to pick from: nothing here needs a keyboard.
WHY = {
    "rejected": (tr_noop("It separates or has grains"), tr_noop("It smells or looks wrong"), tr_noop("Its pH left the limits"), tr_noop("It was contaminated"), tr_noop("Its record cannot be relied on")),
    "rework": (tr_noop("Its pH is set anew"), tr_noop("It is filled anew"), tr_noop("It is labelled anew"), tr_noop("It is blended once more")),
}  # fmt: skip
#: What a check without a number can come to, the expected first.
RESULTS = (
    tr_noop("As it has to be"), tr_noop("Different: it separates"), tr_noop("Different: its smell"), tr_noop("Different: its colour"),
    tr_noop("Different: its thickness"),
)  # fmt: skip


def _meaning(b: BatchFacts, decision: str) -> str:
    """What is signed, as the person who signs would say it."""
    product, n = product_named(b.line.procedure), b.line.containers
    what = tr("{containers} containers of {product}", containers=n, product=product) if n else product
    said = {
        "released": tr_noop("I release {what}, batch {batch}"),
        "rejected": tr_noop("I reject {what}, batch {batch}"),
        "rework": tr_noop("I have this worked over: {what}, batch {batch}"),
    }[decision]
    return tr(said, what=what, batch=b.line.batch)


class ReleaseController:
    """What waits for a decision, its checks, and the decision."""

    def __init__(self, navigator: Navigator) -> None:
        self._nav = navigator

    def undecided(self, number: int = 0) -> None:
        """What waits for a decision."""
        nav = self._nav
        paging = Paging(nav.routes.batches, self.undecided, number)
        nav.open(
            lambda shop: shop.desk().undecided(),
            lambda found: undecided_page(nav.sizes, found, nav.routes.release, paging),
        )

    def release(self, batch: str) -> None:
        """What speaks against it, and the decisions."""
        nav = self._nav
        back = partial(nav.routes.batch, batch)
        nav.open(
            lambda shop: shop.desk().batch(batch),
            lambda b: release_page(nav.sizes, b, partial(self._decide, b), partial(self._check, batch), back),
        )

    def _decide(self, b: BatchFacts, decision: str) -> None:
        """A reason where one is wanted, then the releaser's signature."""
        nav, back = self._nav, partial(self.release, b.line.batch)

        def reasoned(reason: str) -> None:
            def signed(who: str, pin: str) -> None:
                nav.write(lambda shop: shop.desk().decide(b.line.batch, decision, reason, who, pin), back)

            nav.ask_signature(b.releasers, _meaning(b, decision), signed, back)

        if decision == "released":
            reasoned("")
        else:
            nav.show(
                choice_page(
                    nav.sizes, tr("Why {decision}?", decision=decision), WHY[decision], reasoned, Paging(back)
                )
            )

    def _check(self, batch: str, due: DueCheck) -> None:
        """One result: a number where it takes one, otherwise as expected or different."""
        nav, back, c = self._nav, partial(self.release, batch), due.check

        def found(value: float | None, words: str, fine: bool | None) -> None:
            def signed(who: str, pin: str) -> None:
                nav.write(
                    lambda shop: shop.desk().record_check(
                        batch, c.name, CheckResult(value, words, fine), who, pin
                    ),
                    back,
                )

            nav.fetch(
                lambda shop: shop.desk().people(),
                lambda people: nav.ask_signature(people, tr("release check"), signed, back),
            )

        if c.low is not None and c.high is not None:
            span = c.high - c.low
            ask = NumberRequest(c.name, "", max(c.low - 5 * span, 0.0), c.high + 5 * span, 2, True)
            nav.ask_number(ask, lambda value: found(value, "", None), back)
        else:

            def picked(words: str) -> None:
                found(None, words, words == RESULTS[0])

            nav.show(choice_page(nav.sizes, f"{c.name}: {c.expect}?", RESULTS, picked, Paging(back)))
