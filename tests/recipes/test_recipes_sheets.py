"""Fourteen sheets of different shapes, read by the libraries makers' programs write for; and what can't be read is named."""

import io
import os
import tomllib
import zipfile

import openpyxl
import pytest
import sheet_samples as samples
from recipe_samples import errors_of, text_of

from benchapp.recipes.draft import BatchSizes, Draft
from benchapp.recipes.errors import SheetUnreadable
from benchapp.recipes.formula_sum import rows_of, sum_of
from benchapp.recipes.material_shelf import read_shelf, take_over
from benchapp.recipes.sheets.amounts import Amount, amount_in
from benchapp.recipes.sheets.drafting import draft_from
from benchapp.recipes.sheets.printing import PrintedFormula, as_csv, as_xlsx
from benchapp.recipes.sheets.sheet_cells import read_cells
from benchapp.recipes.sheets.understanding import understand

SIZES = BatchSizes("500 g", "400 g", "900 g")


@pytest.mark.parametrize("make", samples.TIDY, ids=lambda make: make.__name__)
def test_every_tidy_sheet_says_the_same_formula(make, tmp_path):
    found = understand(read_cells(make(tmp_path))[0])
    assert found.unreadable == ()
    lines = [x for x in found.lines if x.word != "as needed"]
    names = [x.name.removesuffix(", as bought") for x in lines]
    assert names == [n for _, n, _, _ in samples.KELP]
    for line, (_, _, _, share) in zip(lines, samples.KELP, strict=True):
        assert line.percent == share or line.word == "rest"
    assert found.total == 100.0 or any(x.word == "rest" for x in lines)


@pytest.mark.parametrize(
    ("make", "unit"),
    [
        (samples.tidy_english, "percent"), (samples.percent_cells, "fractions"), (samples.literal_percent, "percent"),
        (samples.german_grams, "grams"), (samples.french_csv, "percent"), (samples.parts, "parts"), (samples.phase_once, "percent"),
        (samples.no_heading, "percent"), (samples.grams_to_a_total, "grams"),
    ],
)  # fmt: skip
def test_what_the_amounts_are_is_recognised(make, unit, tmp_path):
    assert understand(read_cells(make(tmp_path))[0]).unit == unit


@pytest.mark.parametrize(
    ("make", "phases"),
    [
        (samples.tidy_english, ["water", "water", "oil", "oil", "cool-down"]),
        (samples.german_grams, ["Wasserphase", "Wasserphase", "Fettphase", "Fettphase", "C"]),
        (samples.phase_once, ["water", "water", "oil", "oil", "cool-down"]),
        (samples.english_csv, ["water", "water", "oil", "oil", "cool-down"]),
        (samples.parts, [""] * 5),
    ],
)
def test_phases_come_from_their_column_or_from_sub_headings(make, phases, tmp_path):
    assert [x.phase for x in understand(read_cells(make(tmp_path))[0]).lines] == phases


def test_titles_roles_and_columns_that_were_left_out(tmp_path):
    assert understand(read_cells(samples.german_grams(tmp_path))[0]).title == "Tang-Lotion"
    found = understand(read_cells(samples.phase_once(tmp_path))[0])
    assert [x.role for x in found.lines] == ["water", "humectant", "oil", "emulsifier", "preservative"]
    assert found.columns == (
        ("phase", '"Phase"'),
        ("name", '"Ingredient"'),
        ("role", '"Function"'),
        ("amount", '"%"'),
    )
    assert found.notes == ("Left out: Supplier, Price, g for 1 kg.",)


def test_columns_that_a_person_says_count_and_the_rest_is_found(tmp_path):
    sheet = read_cells(samples.phase_once(tmp_path))[
        0
    ]  # Phase, Ingredient, Function, Supplier, Price, %, g for 1 kg
    heads = [str(cell) for cell in sheet.rows[0]]
    found = understand(sheet, "", {"amount": heads.index("g for 1 kg"), "phase": -1})
    assert found.unit == "grams"
    assert [x.phase for x in found.lines] == [""] * 5
    assert [x.percent for x in found.lines] == [share for _, _, _, share in samples.KELP]
    assert ("amount", '"g for 1 kg"') in found.columns
    assert found.notes == ("Left out: Phase, Supplier, Price, %.",)
    with pytest.raises(SheetUnreadable, match="which column holds the names"):
        understand(sheet, "", {"amount": -1})


