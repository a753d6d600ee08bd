"""A recipe from its first line to a procedure that is made, in the terminal; and one sentence for whatever is wrong."""

import shutil

import pytest
import sheet_samples as samples
from one_command import command

from procedures.shelf import find, shipped


def one_in(folder):
    def one(*words, code=0):
        done = command(*words, "--data", str(folder))
        assert done.returncode == code, (done.stdout, done.stderr)
        if code:
            assert done.stderr.count("\n") == 1, done.stderr
        return done.stdout or done.stderr

    return one


@pytest.fixture(scope="module")
def kelp_folder(tmp_path_factory):
    """A draft of a lotion of materials on the shelf, without a method."""
    folder = tmp_path_factory.mktemp("kelp")
    run = one_in(folder)
    run("material", "take-over", "oat-hand-lotion")
    run("recipe", "begin", "Kelp lotion")
    for name, share in (
        ("Purified water", "rest"), ("Glycerin", "4"), ("Sunflower oil", "7,5"), ("Emulsifying wax", "5.6 %"), ("Preservative blend", "0.9"),
        ("Citric acid solution 10 %", "as needed, 0.5 %"),
    ):  # fmt: skip
        run("recipe", "line", "kelp-lotion", name, share)
    return folder


@pytest.fixture
def run(tmp_path):
    return one_in(tmp_path / "data")


@pytest.fixture
def kelp(kelp_folder, tmp_path):
    shutil.copytree(kelp_folder, tmp_path / "data")
    return "kelp-lotion"


def test_a_recipe_is_written_given_a_method_and_made(run, kelp, tmp_path):
    said = run("recipe", "ask", kelp)
    assert said.startswith("Between which pH values has the product to be?")
    assert "How much goes into one container?" in run("recipe", "ask", kelp, "5.0 to 5.8")
    assert "Nothing is left to ask" in run("recipe", "ask", kelp, "100 g")
    said = run("recipe", "write", kelp)
    assert "can be made." in said
    assert "Heat until all is melted (heat)" in said
    assert "is saved as" in run("recipe", "save", kelp)
    assert "Kelp lotion can be made." in run("check", "kelp-lotion")
    assert "Purified water" in run("plan", "kelp-lotion")
    assert "kelp-lotion" in run("recipe", "list")


def test_what_keeps_the_method_back_is_named_and_not_the_method(run, kelp):
    """A recipe that was begun here has nothing above its first heading: what the file lacks is no fault of its formula."""
    run("recipe", "line", kelp, "Glycerin", "400")
    assert "400 is no sensible percentage" in run("recipe", "ask", kelp, code=3)
    assert "400 is no sensible percentage" in run("recipe", "write", kelp, code=3)
    said = run("recipe", "line", kelp, "Glycerin", "4")
    assert "Kelp lotion: no method yet." in said
    assert "no method yet" in run("recipe", "list")
    assert run("recipe", "save", kelp, code=3) == "It has no method yet. Have one proposed, then save it.\n"


def test_in_german_a_recipe_without_a_method_is_not_blamed_for_it(run, kelp, english_again):
    run("language", "de")
    assert "noch kein Verfahren" in run("recipe", "show", kelp)
    said = run("recipe", "show", kelp)
    assert "Die Datei" not in said
    assert "die Gefahren sind nicht bekannt" in said
    run("recipe", "ask", kelp, "5.0 to 5.8")
    asked = run("recipe", "ask", kelp)
    assert "hier wird nicht abgefüllt" in asked
    assert "fill" not in asked
    run("recipe", "ask", kelp, "hier wird nicht abgefüllt")
    assert "(fill)" not in run("recipe", "write", kelp)


def test_yes_or_no_is_one_of_the_two(run, kelp):
    for answer in ("5.0 to 5.8", "100 g"):
        run("recipe", "ask", kelp, answer)
    heat = next(x for x in run("recipe", "write", kelp).splitlines() if "(heat)" in x).split(".")[0]
    assert run("recipe", "step", kelp, heat, "bath", "perhaps", code=3) == "bath: write yes or no.\n"
    gone, now = run("recipe", "step", kelp, heat, "bath", "no").splitlines()[:2]
    assert ("in a water bath" in gone, "in a water bath" in now) == (True, False)


