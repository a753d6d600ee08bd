"""Every kind of step has an editor for every field; a new kind, or a field nobody knows how to ask for, fails here."""

import pytest
from recipe_samples import draft_of, errors_of, text_of

from benchapp.recipes.draft import STEP, with_fields, with_one_more
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.field_answers import field_value, field_words
from benchapp.recipes.findings import findings_of
from benchapp.recipes.material_shelf import ShelfMaterialTable
from benchapp.recipes.step_fields import (
    FieldKind,
    choices_for,
    fields_of,
    material_fields,
    new_step,
    vessel_fields,
)
from procedures.schema import VesselTable
from procedures.shelf import shipped
from procedures.steps import STEP_TABLES


def test_every_field_of_a_material_can_be_asked_for():
    fields = {x.name: x for x in material_fields()}
    assert set(ShelfMaterialTable.model_fields) - {"name"} == set(fields)
    assert fields["melting_heat"].units == ("J/g",)
    assert field_value(fields["melting_heat"], "180 J/g") == "180 J/g"


@pytest.mark.parametrize("kind", STEP_TABLES)
def test_every_field_of_every_kind_can_be_asked_for(kind):
    table = STEP_TABLES[kind]
    assert {x.name for x in fields_of(kind)} == {i.alias or n for n, i in table.model_fields.items()} - {
        "kind"
    }
    assert all(x.units for x in fields_of(kind) if x.kind is FieldKind.QUANTITY)


@pytest.mark.parametrize("key", shipped())
def test_what_the_shipped_steps_say_is_read_and_said_back(key):
    draft = draft_of(text_of(key))
    for step in draft.list_of(STEP):
        fields = {x.name: x for x in fields_of(step["kind"])}
        for name, value in step.items():
            if name == "kind":
                continue
            field, words = fields[name], field_words(value)
            several = field.kind in (FieldKind.SENTENCES, FieldKind.LOOKS)
            if several and any(";" in str(x) for x in value):
                continue
            back = field_value(field, words)
            assert back == (value if not isinstance(value, str) or not isinstance(back, list) else [value])
            if choices_for(field, draft):
                assert set(value if isinstance(value, list) else [words]) <= set(choices_for(field, draft))


@pytest.mark.parametrize("kind", STEP_TABLES)
def test_a_new_step_of_every_kind_has_the_form_the_reader_wants(kind):
    draft = draft_of(text_of("oat-hand-lotion"))
    more = with_one_more(draft, STEP, new_step(kind, draft), 5)
    assert not [x for x in findings_of(more) if x.place == (*STEP, 5) and x.rule in ("form", "name")]


def test_every_field_of_a_vessel_can_be_asked_for_but_those_the_steps_go_by():
    assert {x.name for x in vessel_fields()} == set(VesselTable.model_fields) - {"name", "phase"}
    kettles = next(x for x in vessel_fields() if x.name == "kettles")
    assert kettles.kind is FieldKind.COUNT
    assert field_value(kettles, "2") == 2


def test_a_step_that_names_what_is_not_there_is_refused():
    with pytest.raises(ChangeRefused, match="names a vessel, and there is none yet"):
        new_step("blend", draft_of('[formula]\nname = "x"\n'))


@pytest.mark.parametrize(
    ("kind", "name", "answer", "value"),
    [
        ("heat", "band", "70 to 75 degC", ["70 degC", "75 degC"]), ("heat", "band", "70 to 75", ["70 degC", "75 degC"]),
        ("heat", "bath", "no", False), ("heat", "hold", "", None), ("blend", "bursts", "4", 4),
        ("measure ph", "band", "5.0 to 5.8", [5.0, 5.8]), ("measure ph", "water_parts", "9", 9.0), ("fill", "content", "50 g", "50 g"),
        ("finish", "yield", "90 to 100", ["90 %", "100 %"]), ("look", "looks", "Smell: fresh; Feel: dry",
         [{"name": "Smell", "expect": "fresh"}, {"name": "Feel", "expect": "dry"}]), ("weigh", "scale", "fine", "fine"),
        ("add", "ingredients", ["A", "B"], ["A", "B"]),
    ],
)  # fmt: skip
def test_answers_become_what_stands_in_the_file(kind, name, answer, value):
    assert field_value(next(x for x in fields_of(kind) if x.name == name), answer) == value


@pytest.mark.parametrize(
    ("kind", "name", "answer", "sentence"),
    [
        ("heat", "band", "70", "two limits"), ("heat", "band", "", "band is needed"), ("cool", "below", "40", "has no unit"),
        ("cool", "below", "40 g", "is not a unit"), ("blend", "bursts", "many", "is no number"), ("look", "looks", "Smell", "a colon"),
        ("fill", "content", "5 kg of it", "is not"), ("density", "volume", "50 g", "is not a unit"),
    ],
)  # fmt: skip
def test_bad_answers_are_one_sentence(kind, name, answer, sentence):
    with pytest.raises(ChangeRefused, match=sentence) as error:
        field_value(next(x for x in fields_of(kind) if x.name == name), answer)
    assert "\n" not in str(error.value)


def test_a_changed_step_is_checked_in_place():
    draft = draft_of(text_of("oat-hand-lotion"))
    cool = next(n for n, s in enumerate(draft.list_of(STEP)) if s["kind"] == "cool")
    worse = with_fields(draft, (*STEP, cool), {"below": "60 degC"})
    found = findings_of(worse)
    assert {x.rule for x in found if x.grade == "error"} == {rule for rule, _ in errors_of(worse.text)}
    assert [x.place for x in found if x.rule == "heat-sensitive"] == [(*STEP, cool + 3)] * 5