def test_a_messy_sheet_is_understood_as_far_as_it_goes(tmp_path):
    sheets = read_cells(samples.messy(tmp_path))
    assert [(s.name, s.hidden) for s in sheets] == [("Formula", False), ("old prices", True)]
    found = understand(sheets[0])
    assert [(x.name, x.phase, x.percent) for x in found.lines] == [
        ("Purified water", "A - water phase", 82.5), ("Glycerin", "A - water phase", 4.0), ("Sunflower oil", "B - oil phase", None),
        ("Emulsifying wax", "B - oil phase", 5.6), ("Preservative blend", "C", 0.9),
    ]  # fmt: skip
    assert found.unreadable == (("E10", '"7-8 %" is no amount'), ("C12", "no name stands beside 0.3"))
    assert found.title == "Kelp lotion no. 4, tried in spring"
    assert found.notes == ("2 rows of text are no ingredients and were left out.",)


def test_a_sheet_in_fractions_that_lacks_something_is_still_in_fractions_and_a_volume_is_no_weight(tmp_path):
    rows = [("Ingredient", "%"), ("Purified water", 0.8), ("Glycerin", 0.05), ("Sunflower oil", "5 ml")]
    found = understand(
        read_cells(samples.xlsx(tmp_path / "less.xlsx", rows, {(1, 1): "0%", (2, 1): "0%"}))[0]
    )
    assert (found.unit, found.total) == ("fractions", 85.0)
    assert found.unreadable == (("B4", '"5 ml" is a volume: give its weight'),)


def shares(tmp_path, *rows):
    found = understand(read_cells(samples.xlsx(tmp_path / "units.xlsx", rows))[0])
    return found, {x.name: x.percent for x in found.lines}


def test_an_amount_in_another_unit_is_not_counted_as_if_it_were_in_that_of_its_column(tmp_path):
    found, percent = shares(
        tmp_path, ("Ingredient", "Amount"), ("Water", "450 g"), ("Oil", "7 %"), ("Wax", "0.05 kg")
    )
    assert percent == {"Water": 90.0, "Oil": None, "Wax": 10.0}
    assert found.unreadable == (("B3", '"7 %" does not go with the others, which are grams'),)
    found, percent = shares(tmp_path, ("Ingredient", "%"), ("Water", 90.0), ("Oil", "7 g"), ("Wax", "3 %"))
    assert percent == {"Water": 90.0, "Oil": None, "Wax": 3.0}
    assert found.unreadable == (("B3", '"7 g" does not go with the others, which are percent'),)


def understood(tmp_path, content):
    found = understand(read_cells(samples.text(tmp_path / "sheet.csv", content))[0])
    return found, {x.name: x.percent for x in found.lines}


def test_small_shares_beside_the_rest_are_percent_where_the_sheet_says_so(tmp_path):
    """A toner is nearly all water: what else is in it comes to less than 1 %, and is no 0.6 of the whole."""
    found, percent = understood(tmp_path, "Ingredient;%\nWater;rest\nPreservative;0,6\nAloe powder;0,2\n")
    assert (found.unit, percent["Preservative"]) == ("percent", 0.6)
    found, percent = shares(tmp_path, ("Ingredient", "%"), ("Water", "q.s. to 100"), ("Preservative", 0.6))
    assert (found.unit, percent["Preservative"]) == ("percent", 0.6)
    found, percent = shares(tmp_path, ("Ingredient", "%"), ("Water", "rest"), ("Oil", 0.2))
    assert (found.unit, percent["Oil"]) == ("fractions", 20.0)
    assert found.notes == ("The numbers come to 0.2 and were taken for fractions of 1, 0.5 for 50 %.",)