@pytest.mark.parametrize("field", ["powder", "flammable"])
def test_what_brings_a_caution_is_never_taken_for_no(run, field, english_again):
    """A slip of the fingers is no statement that something is no dust, or does not burn."""
    run("material", "take-over", "tide-pool-gel")
    name = "Xanthan gum" if field == "powder" else "Denatured alcohol"
    assert run("material", "set", name, f"{field}=ys", code=3) == f"{field}: write yes or no.\n"

    def shown():
        return [x.split() for x in run("material", "show", name).splitlines()]

    assert [field, "yes"] in shown()
    run("language", "de")
    run("material", "set", name, f"{field}=nein")
    assert [field, "ja"] not in shown()
    run("material", "set", name, f"{field}=ja")
    assert [field, "ja"] in shown()


def test_a_step_is_changed_moved_added_removed_and_undone(run, kelp):
    for answer in ("5.0 to 5.8", "100 g"):
        run("recipe", "ask", kelp, answer)
    before = run("recipe", "write", kelp)
    heat = next(line for line in before.splitlines() if "(heat)" in line).split(".")[0]
    assert "to 76" in run("recipe", "step", kelp, heat, "band", "71 to 76 degC")
    assert "The method does not begin with a clean bench" in run("recipe", "step", kelp, "1", "down")
    run("recipe", "undo", kelp)
    assert run("recipe", "show", kelp).replace("71 to 76 °C", "70 to 75 °C") == before
    assert "Now: 3. Look (look)" in run("recipe", "step", kelp, "3", "add", "look")
    assert "Gone: 3. Look (look)" in run("recipe", "step", kelp, "3", "remove")
    assert "Now: 3. Look (look)" in run("recipe", "undo", kelp)
    assert "Gone: 3. Look (look)" in run("recipe", "redo", kelp)


def test_a_change_says_what_it_came_to_and_the_sum_and_not_all_of_the_recipe(run, kelp):
    run("recipe", "ask", kelp, "5.0 to 5.8")
    run("recipe", "ask", kelp, "100 g")
    run("recipe", "write", kelp)
    said = run("recipe", "line", kelp, "Glycerin", "3")
    assert "Gone: water, Glycerin: 4 %" in said
    assert "Now: water, Glycerin: 3 %" in said
    assert "Sunflower oil" not in said
    assert said.splitlines()[-3:] == [
        "So far 17 %. Purified water fills up the other 83 %.",
        "Kelp lotion: can be made.",
        "All of it: benchapp recipe show kelp-lotion",
    ]
    first, second = run("recipe", "step", kelp, "2", "down").splitlines()[:2]
    assert (first[:7], second[:7]) == ("Now: 2.", "Now: 3.")


def test_it_is_scaled_and_its_vessels_are_those_that_are_there(run, kelp):
    for answer in ("5.0 to 5.8", "100 g"):
        run("recipe", "ask", kelp, answer)
    run("recipe", "write", kelp)
    assert "four fifths" in run("recipe", "size", kelp, "--largest", "4 kg")
    assert "four fifths" in run("recipe", "vessel", kelp, "Water pot", "2 l")
    run("recipe", "vessel", kelp, "oil pot", "1 l")
    assert "can be made." in run("recipe", "vessel", kelp, "water pot", "6 l")
    assert "There is no vessel 'bucket'" in run("recipe", "vessel", kelp, "bucket", "6 l", code=3)
    assert "bucket" in run("recipe", "vessel", kelp, "bucket", "6 l", "--new")


def test_an_oil_is_swapped_with_what_to_look_at(run, kelp):
    run(
        "material",
        "set",
        "Shore butter",
        "inci=Shorea Robusta Butter",
        "role=butter",
        "melts=36 degC",
        "price=18 EUR/kg",
    )
    said = run("recipe", "swap", kelp, "Sunflower oil", "Shore butter")
    assert said.splitlines()[:3] == [
        "Shore butter stands in the place of Sunflower oil.",
        "Shore butter melts at 36 degC: see that the heat band lies above it.",
        "Shore butter has no density on the shelf: it counts as 1 g/ml.",
    ]
    assert "The list of ingredients on the label changes" in said
    assert "its hazards are not known. Handle it as hazardous" in said


