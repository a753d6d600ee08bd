"""The store: its lots and where they went, and a delivery onto the books, question by question."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_noop, translated
from benchapp.make.view_model import NumberRequest
from benchapp.screens.desk.list_filter import ListFilter
from benchapp.screens.desk.trace_pages import flow_of_lot, trace_page
from benchapp.screens.display.dates import until
from benchapp.screens.display.sizes import Sizes
from benchapp.screens.navigator import Navigator
from benchapp.screens.widgets.button import ButtonSpec
from benchapp.screens.widgets.letter_pad import LetterPad
from benchapp.screens.widgets.page_base import ROOMY_PX
from benchapp.screens.widgets.pager import Paging
from benchapp.screens.widgets.row_button import RowSpec
from benchapp.screens.widgets.rows_page import RowsPage
from benchapp.service.desk_facts import StoredLot
from benchapp.service.wording import amount_in_short, figure_in_short

if TYPE_CHECKING:
    from benchapp.screens.desk.lot_flow_page import LotFlow
    from benchapp.service.bench_service import BenchService
    from benchapp.service.matter import Sheet

#: Why a lot may not be used, but for its date: by its state.
BARRED = {
    "quarantined": tr_noop("in quarantine: judge it first"), "rejected": tr_noop("rejected: set it aside"), "used up": tr_noop("empty by the book"),
    "empty": tr_noop("empty by the book"),
}  # fmt: skip
#: The most of one delivery, in grams.
MOST_G = 1_000_000.0


class LotKind(ListFilter):
    """Which lots are listed. By the title of their list."""

    ALL = tr_noop("All lots")
    SOON = tr_noop("Lots near their date")
    BARRED = tr_noop("Lots that may not be used")

    @property
    def press(self) -> str:
        """What leads to their list."""
        match self:
            case LotKind.ALL:
                return tr("All lots")
            case LotKind.SOON:
                return tr("Near their date")
            case LotKind.BARRED:
                return tr("Only not usable")

    def holds(self, lot: StoredLot) -> bool:
        """Whether a lot is of this kind."""
        match self:
            case LotKind.ALL:
                return True
            case LotKind.SOON:
                return lot.soon
            case LotKind.BARRED:
                return bool(lot.against)


def lots_page(
    sizes: Sizes,
    lots: Sequence[StoredLot],
    pick: Callable[[str], None],
    paging: Paging,
    more: Sequence[ButtonSpec],
    kind: LotKind = LotKind.ALL,
) -> RowsPage:
    """A row for each, or in a sentence that there is none of that ``kind``: the material, how much is left in figures and as a bar, how long it keeps or why it may not be used,
    and its lot; what may not be used and what has to be used soon come first."""
    lots = sorted(lots, key=lambda x: (not x.against, not x.soon))
    roomy = sizes.panel.height >= ROOMY_PX
    rows = [
        RowSpec(
            x.name,
            partial(pick, x.lot),
            f"{x.lot} · {_standing(x)}",
            _amount(x, roomy),
            bool(x.against),
            _mark(x),
            share=x.share if roomy and not x.against else None,
        )
        for x in lots
    ]
    if not rows and kind is LotKind.ALL:
        none = tr("Here you will see what you received, and how much of it is left.")
        return RowsPage(sizes, tr("The store is empty"), (), paging, more, [(none, False)])
    none = tr("No lot of this kind is in the store.")
    return RowsPage(sizes, tr(kind.value), rows, paging, more, [] if rows else [(none, False)])


def _amount(x: StoredLot, whole: bool) -> str:
    """How much is left; ``whole``: of what came in, too, which the bar under it draws. On a low glass both give way."""
    if x.share is None:
        return tr("on tap")
    if x.left == x.came_in or not whole:
        return amount_in_short(x.left, x.unit)
    left, came_in = figure_in_short(x.left, x.unit), amount_in_short(x.came_in, x.unit)
    return tr("{left} of {came_in}", left=left, came_in=came_in)


def _mark(x: StoredLot) -> str:
    """Nothing is called good whose date nobody knows."""
    return "bad" if x.against else "soon" if x.soon else "later" if x.days is None else "good"


def _standing(x: StoredLot) -> str:
    """How long it keeps, or why it may not be used."""
    if x.against and (x.days is None or x.days >= 0):
        return translated(BARRED.get(x.barred, x.barred))
    return tr("no date known") if x.days is None else until(x.expires, x.days)


def usable(lot: str, stored: Sequence[StoredLot]) -> tuple[str, str]:
    """Whether a lot may be used: the mark of that (see text_line.MARKS), and the words."""
    x = next((x for x in stored if x.lot == lot), None)
    if x is None:
        return "later", tr("empty by the book")
    if not x.against:
        return ("soon", _standing(x)) if x.soon else ("good", translated("usable"))
    return "later" if x.barred in ("used up", "empty") else "bad", _standing(x)


class LotController:
    """Lots in the store, where one went, and a new one received."""

    def __init__(self, navigator: Navigator) -> None:
        self._nav = navigator

    def lots(self, number: int = 0, kind: LotKind = LotKind.ALL) -> None:
        """Those in the store, of a kind."""
        nav = self._nav
        paging = Paging(nav.routes.batches, lambda to: self.lots(to, kind), number)
        show: ButtonSpec = (kind.next.press, lambda: self.lots(0, kind.next), "plain")

        def page(found: Sequence[StoredLot]) -> RowsPage:
            shown = [x for x in found if kind.holds(x)]
            asked = any(
                x.against for x in found
            )  # then a lot that must not be used comes first, not another delivery
            receive: ButtonSpec = (tr("Receive a lot"), self.receive, "plain" if asked else "main")
            return lots_page(
                nav.sizes, shown, self.trace, paging, [show, receive] if found else [receive], kind
            )

        nav.open(lambda shop: shop.desk().lots(), page)

    def trace(self, lot: str) -> None:
        """Where it went."""
        title = tr("Where lot {lot} went", lot=lot)

        def read(shop: BenchService) -> tuple[LotFlow | None, Sheet]:
            desk = shop.desk()
            drawn = flow_of_lot(desk.lot_traced(lot), usable(lot, desk.lots()))
            return None if desk.missing_elsewhere() else drawn, desk.trace(lot)

        self._nav.open(read, lambda found: trace_page(self._nav, title, found, self.lots))

    # --- a delivery: what it is, how much, from whom, until when, and who took it in ------------------

    def receive(self, number: int = 0) -> None:
        """What is it?"""
        nav, paging = self._nav, Paging(self.lots, self.receive, number)

        def listed(materials: tuple[tuple[str, str], ...]) -> None:
            keys = {name: key for key, name in materials}

            def picked(name: str) -> None:
                self._ask_lot(_of_today(keys[name], name))

            nav.ask_choice(tr("What came in?"), tuple(keys), picked, paging)

        nav.fetch(lambda shop: shop.materials(), listed)

    def _ask_lot(self, d: ev.LotReceived) -> None:
        self._ask_text(
            tr("Our name for this lot"), lambda lot: self._ask_mass(replace(d, lot=lot)), name=False
        )

    def _ask_mass(self, d: ev.LotReceived) -> None:
        ask = NumberRequest(
            tr("how much {name} came in, without its container", name=d.name), "g", 1, MOST_G, 0, True
        )
        self._nav.ask_number(ask, lambda grams: self._ask_supplier(replace(d, quantity=grams)), self.lots)

    def _ask_supplier(self, d: ev.LotReceived) -> None:
        self._ask_text("Supplier", lambda who: self._ask_supplier_lot(replace(d, supplier=who)))

    def _ask_supplier_lot(self, d: ev.LotReceived) -> None:
        what = tr("The supplier's own lot, Enter where there is none")
        self._ask_text(what, lambda lot: self._ask_expiry(replace(d, supplier_lot=lot)), False, True)

    def _ask_expiry(self, d: ev.LotReceived) -> None:
        ask = NumberRequest(
            tr("use by: year, month, day, as 270131; 0 where it says none"), "", 0, 991231, 0, True
        )

        def typed(value: float) -> None:
            day = day_of(value)
            if day is None:
                self._nav.message(
                    tr("There is no such day. Type two digits each for year, month and day."),
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
                self._nav.ask_signature(people, tr("lot {lot} received", lot=d.lot), signed, self.lots)
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
