"""The store: its lots and where they went, and a delivery onto the books, question by question."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import partial

from benchapp import events as ev
from benchapp.make.view_model import NumberRequest
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.letter_pad import LetterPad
from benchapp.screens.widgets.list_pages import choice_page, list_page
from benchapp.screens.widgets.pager import Paging, text_page

#: The most of one delivery, in grams.
MOST_G = 1_000_000.0


class LotController:
    """Lots in the store, where one went, and a new one received."""

    def __init__(self, navigator: Navigator) -> None:
        self._nav = navigator

    def lots(self, number: int = 0) -> None:
        """Everything in the store."""
        nav = self._nav
        paging = Paging(nav.routes.batches, self.lots, number)

        def listed(found: tuple[tuple[str, str], ...]) -> None:
            rows = [(line, partial(self.trace, lot)) for lot, line in found]
            none, more = "No lots are on the books yet.", [("Receive a lot", self.receive, "main")]
            nav.show(list_page(nav.sizes, "Lots in the store", rows, paging, none, more))

        nav.fetch(lambda shop: shop.desk().lots(), listed)

    def trace(self, lot: str, number: int = 0) -> None:
        """Where it went."""
        nav, paging = self._nav, Paging(self.lots, partial(self.trace, lot), number)
        nav.open(
            lambda shop: shop.desk().trace(lot).lines,
            lambda lines: text_page(nav.sizes, f"Where lot {lot} went", lines, paging),
        )

    # --- a delivery: what it is, how much, from whom, until when, and who took it in ------------------

    def receive(self, number: int = 0) -> None:
        """What is it?"""
        nav, paging = self._nav, Paging(self.lots, self.receive, number)

        def listed(materials: tuple[tuple[str, str], ...]) -> None:
            keys = {name: key for key, name in materials}

            def picked(name: str) -> None:
                self._ask_lot(_of_today(keys[name], name))

            nav.show(choice_page(nav.sizes, "What came in?", tuple(keys), picked, paging))

        nav.fetch(lambda shop: shop.materials(), listed)

    def _ask_lot(self, d: ev.LotReceived) -> None:
        self._ask_text("Our name for this lot", lambda lot: self._ask_mass(replace(d, lot=lot)), name=False)

    def _ask_mass(self, d: ev.LotReceived) -> None:
        ask = NumberRequest(f"how much {d.name} came in, without its container", "g", 1, MOST_G, 0, True)
        self._nav.ask_number(ask, lambda grams: self._ask_supplier(replace(d, quantity=grams)), self.lots)

    def _ask_supplier(self, d: ev.LotReceived) -> None:
        self._ask_text("Supplier", lambda who: self._ask_supplier_lot(replace(d, supplier=who)))

    def _ask_supplier_lot(self, d: ev.LotReceived) -> None:
        what = "The supplier's own lot, Enter where there is none"
        self._ask_text(what, lambda lot: self._ask_expiry(replace(d, supplier_lot=lot)), False, True)

    def _ask_expiry(self, d: ev.LotReceived) -> None:
        ask = NumberRequest(
            "use by: year, month, day, as 270131; 0 where it says none", "", 0, 991231, 0, True
        )

        def typed(value: float) -> None:
            day = day_of(value)
            if day is None:
                self._nav.message(
                    "There is no such day. Type two digits each for year, month and day.",
                    partial(self._ask_expiry, d),
                )
            else:
                self._ask_who(replace(d, expires=day))

        self._nav.ask_number(ask, typed, self.lots)

    def _ask_who(self, d: ev.LotReceived) -> None:
        def signed(by: str, pin: str) -> None:
            self._nav.write(lambda shop: shop.desk().receive(d, by or shop.maker, pin), self.lots)

        def enrolled(people: tuple[str, ...]) -> None:
            if people:
                self._nav.ask_signature(people, f"lot {d.lot} received", signed, self.lots)
            else:
                signed("", "")

        self._nav.fetch(lambda shop: shop.desk().people(), enrolled)

    def _ask_text(
        self, what: str, done: Callable[[str], None], name: bool = True, may_be_empty: bool = False
    ) -> None:
        self._nav.show(LetterPad(self._nav.sizes, what, done, self.lots, name, may_be_empty))


def _of_today(material: str, name: str) -> ev.LotReceived:
    """A delivery of which only the material is known yet."""
    return ev.LotReceived(
        at_s=0.0, lot="", material=material, name=name, supplier="", supplier_lot="", quantity=0.0, unit="g", received=""
    )  # fmt: skip


def day_of(typed: float) -> str | None:
    """A day typed as yymmdd, as an ISO date; "" for 0, None where there is no such day."""
    if typed == 0:
        return ""
    text = f"{typed:06.0f}"
    try:
        return date(2000 + int(text[:2]), int(text[2:4]), int(text[4:6])).isoformat()
    except ValueError:
        return None
