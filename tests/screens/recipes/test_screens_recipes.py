"""A recipe written by real touches in a real window, then made on the simulated bench; and the same with a keyboard."""

from __future__ import annotations

import pytest
from acting import WALL, begun_rehearsal, to_the_end

from benchapp.recipes.draft import BatchSizes
from benchapp.record.drawing_up import record_of
from benchapp.record.journal import Journal
from procedures.building import slug

#: What is written: material and its share.
LOTION = (
    ("Purified water", "rest"), ("Glycerin", "4"), ("Sunflower oil", "7.5"), ("Shea butter", "2"), ("Emulsifying wax", "5.6"),
    ("Preservative blend", "0.9"),
)  # fmt: skip
TONIC = (("Purified water", "rest"), ("Glycerin", "12.5"), ("Preservative blend", "0.9"))
MOST_TOUCHES_OF_THE_METHOD = 15


@pytest.fixture
def kelp(pilot):
    """A draft with a formula, open on the glass."""
    pilot.desk.begin("Kelp lotion", "leave-on", BatchSizes("500 g", "400 g", "1000 g"))
    for material, share in LOTION:
        pilot.desk.add_line("kelp-lotion", material, share)
    pilot.press("Recipes")
    pilot.press("Kelp lotion")
    return lambda: pilot.desk.draft("kelp-lotion")


def propose(pilot):
    """A method from the formula: its questions answered, few touches, and nothing to mend."""
    before = pilot.touches
    pilot.press("Method")
    pilot.press("Propose a method")
    for limit in ("5", "5.8"):
        pilot.keys(limit)
    pilot.press("100 g")
    assert pilot.touches - before <= MOST_TOUCHES_OF_THE_METHOD
    assert "It can be made." in pilot.words()


def test_a_recipe_is_written_by_touch_and_made_to_a_written_record(pilot, journal):
    pilot.press("Recipes")
    pilot.press("New recipe")
    pilot.press("Line by line")
    pilot.write("Kelp tonic")
    pilot.press("leave-on")
    pilot.press("200 g")
    for material, share in TONIC:
        pilot.add(material, share)
    pilot.press("Back")
    assert "So far 13.4 %. Purified water fills up the other 86.6 %." in pilot.words()
    propose(pilot)
    pilot.press("Save")
    assert "It stands on the shelf now" in pilot.words()
    pilot.press("Back")
    pilot.press("Back")
    pilot.begin("Kelp tonic")
    pilot.until(lambda view: view.over)
    (line,) = journal.batches(5)
    assert (line.procedure, line.end) == ("kelp-tonic", "finished")
    record = pilot.shop.desk().record(line.batch)
    assert (record.product, record.outcome, record.rehearsal) == ("Kelp tonic", "finished", True)
    assert {name for name, _ in TONIC} <= {str(x.what) for x in record.weighings}
    assert record.procedure_text == pilot.desk.text("kelp-tonic")
    pilot.press("Back to the bench")
    pilot.press("Recipes")
    pilot.press("New recipe")
    pilot.press("From a past batch")
    pilot.press(next(words for words in pilot.presses() if words.startswith("Kelp tonic,")))
    pilot.write("Kelp two")
    assert pilot.desk.draft("kelp-two").ready


def test_a_line_is_changed_moved_swapped_removed_and_undone_to_the_beginning(pilot, kelp):
    pilot.go("Glycerin")
    pilot.go("share")
    pilot.keys("5")
    assert kelp().lines[1].row.percent == 5.0
    pilot.go("Glycerin")
    pilot.go("phase")
    pilot.go("oil")
    assert kelp().lines[1].row.phase == "oil"
    pilot.go("Glycerin")
    pilot.press("More")
    pilot.press("Move it up")
    pilot.press("Back")
    assert kelp().lines[0].row.name == "Glycerin"
    pilot.go("Sunflower oil")
    pilot.press("Swap for another")
    pilot.press("O")
    assert "The list of ingredients on the label changes" in pilot.words()
    pilot.press("Back")
    pilot.go("Shea butter")
    pilot.press("More")
    pilot.press("Remove")
    assert [x.row.name for x in kelp().lines][1:3] == ["Purified water", "Oat oil"]
    assert len(kelp().lines) == 5
    while kelp().lines:
        if "More" in pilot.presses():  # something is wrong: what mends it comes first
            pilot.press("More")
        pilot.press("Undo")
    assert "No ingredient yet" not in pilot.words()


