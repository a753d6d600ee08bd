"""The shelf of materials: entered once, taken over from procedures, and nothing guessed."""

import tomllib

import pytest
from recipe_samples import MATERIALS, text_of

from benchapp.recipes.draft import materials_of
from benchapp.recipes.errors import ChangeRefused, NoSuchRecipe
from benchapp.recipes.material_shelf import (
    FILE,
    ShelfMaterialTable,
    differences,
    for_recipe,
    hazards_known,
    keep_shelf,
    read_shelf,
    take_over,
    with_material,
)  # fmt: skip
from procedures.schema import MaterialTable

KELP = {"name": "Kelp extract", "inci": "Laminaria Digitata Extract", "role": "active", "below": "40 degC"}


def test_the_fields_are_those_of_a_procedure_with_supplier_and_price():
    assert set(ShelfMaterialTable.model_fields) - set(MaterialTable.model_fields) == {"supplier", "price"}


def test_a_material_is_entered_and_changed(tmp_path):
    shelf = with_material(
        read_shelf(tmp_path), {**KELP, "supplier": "Quay Supplies", "price": "12.40 EUR/kg"}
    )
    keep_shelf(tmp_path, shelf)
    assert read_shelf(tmp_path).entries["kelp-extract"]["price"] == "12.40 EUR/kg"
    path = tmp_path / FILE
    path.write_text(path.read_text().replace('below = "40 degC"', 'below = "40 degC" # from its papers'))
    shelf = with_material(
        read_shelf(tmp_path), {"name": "Kelp Extract", "below": "45 degC", "supplier": None}
    )
    assert 'below = "45 degC" # from its papers' in shelf.text
    assert "supplier" not in shelf.entries["kelp-extract"]
    with pytest.raises(NoSuchRecipe, match='Did you mean "Kelp Extract"'):
        shelf.entry("Kelp extrct")


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"below": "40"}, '"40" has no unit'),
        ({"melts": "60 C"}, "alone is not a unit of temperature"),
        ({"price": "12"}, "This is no price"),
        ({"price": "12.40 EUR"}, 'like "12.40 EUR/kg"'),
        ({"statements": "H318"}, "statements is a list"),
        ({"role": "magic"}, "role cannot be that"),
        ({"colour": "red"}, "There is no field colour"),
        ({"inci": None}, "needs either inci or composition"),
        ({"melting_heat": "5 J/g", "melts": "60 degC"}, "lie between 20 and 350 J/g"),
        ({"name": "…"}, "A material needs a name with a letter"),
        ({"use_limit": "5"}, "has no unit"),
    ],
)
def test_bad_input_is_one_sentence_and_changes_nothing(tmp_path, fields, sentence):
    shelf = read_shelf(tmp_path)
    with pytest.raises(ChangeRefused, match=sentence) as error:
        with_material(shelf, {**KELP, **fields})
    assert "\n" not in str(error.value)


def test_all_materials_of_a_procedure_come_over_in_one_call(tmp_path):
    tables = tomllib.loads(text_of("oat-hand-lotion"))
    taken = take_over(read_shelf(tmp_path), tables)
    assert len(taken.new) == len(materials_of(tables)) == len(taken.shelf.entries)
    keep_shelf(tmp_path, taken.shelf)
    again = take_over(read_shelf(tmp_path), tables)
    assert (again.new, again.otherwise) == ((), ())
    assert again.shelf.text == taken.shelf.text
    for key, fields in taken.shelf.entries.items():
        assert for_recipe(fields) == MATERIALS[key] or key in ("chelator-solution",)


def test_what_the_shelf_says_otherwise_stays_and_is_named(tmp_path):
    shelf = with_material(read_shelf(tmp_path), {**MATERIALS["shea-butter"], "melts": "36 degC"})
    taken = take_over(shelf, tomllib.loads(text_of("oat-hand-lotion")))
    assert taken.otherwise == ("Shea butter",)
    assert taken.shelf.entries["shea-butter"]["melts"] == "36 degC"
    assert differences(taken.shelf.entries["shea-butter"], MATERIALS["shea-butter"]) == ("melts",)


def test_hazards_are_known_by_an_entered_sheet_alone():
    assert not hazards_known(KELP)
    assert not hazards_known({**KELP, "statements": []})
    assert hazards_known(MATERIALS["preservative-blend"])
    assert hazards_known(MATERIALS["purified-water"])


def test_a_shelf_spoiled_by_hand_is_said_with_its_line(tmp_path):
    (tmp_path / FILE).write_text('[[material]]\nname = "Kelp"\nmelts = 40 degC\n')
    with pytest.raises(ChangeRefused, match=r"materials.toml:3:"):
        read_shelf(tmp_path)
    (tmp_path / FILE).write_text('[[material]]\nname = "Kelp"\nmelts = 40\n')
    assert any("materials.toml:3:9: melts: 40 has no unit" in x for x in read_shelf(tmp_path).problems)
