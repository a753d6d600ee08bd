"""A proposed method passes the procedures' own reading and every rule, or asks, or says why there is none."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from recipe_samples import MATERIALS, bare_formula, draft_of, errors_of

from benchapp.recipes.draft import with_fields
from benchapp.recipes.ends import ph_limits
from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.proposing import answered, questions_of, with_proposed_method
from benchapp.recipes.questions import (
    DISSOLVES,
    HEAT_IS_FINE,
    LIQUID,
    AnswerKind,
    Question,
    checked_answer,
)
from procedures.shelf import shipped


def all_answered(draft, content="100 ml"):
    for _ in range(60):
        asked = questions_of(draft)
        if not asked:
            return draft
        draft = answered(draft, asked[0], content if asked[0].key == "content" else _answer(asked[0]))
    raise AssertionError("it asks for ever")


def _answer(question):
    if question.kind is AnswerKind.PH_BAND:
        return "5.0 to 5.5"
    return question.choices[0]


@pytest.mark.parametrize("key", shipped())
def test_the_shipped_formulas_get_a_method_that_passes_every_rule(key):
    draft = with_proposed_method(all_answered(draft_of(bare_formula(key))))
    assert errors_of(draft.text) == []
    kinds = [s["kind"] for s in draft.tables["step"]]
    assert kinds[0] == "prepare"
    assert kinds[-2:] == ["clean up", "finish"]
    acidity = ["measure ph"] if "ph" in draft.tables["formula"] else []
    assert [k for k in kinds if k in ("measure ph", "look", "density", "fill")] == [
        *acidity, "look", "density", "fill"
    ]  # fmt: skip
    again = with_proposed_method(draft)
    assert again.text == draft.text


def test_the_lotion_is_heated_above_what_melts_and_cooled_below_what_spoils():
    draft = with_proposed_method(all_answered(draft_of(bare_formula("oat-hand-lotion"))))
    steps = draft.tables["step"]
    heat = next(s for s in steps if s["kind"] == "heat")
    assert heat["band"] == ["70 degC", "75 degC"]
    assert set(heat["phases"]) == {"water", "gum slurry", "oil"}
    assert next(s for s in steps if s["kind"] == "cool")["below"] == "40 degC"
    assert [s["kind"] for s in steps] == [
        "prepare", "weigh", "weigh", "disperse", "weigh", "heat", "top up", "combine", "blend", "cool", "weigh", "premix", "add",
        "measure ph", "look", "density", "fill", "clean up", "finish",
    ]  # fmt: skip


def test_nothing_is_heated_where_nothing_melts():
    draft = with_proposed_method(all_answered(draft_of(bare_formula("tide-pool-gel"))))
    kinds = {s["kind"] for s in draft.tables["step"]}
    assert not kinds & {"heat", "cool", "top up"}
    assert draft.answers["dissolves menthol-crystals"] == DISSOLVES
    assert "Menthol crystals" in draft.tables["accept"]["never-melted"]


def test_the_band_follows_the_highest_melting_point():
    text = bare_formula("oat-hand-lotion").replace('melts = "60 degC"', 'melts = "75 degC"')
    heat = next(
        s for s in with_proposed_method(all_answered(draft_of(text))).tables["step"] if s["kind"] == "heat"
    )
    assert (heat["band"], heat["over"]) == (["80 degC", "85 degC"], "95 degC")


def test_what_melts_hotter_than_a_bath_is_refused():
    text = bare_formula("oat-hand-lotion").replace('melts = "60 degC"', 'melts = "92 degC"')
    with pytest.raises(ChangeRefused, match=r"Emulsifying wax melts at 92 °C, hotter than a water bath"):
        with_proposed_method(all_answered(draft_of(text)))


def test_a_melting_point_is_asked_and_never_guessed():
    text = bare_formula("oat-hand-lotion").replace(
        'melts = "60 degC" # the heat band has to lie above this\n', ""
    )
    draft = draft_of(text)
    asked = questions_of(draft)[0]
    assert asked.words == "At which temperature does Emulsifying wax melt? Look into its supplier's papers."
    with pytest.raises(ChangeRefused, match="Before a method can be proposed"):
        with_proposed_method(draft)
    with pytest.raises(ChangeRefused, match="not a unit"):
        answered(draft, asked, "60 C")
    known = answered(draft, asked, "64 degC")
    assert known.tables["formula"]["ingredient"][7]["melts"] == "64 degC"
    liquid = answered(draft, asked, LIQUID)
    assert "melts" not in liquid.tables["formula"]["ingredient"][7]
    assert {q.key for q in questions_of(known)} == {q.key for q in questions_of(liquid)} == {"content"}


def test_what_spoils_by_heat_is_asked():
    text = re.sub(r'below = "45 degC"\n', "", bare_formula("oat-hand-lotion"))
    asked = questions_of(draft_of(text))
    assert [(q.material, q.choices) for q in asked[:2]] == [
        ("Preservative blend", (HEAT_IS_FINE,)), ("Vitamin E", (HEAT_IS_FINE,))
    ]  # fmt: skip


def test_unknown_hazards_are_said_where_they_are_picked_up():
    draft = with_proposed_method(all_answered(draft_of(bare_formula("oat-hand-lotion"))))
    oil = next(s for s in draft.tables["step"] if s["kind"] == "weigh" and s["phase"] == "oil")
    assert "No safety data sheet is entered for: Sunflower oil, Oat oil" in oil["note"]
    cool = next(s for s in draft.tables["step"] if s["kind"] == "weigh" and s["phase"] == "cool-down")
    assert "Preservative blend" not in cool["note"]


def test_an_incomplete_formula_says_what_is_missing():
    draft = draft_of(bare_formula("oat-hand-lotion").replace('role = "butter"\n', ""))
    with pytest.raises(ChangeRefused, match=r"has to be complete first\. role is missing here"):
        questions_of(draft)


def test_not_filled_is_written_as_the_reason():
    draft = with_proposed_method(
        all_answered(draft_of(bare_formula("oat-hand-lotion")), "it is not filled here")
    )
    assert errors_of(draft.text) == []
    assert not {s["kind"] for s in draft.tables["step"]} & {"density", "fill"}


PHASES = ("water", "oil", "later")
picks = st.lists(
    st.tuples(st.sampled_from(sorted(MATERIALS)), st.sampled_from(PHASES), st.integers(1, 60)),
    min_size=1, max_size=9, unique_by=lambda x: x[0],
)  # fmt: skip


@given(picks)
@settings(max_examples=12, deadline=None)
def test_any_formula_of_known_materials_gets_a_method_that_adds_no_fault(picked):
    """Whatever is wrong with the formula alone stays; the method brings nothing that is wrong."""
    draft = draft_of("")
    draft = with_fields(draft, ("formula",), {"name": "Any", "use": "leave-on", "ph": [5.0, 5.5]})
    draft = with_fields(draft, ("batch",), {"usual": "500 g", "smallest": "400 g", "largest": "900 g"})
    from benchapp.recipes.draft import with_line

    draft = with_line(draft, MATERIALS["purified-water"], {"phase": "water", "percent": "rest"})
    for key, phase, tenths in picked:
        if key != "purified-water":
            draft = with_line(draft, MATERIALS[key], {"phase": phase, "percent": tenths / 10})
    made, refused = draft, ""
    try:
        made = with_proposed_method(all_answered(draft, "100 g"))
    except ChangeRefused as error:
        refused = str(error)
    if refused:
        assert re.search("must not become that hot|hotter than a water bath", refused), refused
        return
    of_formula = {"use-limit", "preservative", "preservative-low", "preservative-ph", "percent-total"}
    assert [e for e in errors_of(made.text) if e[0] not in of_formula] == []


@pytest.mark.parametrize("answer", ["5.0 to 5.8", "5,0 bis 5,8", "5,0 à 5,8", "5.0-5.8", " 5 – 5.8 "])
def test_ph_limits_are_read_as_each_language_writes_them(answer):
    assert ph_limits(answer) == (5.0, 5.8)


def test_a_container_of_nothing_is_no_answer():
    ask = Question("content", "How much goes into one container?", AnswerKind.CONTENT)
    with pytest.raises(ChangeRefused, match="is nothing"):
        checked_answer(ask, "0 ml")
    assert checked_answer(ask, "50 g") == "50 g"