def test_what_somebody_else_changed_meanwhile_is_not_changed_in_the_wrong_place(pilot, kelp):
    """Two editors of one draft: a line is known by its place, and the place has moved."""
    changed = "It was changed elsewhere meanwhile"
    pilot.go("Sunflower oil")
    pilot.go("share")
    pilot.desk.remove_line("kelp-lotion", 1)
    pilot.keys("9")
    assert changed in pilot.words()
    assert [x.row.percent for x in kelp().lines[1:]] == [7.5, 2.0, 5.6, 0.9]
    pilot.press("Back")
    assert "Shea butter" in pilot.words(), "what stands there now, to be looked at"
    pilot.press("Back")
    pilot.desk.remove_line("kelp-lotion", 4)
    pilot.go("Preservative blend")
    assert changed in pilot.words()
    pilot.press("Back")
    assert "Preservative blend" not in pilot.words()
    pilot.go("Sunflower oil")
    pilot.go("share")
    pilot.keys("9")
    assert [x.row.percent for x in kelp().lines[1:]] == [9.0, 2.0, 5.6]
    pilot.desk.set_share("kelp-lotion", 1, "8")
    if "More" in pilot.presses():
        pilot.press("More")
    pilot.press("Undo")
    assert changed in pilot.words()
    assert kelp().lines[1].row.percent == 8.0


def test_how_far_a_line_may_be_off_and_which_of_several_it_is(pilot, kelp):
    pilot.go("Preservative blend")
    assert "as usual" in pilot.words()
    pilot.go("tolerance")
    pilot.keys("2.5")
    pilot.go("label")
    pilot.write("last")
    assert 'tolerance = "2.5 %"' in pilot.desk.text("kelp-lotion")
    assert kelp().lines[5].row.name == "Preservative blend (Last)"
    pilot.go("tolerance")
    pilot.keys("0")
    assert "tolerance" not in pilot.desk.text("kelp-lotion")


def test_what_is_wrong_stands_at_its_line_at_once(pilot, kelp):
    pilot.go("Preservative blend")
    pilot.go("share")
    pilot.keys("1.4")
    assert "1.4 % is more than its use limit, 1.1 %" in pilot.words()
    assert "Preservative blend: " not in pilot.words(), "it stands under its name"
    pilot.press("Mend Preservative blend")
    pilot.press("Change the share")
    pilot.press("Back")
    pilot.press("Back")
    pilot.press("More")
    pilot.press("Undo")
    assert "use limit" not in pilot.words()


def test_a_new_material_is_entered_and_says_what_is_not_known(pilot, kelp):
    pilot.press("Add")
    pilot.press("New material")
    pilot.write("Kelp wax")
    pilot.go("wax")
    pilot.write("Laminaria wax")
    pilot.keys("3")
    pilot.press("Back")
    pilot.go("Kelp wax")
    pilot.go("about the material")
    assert "hazards are not known" in pilot.words()
    pilot.go("melts")
    pilot.keys("61")
    pilot.press("Back")
    assert pilot.desk.text("kelp-lotion").count('melts = "61 degC"') == 1


def test_a_method_is_changed_step_by_step_and_checked_in_place(pilot, kelp):
    pilot.desk.set_ph("kelp-lotion", "5.0 to 5.8")
    pilot.desk.answer("kelp-lotion", pilot.desk.questions("kelp-lotion")[0], "100 g")
    pilot.press("Method")
    pilot.press("Propose a method")
    steps = [x.kind for x in kelp().steps]
    pilot.go("4. Heat")
    pilot.press("More")
    pilot.press("Move it down")
    pilot.press("Back")
    assert "to be mended." in pilot.words()
    pilot.press("More")
    pilot.press("Undo")
    assert "It can be made." in pilot.words()
    pilot.go("4. Heat")
    pilot.go("keep for")
    pilot.keys("15")
    pilot.go("limits")
    for limit in ("72", "77"):
        pilot.keys(limit)
    heat = pilot.desk.step_fields("kelp-lotion", 3)
    assert {x.field.name: x.value for x in heat if x.field.name in ("band", "hold")} == {
        "band": "72 degC to 77 degC",
        "hold": "15 min",
    }
    pilot.press("Back")
    pilot.press("Add")
    pilot.go("look")
    assert len(kelp().steps) == len(steps) + 1
    pilot.press("More")
    pilot.press("Remove")
    assert [x.kind for x in kelp().steps] == steps


