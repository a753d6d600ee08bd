"""A delivery taken onto the books by touch: every step of it, what is refused, and that a make would know of it."""

from __future__ import annotations

import pytest

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
        glass.press("On, ")
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
    assert "Glycerin, lot G7: 2 500.0 g. Use by 2027-01-31." in glass.labels()


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