def test_materials_say_what_is_not_known_and_whom_a_change_touches(run):
    run("material", "take-over", "oat-hand-lotion")
    assert "hazards not known" in run("material", "list")
    said = run("material", "set", "Shea butter", "melts=37 degC", "supplier=Quay Supplies")
    assert "oat-hand-lotion uses it and says otherwise: melts." in said
    assert "winter-shore-cream uses it" in run("material", "touches", "shea-butter")
    assert "Quay Supplies" in run("material", "show", "Shea butter")
    run(
        "material",
        "set",
        "Panthenol 75",
        "role=active",
        "composition=Panthenol 74-77; Aqua 23-26",
        "ph_window=4 to 7",
        "powder=yes",
    )
    said = run("material", "show", "Panthenol 75")
    assert "4 to 7" in said
    assert "its hazards are not known" in said


def test_a_sheet_is_shown_confirmed_and_brought_in(run, tmp_path):
    path = samples.messy(tmp_path)
    assert "grams" in run("recipe", "import", str(samples.phase_once(tmp_path)), "--column", "amount=e")
    said = run("recipe", "import", str(path))
    assert '"7-8 %" is no amount' in said
    assert 'If that is right: --name "Kelp lotion no. 4, tried in spring" makes it a draft.' in said
    assert "Not on the shelf, so what they are has to be entered: Purified water" in run(
        "recipe", "import", str(path), "--name", "Kelp four"
    )
    assert "no share yet" in run("recipe", "show", "kelp-four")
    run("recipe", "start-from", "oat-hand-lotion", "--name", "My oat lotion")
    for name in ("out.xlsx", "out.csv"):
        assert "Written" in run(
            "recipe", "sheet", "my-oat-lotion", "--out", str(tmp_path / name), "--batch-size", "1 kg"
        )
        assert "Glycerin" in run("recipe", "import", str(tmp_path / name))


def test_what_a_sheet_calls_otherwise_than_the_shelf_is_said(run, tmp_path):
    """Another material of the same INCI name stood in its place, and another INCI name was dropped, without a word."""
    run("material", "take-over", "oat-hand-lotion")
    file = tmp_path / "oils.csv"
    file.write_text(
        "Ingredient;INCI;%\nPressed sunflower;Helianthus annuus seed oil;60\nShea butter;Shorea Robusta Butter;30\n"
        "Oat oil;AVENA SATIVA KERNEL OIL;10\n"
    )
    said = run("recipe", "import", str(file), "--name", "Oils")
    assert "Pressed sunflower is taken for Sunflower oil: the shelf has it under the same INCI name." in said
    assert "Shea butter: the sheet says Shorea Robusta Butter, the shelf Butyrospermum Parkii Butter" in said
    assert "Oat oil" not in said


def test_oil_in_capitals_and_small_letters_is_one_phase(run):
    run("material", "take-over", "oat-hand-lotion")
    run("recipe", "begin", "Balm")
    run("recipe", "line", "balm", "Sunflower oil", "60", "--phase", "Oil")
    assert "Oil, Oat oil: 10 %" in run("recipe", "line", "balm", "Oat oil", "10", "--phase", "oil ")
    assert "Oil    Shea butter" in run("recipe", "line", "balm", "Shea butter", "30") + run(
        "recipe", "show", "balm"
    )


