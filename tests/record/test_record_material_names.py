"""A material that is received by its name: known, mistyped, or of one's own."""

from __future__ import annotations

import pytest


def receive(desk, lot, material, *more):
    return desk("lot", "receive", lot, material, "1 kg", "--by", "Mara", *more)


def test_a_material_is_received_by_its_name_or_its_key(desk):
    assert "1 000.0 g of Glycerin received" in receive(desk, "g-1", "glycerin")[1]
    code, said = receive(desk, "g-2", "Citric acid solution 10 %")
    assert (code, "Citric acid solution 10 %" in said) == (0, True), said
    listed = desk("lot", "list")[1]
    assert "citric-acid-solution-10" in listed
    for asked in ("Citric acid solution 10 %", "citric-acid-solution-10"):
        assert "g-2" in desk("lot", "list", asked)[1]
        assert "g-1" not in desk("lot", "list", asked)[1]
    assert (
        "No lot of glycerol is here. All there are: benchapp lot list." in desk("lot", "list", "glycerol")[1]
    )


@pytest.mark.parametrize("typed", ["glycerine", "sunflwer oil", "Sunflower-oils"])
def test_a_mistyped_material_is_not_taken_and_near_ones_are_offered(desk, typed):
    code, said = receive(desk, "x-1", typed)
    assert (code, f"No material is called {typed!r}. Is it one of" in said) == (3, True)
    assert ("glycerin (Glycerin)" if typed.startswith("g") else "sunflower-oil (Sunflower oil)") in said
    assert "No lot is here" in desk("lot", "list")[1]


def test_a_material_of_ones_own_is_taken_as_it_is_and_known_from_then_on(desk):
    assert receive(desk, "s-1", "glycerine", "--new-material")[0] == 0
    assert receive(desk, "s-2", "glycerine")[0] == 0
    assert "first lot of zinc-oxide" in receive(desk, "z-1", "zinc-oxide")[1]


@pytest.mark.parametrize("more", [(), ("--new-material",)])
def test_a_material_that_only_ones_own_recipe_names_stands_under_the_key_that_recipe_gives_it(desk, more):
    from procedures.building import slug

    assert (
        "of Jojoba oil, cold pressed received" in receive(desk, "j-1", "Jojoba oil, cold pressed", *more)[1]
    )
    assert slug("Jojoba oil, cold pressed") in desk("lot", "list")[1]


def test_house_water_is_received_on_tap(desk):
    args = ("lot", "receive", "house water", "Purified water", "on tap", "--by", "Mara")
    assert "needs the place it comes from" in desk(*args)[1]
    assert "Purified water on tap" in desk(*args, "--supplier", "own still")[1]
