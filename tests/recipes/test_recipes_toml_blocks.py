"""A change in a procedure's text touches nothing else: bytes, comments, the order of what is left alone."""

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchapp.recipes.errors import ChangeRefused
from benchapp.recipes.toml_blocks import (
    blocks_of,
    joined,
    with_fields,
    with_table,
    with_table_moved,
    without_table,
)
from procedures.shelf import find, shipped

TEXTS = {key: find(key).read_bytes().decode() for key in shipped()}
any_text = st.sampled_from(sorted(TEXTS)).map(TEXTS.get)
either_end = st.tuples(any_text, st.booleans()).map(lambda x: x[0].replace("\n", "\r\n") if x[1] else x[0])
KINDS = ("vessel", "step", "release")


def lines_of(text):
    return [line.rstrip("\r\n") for line in text.split("\n")]


@given(either_end)
@settings(max_examples=10, deadline=None)
def test_blocks_together_are_the_text(text):
    assert joined(blocks_of(text)) == text


@given(either_end, st.sampled_from(KINDS), st.data())
@settings(max_examples=12, deadline=None)
def test_moving_a_table_there_and_back_is_nothing(text, kind, data):
    count = len(tomllib.loads(text)[kind])
    at, to = data.draw(st.integers(0, count - 1)), data.draw(st.integers(0, count - 1))
    moved = with_table_moved(text, (kind, at), to)
    assert sorted(lines_of(moved)) == sorted(lines_of(text))
    assert with_table_moved(moved, (kind, to), at) == text


@given(either_end, st.sampled_from((*KINDS, "formula.ingredient")), st.data())
@settings(max_examples=12, deadline=None)
def test_one_more_table_and_out_again_is_nothing(text, kind, data):
    names = tuple(kind.split("."))
    tables = tomllib.loads(text)
    for name in names:
        tables = tables[name]
    at = (*names, data.draw(st.integers(0, len(tables))))
    more = with_table(text, at, {"name": "Driftwood", "note": "a\nb", "list": ["x", "y"]})
    assert set(lines_of(text)) <= set(lines_of(more))
    assert without_table(more, at) == text


@given(either_end, st.data())
@settings(max_examples=12, deadline=None)
def test_a_field_changed_and_changed_back_is_nothing(text, data):
    steps = tomllib.loads(text)["step"]
    at = data.draw(st.integers(0, len(steps) - 1))
    key = data.draw(
        st.sampled_from([k for k, v in steps[at].items() if isinstance(v, str) and "\n" not in v])
    )
    other = with_fields(text, ("step", at), {key: "something else"})
    assert len(set(lines_of(text)) ^ set(lines_of(other))) <= 2
    back = with_fields(other, ("step", at), {key: steps[at][key]})
    assert back == text


def test_what_stays_the_same_stays_byte_for_byte():
    text = TEXTS["oat-hand-lotion"].replace("percent = 4.0", "percent = 4.00 # as tried")
    assert with_fields(text, ("formula", "ingredient", 2), {"percent": 4.0}) == text
    changed = with_fields(text, ("formula", "ingredient", 2), {"percent": 4.5})
    assert "percent = 4.5 # as tried" in changed


def test_the_comment_right_over_a_table_goes_with_it_and_a_heading_stays():
    text = (
        '# ---- How ----\n\n# wash first\n[[step]]\nkind = "a"\n\n# then melt\n[[step]]\nkind = "b" # hot\n\n'
        '# ---- After ----\n\n[[release]]\nname = "x"\n'
    )
    assert with_table_moved(text, ("step", 1), 0) == (
        '# ---- How ----\n\n# then melt\n[[step]]\nkind = "b" # hot\n\n# wash first\n[[step]]\nkind = "a"\n\n'
        '# ---- After ----\n\n[[release]]\nname = "x"\n'
    )
    assert without_table(text, ("step", 1)) == (
        '# ---- How ----\n\n# wash first\n[[step]]\nkind = "a"\n\n# ---- After ----\n\n[[release]]\nname = "x"\n'
    )


def test_a_new_table_stands_before_the_heading_of_the_next_part():
    text = TEXTS["oat-hand-lotion"]
    more = with_table(text, ("vessel", 4), {"name": "spare boat", "capacity": "50 ml"})
    assert more.index('name = "spare boat"') < more.index("# ---- How it is made")
    assert more.index('name = "spare boat"') > more.index('name = "cool-down boat"')


def test_items_of_a_list_keep_their_comments():
    text = TEXTS["oat-hand-lotion"]
    composition = tomllib.loads(text)["formula"]["ingredient"][10]["composition"]
    composition[2]["percent"] = [6, 9]
    changed = with_fields(text, ("formula", "ingredient", 10), {"composition": composition})
    assert "# a mixture invented for the demo, nobody's" in changed
    assert len(set(lines_of(changed)) - set(lines_of(text))) == 1


def test_tables_are_made_in_their_order_in_an_empty_text():
    text = ""
    text = with_table(text, ("step", 0), {"kind": "finish", "title": "End"})
    text = with_fields(text, ("formula",), {"name": "Foam", "use": "leave-on"})
    text = with_table(text, ("formula", "ingredient", 0), {"name": "Water"})
    text = with_table(text, ("formula", "ingredient", 1), {"name": "Oil"})
    text = with_fields(text, ("batch",), {"usual": "500 g"})
    assert text == (
        '[formula]\nname = "Foam"\nuse = "leave-on"\n\n[batch]\nusual = "500 g"\n\n'
        '[[formula.ingredient]]\nname = "Water"\n\n[[formula.ingredient]]\nname = "Oil"\n\n'
        '[[step]]\nkind = "finish"\ntitle = "End"\n'
    )


@pytest.mark.parametrize(
    "text",
    ['step = [{ kind = "a" }, { kind = "b" }]\n', 'vessel = []\nstep = [{kind="a"},{kind="b"}]\n'],
)
def test_what_is_written_otherwise_is_refused_and_not_spoiled(text):
    with pytest.raises(ChangeRefused, match="text editor"):
        with_table_moved(text, ("step", 0), 1)
    with pytest.raises(ChangeRefused, match="text editor"):
        without_table(text, ("step", 0))


def test_a_table_with_dotted_keys_and_tables_of_its_own():
    text = '[[formula.ingredient]]\nname = "A"\n[[formula.ingredient.parts]]\nlabel = "x"\n\n[[step]]\nkind = "b"\n'
    changed = with_fields(text, ("formula", "ingredient", 0), {"role": "oil"})
    assert tomllib.loads(changed)["formula"]["ingredient"][0]["role"] == "oil"
    assert "parts" in tomllib.loads(changed)["formula"]["ingredient"][0]