@pytest.mark.parametrize("water", ["1,000", "1.000", "1,250 g"])
def test_thousands_that_may_be_decimals_are_asked_for(water, tmp_path):
    found, percent = understood(tmp_path, f"Ingredient;g\nWater;{water}\nOil;50\n")
    assert percent["Water"] is None
    assert found.unreadable == (("B2", f'"{water}" may be thousands or have decimals: type the number'),)
    assert any("the shares are those of the others alone" in x for x in found.notes)


def test_thousands_that_make_no_difference_are_not_asked_for(tmp_path):
    _, percent = understood(tmp_path, "Ingredient;g\nWater;90.000\nOil;10.000\n")
    assert percent == {"Water": 90.0, "Oil": 10.0}


def test_a_material_with_a_word_of_sums_in_its_name_is_not_lost(tmp_path):
    found, percent = understood(
        tmp_path, "Ingredient;%\nWater;89\nTotal tocopherols;5\nTotal oils;1-2\nOil;5\nTotal of phase A;99\n"
    )
    assert percent == {"Water": 89.0, "Total tocopherols": 5.0, "Total oils": None, "Oil": 5.0}
    found, percent = understood(tmp_path, "Ingredient;%\nWater;90\nOlive oil;5\nPalm oil;5\nTotal oils;10\n")
    assert percent == {"Water": 90.0, "Olive oil": 5.0, "Palm oil": 5.0}
    assert "Left out as a sum: Total oils." in found.notes


def test_what_the_rest_goes_up_to_is_in_the_unit_of_its_column_or_its_own(tmp_path):
    assert understood(tmp_path, "Ingredient;kg\nWater;ad 2\nOil;0.1\n")[1]["Oil"] == 5.0
    for total in ("q.s. to 100 %", "ad 100 ml"):
        found, _ = understood(tmp_path, f"Ingredient;g\nWater;{total}\nOil;50\nWax;25\n")
        assert any("not to be relied on" in x for x in found.notes)


def test_units_stand_in_the_heading_in_a_column_or_in_a_cell(tmp_path):
    _, percent = shares(tmp_path, ("Rohstoff", "Menge [kg]"), ("Wasser", 0.825), ("Öl", "175 g"))
    assert percent == {"Wasser": 82.5, "Öl": 17.5}
    _, percent = shares(tmp_path, ("Item", "Qty", "Unit"), ("Water", 900, "g"), ("Oil", 0.1, "kg"))
    assert percent == {"Water": 90.0, "Oil": 10.0}
    _, percent = shares(tmp_path, ("Ingredient", "Weight"), ("Water", "1 lb"), ("Oil", "16 oz"))
    assert percent == {"Water": 50.0, "Oil": 50.0}


@pytest.mark.parametrize(
    ("heading", "cells", "oil"),
    [
        ("grams", ("1,850.5", "1,149.5"), 38.3167), ("grams", ("1.850,5", "1.149,5"), 38.3167),
        ("Menge g", ("60,0", "1.140"), 95.0), ("grams", ("60.0", "1,140"), 95.0),
        ("grams", ("98,860", "1,140"), 1.14), ("%", ("98,860", "1.140"), 1.14),
    ],
)  # fmt: skip
def test_a_mark_between_thousands_is_known_by_the_rest_of_its_column(tmp_path, heading, cells, oil):
    _, percent = shares(tmp_path, ("Ingredient", heading), ("Water", cells[0]), ("Oil", cells[1]))
    assert percent["Oil"] == oil


@pytest.mark.parametrize("amounts", [(0, 0), ("0 g", "0 g")])
def test_a_sheet_of_nothing_is_no_formula(tmp_path, amounts):
    with pytest.raises(SheetUnreadable, match="no ingredient with an amount"):
        shares(tmp_path, ("Ingredient", "grams"), *zip(("Water", "Oil"), amounts, strict=True))


def test_what_nobody_could_weigh_is_no_amount(tmp_path):
    found, _ = shares(tmp_path, ("Ingredient", "%"), ("Water", "9" * 400), ("Oil", 7), ("Wax", 93))
    assert [where for where, _ in found.unreadable] == ["B2"]


