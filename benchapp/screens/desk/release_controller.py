"""Whether a batch may leave: results of its checks, the decision, and who signs it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from benchapp.events.grades import unchecked_device
from benchapp.foundation.language import tr, tr_noop
from benchapp.make.view_model import NumberRequest
from benchapp.record.facts import CheckResult
from benchapp.screens.desk.batch_rows import AS_IT_HAS_TO_BE
from benchapp.screens.desk.release_pages import ReleaseActs, release_page, undecided_page, wrong_page
from benchapp.screens.display.dates import heading, product_named
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.pager import Paging
from benchapp.service.desk_facts import BatchFacts

if TYPE_CHECKING:
    from benchapp.record.deviations import Deviation
    from benchapp.record.release import DueCheck

#: Why a batch is not let go, to pick from: nothing here needs a keyboard.
WHY = {
    "rejected": (tr_noop("It separates or has grains"), tr_noop("It smells or looks wrong"), tr_noop("Its pH left the limits"), tr_noop("It was contaminated"), tr_noop("Its record cannot be relied on")),
    "rework": (tr_noop("Its pH is set anew"), tr_noop("It is filled anew"), tr_noop("It is labelled anew"), tr_noop("It is blended once more")),
}  # fmt: skip
#: Why a deviation may stay; and that of a device that was not checked before the make.
MAY_STAY = (
    tr_noop("It stays within what the formula allows"), tr_noop("The batch was looked at, and is as it has to be"),
    tr_noop("It was made good in the make"),
)  # fmt: skip
CHECKED_SINCE = tr_noop("It has passed its check since")
#: What a check without a number can come to, the expected first.
RESULTS = (
    AS_IT_HAS_TO_BE, tr_noop("Different: it separates"), tr_noop("Different: its smell"), tr_noop("Different: its colour"),
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

    def __init__(self, navigator: Navigator, office: bool = False) -> None:
        """``office``: there is no bench here."""
        self._nav, self._office = navigator, office

    def undecided(self, number: int = 0) -> None:
        """What waits for a decision."""
        nav = self._nav
        paging = Paging(nav.routes.batches, self.undecided, number)
        begin = None if self._office else nav.routes.recipes
        nav.open(
            lambda shop: shop.desk().undecided(),
            lambda found: undecided_page(nav.sizes, found, nav.routes.release, paging, begin),
        )

    def release(self, batch: str, number: int = 0) -> None:
        """What speaks against it, each to be settled, and the decision."""
        nav = self._nav

        def acts(b: BatchFacts) -> ReleaseActs:
            return ReleaseActs(
                let_go=partial(self._decide, b, "released"),
                not_so=partial(self._not_so, b),
                check=partial(self._check, batch),
                judge=partial(self._judge, b),
                record=partial(nav.routes.batch, batch),
                back=partial(nav.routes.batch, batch),
                turn=partial(self.release, batch),
            )

        nav.open(lambda shop: shop.desk().batch(batch), lambda b: release_page(nav.sizes, b, acts(b), number))

    def _not_so(self, b: BatchFacts) -> None:
        """What is to become of one that may not go."""
        nav = self._nav
        nav.show(wrong_page(nav.sizes, b, partial(self._decide, b), partial(self.release, b.line.batch)))

    def _judge(self, b: BatchFacts, x: Deviation) -> None:
        """Why a deviation may stay, and the releaser's signature to it."""
        nav, batch, back = self._nav, b.line.batch, partial(self.release, b.line.batch)
        of_a_device = bool(unchecked_device(x.kind))

        def reasoned(reason: str) -> None:
            def signed(who: str, pin: str) -> None:
                if reason == CHECKED_SINCE:
                    nav.write(lambda shop: shop.desk().checked_afterwards(batch, x.number, who, pin), back)
                else:
                    nav.write(
                        lambda shop: shop.desk().close_deviation(batch, x.number, reason, who, pin), back
                    )

            meaning = tr("deviation {number} of {batch} may stay", number=x.number, batch=heading(b.line))
            nav.ask_signature(b.releasers, meaning, signed, back)

        why = (CHECKED_SINCE, *MAY_STAY) if of_a_device else MAY_STAY
        nav.ask_choice(tr("Why may it stay so?"), why, reasoned, Paging(back), x.text)

    def _decide(self, b: BatchFacts, decision: str) -> None:
        """A reason where one is wanted, then the releaser's signature."""
        nav, back = self._nav, partial(self.release, b.line.batch)

        def reasoned(reason: str) -> None:
            def signed(who: str, pin: str) -> None:
                nav.write(lambda shop: shop.desk().decide(b.line.batch, decision, reason, who, pin), back)

            name = heading(b.line)
            done = decision == "released" and all(c.state == "passed" for c in b.checks)
            of = tr("{name}: all checks passed, nothing open", name=name) if done else name
            nav.ask_signature(b.releasers, _meaning(b, decision), signed, back, of)

        if decision == "released":
            reasoned("")
        else:
            why = WHY[decision]
            nav.ask_choice(tr("Why {decision}?", decision=decision), why, reasoned, Paging(back))

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

            nav.ask_choice(f"{c.name}: {c.expect}?", RESULTS, picked, Paging(back))