def test_an_own_procedure_is_changed_and_a_hand_edit_is_kept(run, tmp_path):
    run("recipe", "start-from", "oat-hand-lotion", "--name", "My oat lotion")
    run("recipe", "save", "my-oat-lotion")
    file = tmp_path / "data" / "procedures" / "my-oat-lotion.toml"
    run("recipe", "start-from", "my-oat-lotion")
    file.write_text(file.read_text().replace('title = "Stir it cool"', 'title = "Stir it cold"'))
    run("recipe", "line", "my-oat-lotion-2", "Glycerin", "4.5")
    assert "changed in the file by hand is kept" in run("recipe", "save", "my-oat-lotion-2")
    text = file.read_text()
    assert 'title = "Stir it cold"' in text
    assert "percent = 4.5" in text
    file.write_text(text.replace("percent = 4.5", "percent = 4.6"))
    run("recipe", "line", "my-oat-lotion-2", "Glycerin", "4.7")
    assert "Nothing was written" in run("recipe", "save", "my-oat-lotion-2", code=3)
    assert "percent = 4.6" in file.read_text()
    assert "is saved as" in run("recipe", "save", "my-oat-lotion-2", "--as", "Oat three")


def test_from_a_past_batch(run, tmp_path):
    from benchapp.record.journal import Journal
    from benchapp.service.bench_service import BenchService

    journal = Journal(tmp_path / "data", lambda: "2026-03-01T09:00:00.000+01:00")
    shop = BenchService(journal, None, "Mara Lind", folder=tmp_path / "data")
    batch = shop.rehearse("oat-hand-lotion", 500.0).session.batch
    shop.end()
    journal.close()
    assert "can be made." in run("recipe", "start-from-batch", batch, "--name", "Again")
    assert "Again" in run("recipe", "show", "again")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("show", "none"), "There is no draft 'none'"),
        (("start-from", "oat-hand-lotion"), "stays as it is. Give yours another name"),
        (("start-from", "no-such"), "There is no procedure"),
        (("import", "none.xlsx"), "There is no file"),
        (("import", "none.xlsx", "--column", "price=D"), "Write one of name, amount, phase, inci, role"),
        (("write", "kelp-lotion"), "Before a method can be proposed"),
        (("ask", "kelp-lotion", "6 to 5"), "the lower one comes first"),
        (("ask", "kelp-lotion", "sour"), "is no pair of pH values"),
        (("line", "kelp-lotion", "Glycerin", "much"), "is no share"),
        (("line", "kelp-lotion", "Glycerin", "nan"), "is no share"),
        (("line", "kelp-lotion", "Glycerin", "1.234,5"), "is no share"),
        (("line", "kelp-lotion", "Glyzerin", "3"), 'Did you mean "Glycerin"'),
        (("line", "kelp-lotion", "Oat oil", "remove"), "is not in the formula"),
        (("swap", "kelp-lotion", "Glycerin", "Sunflower oil"), "is in the formula already"),
        (("step", "kelp-lotion", "4", "up"), "There is no step 4; the method has 0"),
        (("step", "kelp-lotion", "1", "add", "dance"), "There is no kind of step"),
        (("save", "kelp-lotion"), "It has no method yet"),
        (("save", "kelp-lotion", "--as", "Oat hand lotion"), "There is a procedure oat-hand-lotion already"),
        (("sheet", "kelp-lotion", "--out", "x.pdf"), "ends neither in .xlsx nor in .csv"),
        (("sheet", "kelp-lotion", "--out", "x.csv", "--batch-size", "much"), "is not one number"),
        (("sheet", "kelp-lotion", "--out", "x.csv", "--batch-size", "0 g"), '"0 g" is nothing'),
    ],
)
def test_bad_input_is_one_sentence(run, kelp, words, sentence):
    assert sentence in run("recipe", *words, code=3)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("set", "Kelp", "melts"), "is no field with a value"), (("set", "Kelp", "colour=red"), "There is no field colour"),
        (("set", "Kelp", "role=oil"), "needs either inci or composition"), (("show", "Kelp"), 'There is no material "Kelp"'),
        (("set", "Glycerin", "sheet_revised=May"), "'May' is no date"), (("set", "Glycerin", "sheet_revised=5"), "'5' is no date"),
        (("set", "Glycerin", "ph_window=5"), "is no pair of pH values"),
        (("set", "Glycerin", "name=Purified water"), "keeps its name"), (("set", "Glycerin", "sheet_revised=2099-01-01"), "2099-01-01 is still to come"),
        (("set", "Glycerin", "composition=Aqua"), "is no substance with its share"), (("take-over", "none"), "There is no procedure"),
    ],
)  # fmt: skip
def test_bad_materials_are_one_sentence(run, words, sentence):
    run("material", "take-over", "oat-hand-lotion")
    assert sentence in run("material", *words, code=3)