def test_a_messy_csv(tmp_path):
    found = understand(read_cells(samples.messy_csv(tmp_path))[0])
    assert [(x.name, x.percent, x.word) for x in found.lines] == [
        ("Purified water", None, "rest"), ("Glycerin", 4.0, ""), ("Sunflower oil", 7.0, ""), ("Emulsifying wax", 5.6, ""),
        ("Preservative blend", 0.9, ""), ("Xanthan gum", None, ""),
    ]  # fmt: skip
    assert found.unreadable == (("C10", '"etwas" is no amount'),)


def test_what_it_was_taken_for_can_be_said_otherwise(tmp_path):
    sheet = read_cells(samples.no_heading(tmp_path))[0]
    assert understand(sheet).notes == (
        "No heading says what the numbers are; they total 100 and were taken for percent.",
    )
    assert understand(sheet, "grams").unit == "grams"
    assert understand(sheet, "grams").notes == ()


# --- what can't be read ----------------------------------------------------------------------------------


def far_apart(folder):
    """Two cells at the corners of a sheet: 17,000 million between them."""
    path = folder / "far.xlsx"
    samples.xlsx(path, [("a",)])
    with zipfile.ZipFile(path) as old:
        parts = {n: old.read(n) for n in old.namelist()}
    sheet = parts["xl/worksheets/sheet1.xml"]
    far = b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>'
    parts["xl/worksheets/sheet1.xml"] = sheet.replace(b"</sheetData>", far)
    with zipfile.ZipFile(path, "w") as new:
        for name, data in parts.items():
            new.writestr(name, data)
    return path


def test_two_cells_far_apart_end_no_process_of_ours(tmp_path):
    with pytest.raises(SheetUnreadable, match=r"far.xlsx is far too large, or has a cell far away"):
        read_cells(far_apart(tmp_path))


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"PK\x03\x04 half of it", "is damaged"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + b"old", "of an old kind, or one with a password"),
        (b"\x89PNG\r\n\0\0", "is no spreadsheet"),
        (b"", "no column of names with amounts"),
        (b"\n\n\n", "no column of names with amounts"),
        (b"just some words\nand more of them\n", "no column of names with amounts"),
        (b"Ingredient;Percent\n", "no ingredient with an amount"),
        (b"a" * (8 * 2**20 + 1), "more than a formula"),
    ],
)
def test_what_is_no_formula_is_one_sentence(content, sentence, tmp_path):
    path = tmp_path / "odd.xlsx"
    path.write_bytes(content)
    with pytest.raises(SheetUnreadable, match=sentence) as error:
        understand(read_cells(path)[0])
    assert "\n" not in str(error.value)


def test_a_zip_that_is_no_workbook_and_a_file_that_is_none(tmp_path):
    with zipfile.ZipFile(tmp_path / "zip.ods", "w") as packed:
        packed.writestr("mimetype", "nothing")
    with pytest.raises(SheetUnreadable, match="is no workbook that can be read"):
        read_cells(tmp_path / "zip.ods")
    with pytest.raises(SheetUnreadable, match="There is no file"):
        read_cells(tmp_path / "none.csv")
    os.mkfifo(tmp_path / "pipe.csv")
    with pytest.raises(SheetUnreadable, match="There is no file"):
        read_cells(tmp_path / "pipe.csv")


@pytest.mark.parametrize(
    ("cell", "amount"),
    [
        (5, Amount(5.0)), (0.05, Amount(0.05)), ("7,5", Amount(7.5)), ("7.5 %", Amount(7.5, "%")), ("1.234,5 g", Amount(1234.5, "g")),
        ("1,234.5", Amount(1234.5)), ("1 234,5", Amount(1234.5)), ("0,5 kg", Amount(500.0, "g")), ("3 Teile", Amount(3.0, "parts")),
        ("ad 100", Amount(word="rest", total=100.0)), ("q.s. to 100 %", Amount(word="rest", total=100.0, unit="%")), ("QSP 100", Amount(word="rest", total=100.0)),
        ("Rest", Amount(word="rest")), ("q.s.", Amount(word="as needed")), ("nach Bedarf", Amount(word="as needed")), (".5", Amount(0.5)),
        ("7-8", None), ("a lot", None), (True, None), (None, None), (-1.0, None), ("1.2.3", None), ("", None), ("5 bananas", None),
    ],
)  # fmt: skip
def test_amounts(cell, amount):
    assert amount_in(cell) == amount


