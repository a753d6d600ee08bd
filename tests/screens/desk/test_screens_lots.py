"""A delivery taken onto the books by touch: every step of it, what is refused, and that a make would know of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from benchapp import events as ev
from benchapp.record import stock
from benchapp.record.workshop import Workshop
from benchapp.screens.desk.lot_controller import day_of


@pytest.fixture
def glass(window, glass):
    """On the smallest panel, with the largest text."""
    from benchapp.screens.display.sizes import PANELS, Sizes

    glass.navigator.sizes = Sizes.of(PANELS[-1], True)
    return glass


def begin(glass, material="Glycerin"):
    glass.lots.lots()
    glass.press("Receive a lot")
    for _ in range(20):
        if material in glass.labels():
            break
        glass.turn_page()
    glass.press(material)


def receive(glass, lot="G7", grams="2500", day="270131"):
    begin(glass)
    letters, digits = lot[0], lot[1:]
    glass.press(letters)
    glass.press("123")
    glass.keys(digits)
    glass.keys(grams)
    glass.write("Harbour Supplies")
    glass.write("h" if lot == "G7" else "")
    glass.keys(day)


def test_a_delivery_is_on_the_books(glass, journal):
    receive(glass)
    assert glass.words().startswith("Lot G7: 2 500.0 g of Glycerin received.")
    lot = Workshop(journal).lots().lots["G7"]
    assert lot.supplier_lot == "H"
    assert (lot.material, lot.left, lot.supplier, lot.expires) == (
        "glycerin",
        2500.0,
        "Harbour Supplies",
        "2027-01-31",
    )
    glass.press("Back")
    (row,) = glass.page.rows_shown
    assert (row.label, row.figure) == ("Glycerin", "2 500 g")
    assert (row.detail, row.mark, row.share) == ("G7 · good until January 2027", "good", None), (
        "on a low glass the bar gives way"
    )


def test_how_much_is_left_is_written_as_the_language_writes_it(glass, journal):
    from benchapp.foundation.catalogues import language_of
    from benchapp.foundation.language import speaking
    from benchapp.screens.display.sizes import PANELS, Sizes

    store = Workshop(journal)
    for lot, left in (("big", 1234.5), ("whole", 1000.0)):
        stock.receive(store, ev.LotReceived(at_s=0.0, lot=lot, material="glycerin", name="Glycerin", quantity=2000.0, received="2019-01-31", supplier="", supplier_lot="", unit="g"))  # fmt: skip
        stock.about_lot(store, ev.LotCounted(at_s=0.0, lot=lot, quantity=left, reason="weighed", by="Mara"))
    glass.navigator.sizes = Sizes.of(PANELS[0])
    with speaking(language_of("de")):
        glass.lots.lots()
        shown = {row.detail.partition(" ")[0]: row.figure for row in glass.page.rows_shown}
    assert shown == {"big": "1 234,5 von 2 000 g", "whole": "1 000 von 2 000 g"}


def test_lots_near_their_date_and_those_that_may_not_be_used(glass, journal):
    store = Workshop(journal)
    today = journal.wall()[:10]
    for lot, expires in (("old", "2020-01-31"), ("soon", today), ("later", "2099-01-31")):
        stock.receive(store, ev.LotReceived(at_s=0.0, lot=lot, material="glycerin", name="Glycerin", quantity=100.0, received="2019-01-31", expires=expires, supplier="", supplier_lot="", unit="g"))  # fmt: skip

    def shown():
        return {row.detail for row in glass.page.rows_shown}

    glass.lots.lots()
    glass.press("Near their date")
    old = "old · past its date since January 2020: set it aside"
    assert shown() == {"soon · today is its last day", old}
    glass.press("Only not usable")
    assert shown() == {old}
    assert [(row.mark, row.wrong) for row in glass.page.rows_shown] == [("bad", True)]
    assert [x.lot for x in glass.shop.desk().near_their_date()] == ["old", "soon"]
    near = next(x for x in glass.shop.facts().matters if x.settled_at == "lots")
    assert (near.what, near.said) == ("2 expiring lots", f"1 past its date, 1 to be used by {today}")


def test_the_same_name_twice_is_refused(glass, journal):
    receive(glass)
    receive(glass, grams="100")
    assert "There is a lot G7 already." in glass.words()
    assert Workshop(journal).lots().lots["G7"].left == 2500.0


def test_a_day_that_never_comes_is_asked_for_again(glass, journal):
    receive(glass, day="270231")
    assert "There is no such day." in glass.words()
    glass.press("Back")
    glass.keys("0")
    assert "No expiry date is known for it" in glass.words()


def test_where_people_are_enrolled_it_takes_a_pin(glass, enrolled, journal):
    receive(glass)
    glass.press("Mara Lind")
    glass.type_pin("4827")
    assert not Workshop(journal).lots_named("G7")
    receive(glass)
    glass.press("Mara Lind")
    glass.type_pin()
    assert Workshop(journal).lots_named("G7")


@pytest.mark.parametrize(
    ("typed", "day"),
    [(270131.0, "2027-01-31"), (50101.0, "2005-01-01"), (0.0, ""), (270230.0, None), (271301.0, None)],
)
def test_days_as_they_are_typed(typed, day):
    assert day_of(typed) == day


def test_a_lot_whose_date_nobody_knows_is_not_called_good():
    from benchapp.screens.desk.lot_controller import _mark
    from benchapp.service.desk_facts import StoredLot

    known = StoredLot("L1", "Sunflower oil", 400.0, "g", "2027-05-01", "Pier Oils", False, "", days=500)
    assert _mark(known) == "good"
    assert _mark(replace(known, expires="", days=None)) == "later"
