"""The way of a delivery onto the books, on the glass: what it is, how much, from whom, until when, and who took it in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from benchapp.screens.going import Going
from benchapp.service.desk_facts import Delivery

if TYPE_CHECKING:
    pass

T = TypeVar("T")
#: The most of one delivery, in grams.
MOST_G = 1_000_000.0


class StoreWays(Going):
    """What the presses of a delivery do; the app is one."""

    if TYPE_CHECKING:  # what the app itself and its other ways do

        def lots(self, number: int = 0) -> None: ...

    def receive(self, number: int = 0) -> None:
        """What is it?"""
        from benchapp.screens import desk

        def listed(materials: tuple[tuple[str, str], ...]) -> None:
            keys = {name: key for key, name in materials}
            self.show(desk.choice_page(self.panel, self.sizes, "What came in?", tuple(keys),
                                       lambda name: self._named(Delivery(keys[name], name)), self.lots,
                                       self.receive, number))  # fmt: skip

        self.fetch(lambda shop: shop.materials(), listed)

    def _named(self, d: Delivery) -> None:
        self._letters("Our name for this lot", lambda lot: self._weighed(replace(d, lot=lot)), False)

    def _weighed(self, d: Delivery) -> None:
        from benchapp.make.moment import Ask

        ask = Ask(f"how much {d.name} came in, without its container", "g", 1, MOST_G, 0, True)
        self.ask(ask, lambda grams: self._supplied(replace(d, quantity=grams)), self.lots)

    def _supplied(self, d: Delivery) -> None:
        self._letters("Supplier", lambda who: self._traced(replace(d, supplier=who)), True)

    def _traced(self, d: Delivery) -> None:
        what = "The supplier's own lot, Enter where there is none"
        self._letters(what, lambda lot: self._dated(replace(d, supplier_lot=lot)), False, True)

    def _dated(self, d: Delivery) -> None:
        from benchapp.make.moment import Ask

        ask = Ask("use by: year, month, day, as 270131; 0 where it says none", "", 0, 991231, 0, True)

        def typed(value: float) -> None:
            found = day_of(value)
            if found is None:
                self.told(
                    "There is no such day. Type two digits each for year, month and day.",
                    partial(self._dated, d),
                )
            else:
                self._signed(replace(d, expires=found))

        self.ask(ask, typed, self.lots)

    def _signed(self, d: Delivery) -> None:
        def written(by: str, pin: str) -> None:
            self.fetch(
                lambda shop: shop.desk().receive(d, by or shop.maker, pin),
                lambda said: self.told(said, self.lots),
            )

        def asked(people: tuple[str, ...]) -> None:
            if people:
                self.sign(people, f"lot {d.lot} received", written, self.lots)
            else:
                written("", "")

        self.fetch(lambda shop: shop.desk().people(), asked)

    def _letters(
        self, what: str, done: Callable[[str], None], name: bool, may_be_empty: bool = False
    ) -> None:  # fmt: skip
        from benchapp.screens.letters import LetterSheet

        self.show(LetterSheet(self.panel, self.sizes, what, done, self.lots, name, may_be_empty))


def day_of(typed: float) -> str | None:
    """A day typed as yymmdd, as an ISO date; "" for 0, None where there is no such day."""
    if typed == 0:
        return ""
    text = f"{typed:06.0f}"
    try:
        return date(2000 + int(text[:2]), int(text[2:4]), int(text[4:6])).isoformat()
    except ValueError:
        return None
