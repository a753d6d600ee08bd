"""A sheet becomes a draft, and materials come from one: what was understood stands beside it, and what was not is put right."""

from __future__ import annotations

#: What a maker's own sheet of a formula may hold; the last share cannot be read.
KELP = "Zutat;Prozent\nPurified water;ad 100\nGlycerin;4,5\nSunflower oil;7-8\n"
A_RECIPE = ("Recipes", "New recipe", "From a spreadsheet")


def opened(pilot, file, text, way=A_RECIPE):
    """A sheet in its folder, opened by touch."""
    folder = pilot.desk.sheets_folder
    folder.mkdir()
    (folder / file).write_text(text, encoding="utf-8")
    for words in (*way, file):
        pilot.press(words)


def shares_of_the_draft(pilot):
    for words in ("Enter", "leave-on", "Back"):
        pilot.press(words)
    return [x.row.share for x in pilot.desk.draft("kelp").lines]


def test_a_sheet_is_shown_beside_what_was_understood_and_becomes_a_draft(pilot):
    opened(pilot, "kelp.csv", KELP)
    said = pilot.words()
    assert "7-8" in said
    assert "cannot be read" in said
    pilot.press("Leave that row out")
    assert shares_of_the_draft(pilot) == ["rest, 95.5 %", "4.5 %", "no share yet"]


def test_an_amount_that_cannot_be_read_is_typed_and_the_sheet_says_so(pilot):
    opened(pilot, "kelp.csv", KELP)
    for words in ("Type row 4", *"7.5", "Enter"):
        pilot.press(words)
    assert "7.5 %" in pilot.words()
    assert "B4: 7.5 was typed; the sheet says '7-8'." in pilot.words()
    pilot.press("Take it")
    assert shares_of_the_draft(pilot) == ["rest, 88 %", "4.5 %", "7.5 %"]


def test_columns_taken_wrongly_are_put_right(pilot):
    rows = ["Zutat;Teile;Prozent", "Glycerin;10;4,5", "Sunflower oil;20;7", "Purified water;170;88,5"]
    opened(pilot, "kelp.csv", "\n".join(rows))
    assert "amounts taken for percent" in pilot.words()
    pilot.press("Change columns")
    assert "B: nothing that is wanted" in pilot.words()
    pilot.go("B:")
    pilot.press("the amounts")
    assert "amounts taken for parts" in pilot.words()
    assert "85 %" in pilot.words()
    pilot.press("Change columns")
    pilot.go("B:")
    pilot.press("nothing that is wanted")
    assert "has to be said which column holds the names and which the amounts" in pilot.words()
    pilot.go("C:")
    pilot.press("the amounts")
    assert "88.5 %" in pilot.words()


def test_a_sheet_nobody_can_make_out_is_explained_column_by_column(pilot):
    opened(pilot, "odd.csv", "x;Glycerin;fat\ny;Sunflower oil;fat\n1;2;3\n")
    assert "Which column holds what?" in pilot.words()
    pilot.press("Back")
    assert "odd.csv" in pilot.presses()


def test_materials_come_from_a_sheet(pilot):
    text = "Material,Role,INCI,Melts\nKelp wax,wax,Laminaria Wax,61\nGlycerin,humectant,Glycerin,\n"
    opened(pilot, "stock.csv", text, ("Recipes", "Materials", "Add materials", "From a sheet"))
    assert "Kelp wax, taken" in pilot.words()
    pilot.press("Back")
    assert pilot.desk.materials.shelf.entry("Kelp wax")["melts"] == "61 degC"
