"""A draft is on disk after every change, undone to its beginning, and never lost: not by a cut, not by a hand edit."""

import json
import tomllib

import pytest
import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st
from recipe_samples import MATERIALS, draft_of, text_of

from benchapp.recipes.draft import BatchSizes, new_draft, with_fields, with_line, without
from benchapp.recipes.draft_store import DraftStore, History
from benchapp.recipes.errors import ChangedMeanwhile, ChangeRefused, NoSuchRecipe, RecipeError
from benchapp.recipes.formula_sum import rows_of, sum_of
from benchapp.recipes.meeting import put_together
from benchapp.recipes.proposing import with_proposed_method
from benchapp.recipes.swapping import swapped, to_look_at
from benchapp.service.recipe_facts import draft_facts

SIZES = BatchSizes("500 g", "400 g", "900 g")


@pytest.fixture
def store(tmp_path):
    return DraftStore(tmp_path)


def begun(store):
    key = store.begin(new_draft("Kelp balm", "leave-on", SIZES), "begun")
    draft = store.open(key).draft
    for name, share in (("purified-water", "rest"), ("glycerin", 4.0), ("shea-butter", 2.5)):
        draft = with_line(draft, MATERIALS[name], {"phase": "water", "percent": share})
        store.keep(key, f"{name} added", draft)
    return key


def test_every_change_is_on_the_disk_and_undone_to_the_beginning(store, tmp_path):
    key = begun(store)
    assert key == "kelp-balm"
    assert DraftStore(tmp_path).open(key).draft.text == (tmp_path / "kelp-balm.toml").read_text()
    undone = []
    while store.open(key).undoes:
        undone.append(store.open(key).undoes)
        history = store.undo(key)
        assert (tmp_path / "kelp-balm.toml").read_text() == history.draft.text
    assert undone == ["shea-butter added", "glycerin added", "purified-water added"]
    assert rows_of(store.open(key).draft) == ()
    assert store.undo(key).undoes == ""
    for expected in reversed(undone):
        assert store.open(key).redoes == expected
        store.redo(key)
    assert len(rows_of(store.open(key).draft)) == 3
    assert store.redo(key).redoes == ""


def test_a_change_after_undoing_goes_on_from_there(store):
    key = begun(store)
    store.undo(key)
    store.keep(key, "line removed", without(store.open(key).draft, ("formula", "ingredient", 1)))
    assert [r.name for r in rows_of(store.open(key).draft)] == ["Purified water"]
    assert [what for what, _ in store.open(key).states] == [
        "begun",
        "purified-water added",
        "glycerin added",
        "line removed",
    ]


def test_a_cut_between_history_and_text_loses_nothing(store, tmp_path):
    key = begun(store)
    before = store.open(key).states[-2][1].text
    (tmp_path / "kelp-balm.toml").write_text(before)
    assert len(rows_of(store.open(key).draft)) == 3
    with (tmp_path / "kelp-balm.undo.jsonl").open("a") as file:
        file.write('{"what": "half a li')
    assert len(rows_of(store.open(key).draft)) == 3
    store.keep(
        key, "more", with_line(store.open(key).draft, MATERIALS["oat-oil"], {"phase": "oil", "percent": 1.0})
    )
    assert len(rows_of(store.open(key).draft)) == 4
    (tmp_path / "kelp-balm.toml").unlink()
    assert len(rows_of(store.open(key).draft)) == 4


def test_a_draft_changed_by_hand_is_taken_in_and_can_be_undone(store, tmp_path):
    key = begun(store)
    path = tmp_path / "kelp-balm.toml"
    path.write_text(path.read_text().replace("percent = 4.0", "percent = 6.0 # drier"))
    assert rows_of(store.open(key).draft)[1].percent == 6.0
    store.keep(key, "named", with_fields(store.open(key).draft, ("formula",), {"name": "Kelp cream"}))
    assert "percent = 6.0 # drier" in path.read_text()
    store.undo(key)
    assert rows_of(store.undo(key).draft)[1].percent == 4.0


def test_a_draft_spoiled_by_hand_says_where_and_keeps_what_it_was(store, tmp_path):
    key = begun(store)
    path = tmp_path / "kelp-balm.toml"
    path.write_text(path.read_text() + "\nshare = 4,0\n")
    with pytest.raises(ChangeRefused, match=r"kelp-balm.toml:\d+:10: .*write 4.0, not 4,0"):
        store.open(key)
    path.unlink()
    assert len(rows_of(store.open(key).draft)) == 3


def test_two_drafts_of_one_name_and_one_dropped(store, tmp_path):
    first, second = begun(store), begun(store)
    assert (first, second) == ("kelp-balm", "kelp-balm-2")
    store.drop(first)
    assert store.on_disk() == ("kelp-balm-2",)
    assert (tmp_path / "kelp-balm.toml.dropped").exists()
    with pytest.raises(NoSuchRecipe, match="There are: kelp-balm-2"):
        store.open(first)


def test_each_state_of_the_history_is_one_line_of_json(store, tmp_path):
    begun(store)
    lines = (tmp_path / "kelp-balm.undo.jsonl").read_text().splitlines()
    assert json.loads(lines[0])["what"] == "begun"
    assert len(lines) == 4


