"""A list of materials out of a spreadsheet onto the shelf. Invented for the demo workshop "Low Tide Bench"."""

import pytest
from sheet_samples import text, xlsx

from benchapp.recipes.errors import SheetUnreadable
from benchapp.service.recipes import RecipeDesk

ENGLISH = (
    ("Low Tide Bench, what we buy",),
    (
        "Material",
        "Role",
        "INCI",
        "Supplier",
        "Price",
        "Melting point °C",
        "Density",
        "Max use %",
        "pH window",
    ),
    ("Kelp wax", "wax", "Kelp Wax", "Pier Oils", "18.40 EUR/kg", 62.0, None, None, None),
    ("Harbour preserver", "preservative", "Phenoxyethanol", "Quay Labs", None, None, 1.1, 1.0, "3 - 8"),
    ("Glycerin", "humectant", "Glycerin", "", "no idea", None, 1.26, None, None),
    (None, None, None),
    ("Sea mist", "smell", "Parfum", "", None, None, None, None, None),
)


@pytest.fixture
def desk(tmp_path):
    return RecipeDesk(tmp_path / "workshop")


def test_each_row_becomes_a_material_or_says_why_not(desk, tmp_path):
    sheet = desk.materials.bring_in(xlsx(tmp_path / "materials.xlsx", ENGLISH))
    became = {row[1]: (row[0], row[2]) for row in sheet.rows}
    assert became["Kelp wax"] == ("3", "taken")
    assert became["Harbour preserver"] == ("4", "taken")
    assert became["Glycerin"][1].startswith("not taken: ")
    assert "12.40 EUR/kg" in became["Glycerin"][1]
    assert became["Sea mist"][1].startswith("not taken: ")
    wax, preserver = (desk.materials.shelf.entry(n) for n in ("Kelp wax", "Harbour preserver"))
    assert (wax["melts"], wax["price"], wax["supplier"]) == ("62 degC", "18.40 EUR/kg", "Pier Oils")
    assert (preserver["density"], preserver["use_limit"], preserver["ph_window"]) == (
        "1.1 g/ml",
        "1 %",
        [3.0, 8.0],
    )
    assert "No data sheet was entered for Kelp wax, Harbour preserver" in sheet.notes[0], "nothing is guessed"


def test_once_more_changes_nothing(desk, tmp_path):
    file = xlsx(tmp_path / "materials.xlsx", ENGLISH)
    desk.materials.bring_in(file)
    before = desk.materials.shelf.text
    again = {row[1]: row[2] for row in desk.materials.bring_in(file).rows}
    assert again["Kelp wax"] == "on the shelf already, left as it is"
    assert desk.materials.shelf.text == before


def test_a_german_list_with_decimal_commas(desk, tmp_path):
    file = text(
        tmp_path / "rohstoffe.csv",
        "Rohstoff;Funktion;INCI;Lieferant;Schmelzpunkt;Schmelzwärme;Dichte\n"
        "Kelpwachs;wax;Kelp Wax;Pier-Öle;62,5;180;0,98\n",
        "cp1252",
    )
    assert [row[2] for row in desk.materials.bring_in(file).rows] == ["taken"]
    wax = desk.materials.shelf.entry("Kelpwachs")
    assert (wax["supplier"], wax["melts"], wax["density"]) == ("Pier-Öle", "62.5 degC", "0.98 g/ml")
    assert wax["melting_heat"] == "180 J/g"


def test_a_sheet_without_such_headings_is_refused_in_one_sentence(desk, tmp_path):
    file = text(tmp_path / "notes.csv", "Monday;Tuesday\nstirred;cleaned\n")
    with pytest.raises(SheetUnreadable, match="no headings of a list of materials") as error:
        desk.materials.bring_in(file)
    assert "\n" not in str(error.value)