# --- into a draft, and out again -------------------------------------------------------------------------


def test_a_sheet_becomes_a_draft_with_what_the_shelf_knows(tmp_path):
    shelf = take_over(read_shelf(tmp_path), tomllib.loads(text_of("oat-hand-lotion"))).shelf
    found = understand(read_cells(samples.rest(tmp_path))[0])
    draft, unknown = draft_from(found, "Kelp lotion", "leave-on", SIZES, shelf)
    assert unknown == ()
    assert sum_of(draft).sentence == "So far 17.5 %. Purified water fills up the other 82.5 %."
    assert [(r.name, r.phase) for r in rows_of(draft)][-2:] == [
        ("Preservative blend", "cool-down"),
        ("Citric acid solution 10 %", "pH"),
    ]
    assert draft.tables["formula"]["ingredient"][3]["melts"] == "60 degC"
    assert {
        rule
        for rule, sentence in errors_of(draft.text)
        if "step" not in sentence and "vessel" not in sentence
    } == {"form"}


def test_what_the_shelf_does_not_know_is_named_and_twice_is_told_apart(tmp_path):
    path = samples.text(
        tmp_path / "twice.csv",
        "Ingredient;INCI;%\nSpring water;Aqua;60\nKelp gum;;10\nSpring water;Aqua;30\n",
    )
    draft, unknown = draft_from(
        understand(read_cells(path)[0]), "Twice", "leave-on", SIZES, read_shelf(tmp_path)
    )
    assert unknown == ("Spring water", "Kelp gum")
    assert [(r.name, r.percent) for r in rows_of(draft)] == [
        ("Spring water", 60.0),
        ("Kelp gum", 10.0),
        ("Spring water (2)", 30.0),
    ]
    assert draft.tables["material"] == [{"name": "Spring water", "inci": "Aqua"}]


def test_a_printed_sheet_is_the_same_bytes_and_comes_in_again(tmp_path):
    printed = PrintedFormula(Draft(text_of("oat-hand-lotion")), 500.0, "first version", "2026-03-01")
    assert as_xlsx(printed) == as_xlsx(printed)
    (tmp_path / "out.xlsx").write_bytes(as_xlsx(printed))
    (tmp_path / "out.csv").write_bytes(as_csv(printed))
    expected = [(r.name, r.percent) for r in rows_of(printed.draft) if r.percent is not None]
    for name in ("out.xlsx", "out.csv"):
        found = understand(read_cells(tmp_path / name)[0])
        assert [(x.name, x.percent) for x in found.lines if x.percent is not None] == expected
        assert found.title == "Oat and sea-buckthorn hand lotion"
    sheet = openpyxl.load_workbook(io.BytesIO(as_xlsx(printed))).active
    assert sheet["A2"].value == "first version, printed 2026-03-01, for 500 g"
    glycerin = next(row for row in sheet.iter_rows() if row[0].value == "Glycerin")
    assert (glycerin[1].value, glycerin[2].value) == (4.0, 20.0)
    assert sheet.print_options is not None
    assert sheet.page_setup.fitToHeight == 0


def test_text_that_looks_like_a_formula_stays_text(tmp_path):
    text = text_of("oat-hand-lotion").replace('name = "Glycerin"', 'name = "=1+1"')
    cell = next(
        row[0] for row in openpyxl.load_workbook(io.BytesIO(as_xlsx(PrintedFormula(Draft(text), 500.0, "v", "d")))).active.iter_rows()
        if row[0].value == "=1+1"
    )  # fmt: skip
    assert cell.data_type == "s"