# --- the sum ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("shares", "sentence"),
    [
        (["rest", 4.0, 2.5], "So far 6.5 %. M0 fills up the other 93.5 %."),
        ([90.0, 4.0], "94 %: 6 % still missing"),
        ([60.1, 39.9], "100 %"),
        ([80.0, 30.0], "110 %: 10 % too much"),
        (["rest", 100.0], "100 %, and nothing is left for the rest"),
        (["rest", 70.0, 31.5], "101.5 %: 1.5 % too much"),
        ([], "0 %: 100 % still missing"),
    ],
)
def test_the_sum_is_in_a_sentence(shares, sentence):
    draft = new_draft("Foam", "leave-on", SIZES)
    for n, share in enumerate(shares):
        draft = with_line(draft, {"name": f"M{n}"}, {"phase": "a", "percent": share})
    assert sum_of(draft).sentence == sentence
    assert sum_of(draft).whole == (sentence == "100 %" or "fills up the other" in sentence)


def test_rows_say_shares_of_what_is_active_and_what_is_as_needed():
    draft = new_draft("Foam", "leave-on", SIZES)
    draft = with_line(draft, {"name": "Base", "active": "50 %"}, {"phase": "a", "percent": "2 % active"})
    draft = with_line(draft, {"name": "Acid"}, {"phase": "pH", "percent": "as needed", "cap": "0.5 %"})
    draft = with_line(draft, {"name": "None"}, {"phase": "a", "percent": "2 % active"})
    assert [(r.share, r.percent) for r in rows_of(draft)] == [
        ("4 %", 4.0), ("up to 0.5 %", None), ("no share yet", None)
    ]  # fmt: skip


# --- a hand edit and an edit on the glass ----------------------------------------------------------------


LINES = text_of("oat-hand-lotion").splitlines(keepends=True)
edits = st.lists(
    st.tuples(st.integers(0, len(LINES) - 1), st.sampled_from(["", "# note\n", "x = 1\ny = 2\n"])), max_size=4
)


@given(edits, edits)
@settings(max_examples=25, deadline=None)
def test_two_changes_meet_without_loss_or_are_refused(mine, theirs):
    base = "".join(LINES)

    def edited(changes):
        lines = list(LINES)
        for at, new in changes:
            lines[at] = new
        return "".join(lines)

    try:
        both = put_together(base, edited(mine), edited(theirs))
    except ChangedMeanwhile:
        both = ""
    if not both:
        assert mine
        assert theirs
        return
    assert both == put_together(base, edited(theirs), edited(mine))
    if not theirs:
        assert both == edited(mine)
    apart = {i for i, _ in mine}.isdisjoint({i for i, _ in theirs})
    if apart:
        assert both == edited(mine + theirs)


def test_both_changed_the_same_line():
    base = text_of("oat-hand-lotion")
    mine, theirs = (
        base.replace("percent = 7.0", "percent = 8.0"),
        base.replace("percent = 7.0", "percent = 9.0"),
    )
    with pytest.raises(ChangedMeanwhile, match="near its line 68"):
        put_together(base, mine, theirs)
    assert put_together(base, mine, mine) == mine


# --- an oil swapped --------------------------------------------------------------------------------------


def test_an_oil_swapped_keeps_its_place_and_says_what_to_look_at():
    draft = draft_of(text_of("tide-pool-gel"))
    gum = {
        "name": "Red-weed gum",
        "inci": "Carrageenan",
        "role": "gum",
        "below": "50 degC",
        "use_limit": "1 %",
    }
    at = next(r.number for r in rows_of(draft) if r.name == "Sclerotium gum")
    new = swapped(draft, at, gum | {"supplier": "Quay Supplies", "price": "31 EUR/kg"})
    line = new.tables["formula"]["ingredient"][at]
    assert (line["name"], line["percent"], line["phase"]) == ("Red-weed gum", 0.4, "gum slurry")
    assert "supplier" not in line
    assert "powder" not in line
    named = [s["ingredients"] for s in new.tables["step"] if "ingredients" in s]
    assert any("Red-weed gum" in names for names in named)
    assert not any("Sclerotium gum" in names for names in named)
    assert to_look_at(MATERIALS["sclerotium-gum"], gum) == (
        "Red-weed gum has to stay below 50 degC: see when it goes in.",
        "Red-weed gum may be in at 1 % at most.",
        "The list of ingredients on the label changes: Sclerotium Gum becomes Carrageenan.",
        "Red-weed gum: No safety data sheet is entered: its hazards are not known. Handle it as hazardous.",
    )
    with pytest.raises(ChangeRefused, match="Glycerin is in the formula already"):
        swapped(draft, at, MATERIALS["glycerin"])


def test_what_is_the_same_needs_no_look():
    oil = {
        "name": "Shore oil",
        "inci": "X",
        "role": "oil",
        "sheet_revised": tomllib.loads("d = 2025-01-01")["d"],
    }
    assert to_look_at(oil, {**oil, "name": "Other shore oil"}) == ()


# --- whatever somebody writes by hand --------------------------------------------------------------------


def _spoiled(tables, where, value):
    """The tables with one value anywhere in them changed."""
    found = tables
    for part in where[:-1]:
        found = found[part]
    found[where[-1]] = value
    return tables


def _places(value, path=()):
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, one in inner:
        yield (*path, key)
        yield from _places(one, (*path, key))


@given(st.data())
@settings(max_examples=12, deadline=None)
def test_any_hand_edit_is_shown_or_refused_in_one_sentence(data):
    tables = tomllib.loads(text_of("tide-pool-gel"))
    where = data.draw(st.sampled_from(sorted(_places(tables), key=str)))
    value = data.draw(st.sampled_from([5, -1.5, "x", "", [], {}, [1], True, {"a": 1}, "rest", "70 degC"]))
    draft = draft_of(tomlkit.dumps(_spoiled(tables, where, value)))
    for look in (lambda: draft_facts("k", History((("x", draft),), 0)), lambda: with_proposed_method(draft)):
        try:
            look()
        except RecipeError as refused:
            said = str(refused)
            assert said.count("\n") == 0, said