def test_a_draft_says_what_the_shelf_says_otherwise_since_and_takes_it_over(run, kelp):
    otherwise = "The shelf says otherwise of Emulsifying wax: melts."
    assert otherwise not in run("recipe", "show", kelp)
    run("material", "set", "Emulsifying wax", "melts=80 degC")
    assert otherwise in run("recipe", "show", kelp)
    assert f"Gone: warning: {otherwise}" in run("recipe", "refresh", kelp)
    assert otherwise not in run("recipe", "show", kelp)
    assert "80 degC" in run("material", "show", "Emulsifying wax")


def test_a_draft_can_be_looked_at_where_the_shelf_cannot_be_read(run, kelp, tmp_path):
    (tmp_path / "data" / "materials.toml").write_text("[[material]\n")
    said = run("recipe", "show", kelp)
    assert "Sunflower oil" in said
    assert "materials.toml:1:" in said


def test_an_own_procedure_goes_to_the_glass_and_back_byte_for_byte(run, tmp_path):
    folder = tmp_path / "data" / "procedures"
    folder.mkdir(parents=True)
    for key in shipped():
        raw = find(key).read_bytes().replace(b"\n", b"\r\n")
        (folder / f"own-{key}.toml").write_bytes(raw if key < "o" else raw.replace(b"\r\n", b"\n"))
        run("recipe", "start-from", f"own-{key}")
    before = {p.name: p.read_bytes() for p in folder.iterdir()}
    listed = run("recipe", "list").splitlines()
    drafts = [line.split()[0] for line in listed if "ready to make" in line]
    assert len(drafts) == len(shipped())
    for draft in drafts:
        run("recipe", "line", draft, "x", "remove", code=3)
        run("recipe", "save", draft)
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == before


def test_own_procedures_stand_on_the_shelf_and_one_that_is_broken_takes_none_with_it(run, tmp_path):
    from benchapp.record.journal import Journal
    from benchapp.service.bench_service import BenchService

    folder = tmp_path / "data"
    run("recipe", "start-from", "oat-hand-lotion", "--name", "My oat lotion")
    run("recipe", "save", "my-oat-lotion")
    own = folder / "procedures"
    (own / "tide-pool-gel.toml").write_text("[formula]\n")
    journal = Journal(folder, lambda: "2026-03-01T09:00:00.000+01:00")
    shop = BenchService(journal, None, "Mara Lind", folder=folder)
    assert [r.key for r in shop.recipes()] == [
        "my-oat-lotion",
        *(k for k in shipped() if k != "tide-pool-gel"),
    ]
    text = (own / "my-oat-lotion.toml").read_text()
    (own / "my-oat-lotion.toml").write_text(text.replace("My oat lotion", "Our oat lotion"))
    assert shop.procedure("my-oat-lotion").name == "Our oat lotion"
    run("material", "set", "Kelp wax", "role=wax", "inci=Laminaria Wax")
    assert ("kelp-wax", "Kelp wax") in shop.materials()
    journal.close()


def test_what_was_spoiled_by_hand_is_listed_with_its_place(run, kelp, tmp_path):
    folder = tmp_path / "data" / "procedures"
    folder.mkdir()
    (folder / "dune.toml").write_text('[formula]\nname = "Dune"\nuse = 3\n')
    draft = tmp_path / "data" / "drafts" / "kelp-lotion.toml"
    draft.write_text(draft.read_text() + "\n[formula]\n")
    listed = run("recipe", "list")
    assert "This table stands here a second time" in listed
    assert "dune.toml:" in listed
    assert "kelp-lotion.toml" in run("recipe", "show", "kelp-lotion", code=3)