def test_a_recipe_is_split_over_two_kettles_by_touch(pilot, kelp):
    pilot.desk.set_ph("kelp-lotion", "5.0 to 5.8")
    pilot.desk.answer("kelp-lotion", pilot.desk.questions("kelp-lotion")[0], "100 g")
    pilot.press("Method")
    pilot.press("Propose a method")
    for vessel in [v.name for v in kelp().vessels]:
        pilot.go("Vessels")
        pilot.go(vessel)
        pilot.go("kettles")
        pilot.keys("2")
        assert next(v.kettles for v in kelp().vessels if v.name == vessel) == 2
        pilot.press("Back")
        assert "2 of them" in pilot.words()
        pilot.press("Back")
    assert "It can be made." in pilot.words()
    assert kelp().steps[1].sentence.startswith("for each kettle: weigh")
    pilot.go("Vessels")
    pilot.press("Add")
    pilot.write("bucket")
    pilot.go("capacity")
    pilot.keys("9")
    assert (kelp().vessels[-1].name, kelp().vessels[-1].capacity) == ("Bucket", "9 l")
    pilot.press("Back")
    pilot.press("Back")
    pilot.press("Undo")
    pilot.press("Undo")
    assert "Bucket" not in {v.name for v in kelp().vessels}


def test_the_same_with_a_keyboard(pilot):
    from kivy.core.window import Keyboard, Window

    pilot.press("Recipes")
    pilot.press("New recipe")
    pilot.press("Line by line")

    def typed(text):
        for sign in text:
            Window.dispatch("on_textinput", sign)
        Window.dispatch("on_key_down", Keyboard.keycodes["enter"], 0, None, [])
        pilot.arrive()

    typed("Düne & Meer")
    pilot.press("leave-on")
    pilot.press("500 g")
    assert "Düne & Meer" in pilot.words()
    pilot.press("Add")
    pilot.press("G")
    Window.dispatch("on_textinput", "9")
    Window.dispatch("on_key_down", Keyboard.keycodes["backspace"], 0, None, [])
    typed("4,5")
    assert pilot.desk.draft("düne-meer").lines[0].row.percent == 4.5
    assert pilot.page.texts[0].text == "What goes in? Press its first letter."
    Window.dispatch("on_key_down", Keyboard.keycodes["escape"], 0, None, [])
    pilot.arrive()
    assert pilot.page.texts[0].text == "Düne & Meer", "Escape is the way back"


def test_a_hot_recipe_is_written_by_touch_and_made_to_a_written_record(pilot, tmp_path):
    pilot.press("Recipes")
    pilot.press("New recipe")
    pilot.press("Line by line")
    pilot.write("Kelp lotion")
    pilot.press("leave-on")
    pilot.press("500 g")
    for material, share in LOTION:
        pilot.add(material, share)
    pilot.press("Back")
    propose(pilot)
    assert {"heat", "combine", "cool"} <= {x.kind for x in pilot.desk.draft("kelp-lotion").steps}
    pilot.press("Save")
    # Made without a glass: drawing every frame of two hours takes long, and is asked for above.
    made = Journal(tmp_path / "made", lambda: WALL)
    rehearsal = begun_rehearsal(made, pilot.shop.procedure("kelp-lotion"))
    assert to_the_end(rehearsal).over
    rehearsal.close()
    record = record_of(made.stored("b1"))
    assert (record.outcome, record.rehearsal) == ("finished", True)
    assert {slug(name) for name, _ in LOTION} <= {str(x.what) for x in record.weighings}
    assert record.procedure_text == pilot.desk.text("kelp-lotion")
    made.close()


def test_a_material_changed_says_which_procedures_it_touches(pilot):
    pilot.press("Recipes")
    pilot.press("Materials")
    pilot.go("Shea butter")
    pilot.go("melts")
    pilot.keys("37")
    assert "oat-hand-lotion uses it and says otherwise: melts." in pilot.words()
    pilot.press("Back")
    pilot.go("is a powder")
    pilot.press("yes")
    assert pilot.desk.materials.shelf.entry("Shea butter")["powder"] is True


def test_what_mends_several_faults_of_one_step_is_said_once():
    from benchapp.screens.recipes.recipe_rows import _together

    oil, water, mend = "The oil pot is too cold.", "The water pot is too cold.", "Heat it before."
    assert _together((f"{oil} {mend}", f"{water} {mend}")) == f"{oil} {water} {mend}"
    assert _together((f"{oil} {mend}",)) == f"{oil} {mend}"
    assert _together((oil, f"{water} {mend}")) == f"{oil} {water} {mend}"


def test_every_field_of_a_material_a_vessel_and_a_step_can_be_asked_for(glass):
    from benchapp.recipes.step_fields import fields_of, material_fields, vessel_fields
    from benchapp.screens.recipes.field_editor import FieldEditor, FieldRequest
    from procedures.steps import STEP_TABLES

    editor = FieldEditor(glass.navigator)
    fields = [
        *material_fields(),
        *vessel_fields(),
        *(field for kind in STEP_TABLES for field in fields_of(kind)),
    ]
    for field in fields:
        for unit in field.units or ("",):
            editor.ask(FieldRequest(field, f"1 {unit}".strip(), ("one", "two")), print, print)
            assert glass.navigator.page.walk, field
