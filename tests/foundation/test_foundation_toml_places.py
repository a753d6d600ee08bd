"""Where keys and values stand in a TOML text."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.foundation.toml_places import Place, Places
from procedures.shelf import find, shipped

TEXT = (
    """\
top = 1
[formula]
name = "ä"; # a comment
""".replace(";", "")
    + """\
ph = [5.0, # low
      5.8]
"odd key".inner = true
[[formula.ingredient]]
name = 'x'
parts = [{ label = "ä", phase = "p" }, { label = "b" }]
[formula.ingredient.more]
deep = 1979-05-27
[[formula.ingredient]]
name = \"\"\"
several
lines\"\"\"
[[step]]
kind = "heat"
"""
)


@pytest.mark.parametrize(
    ("path", "value", "key"),
    [
        (("top",), (1, 7), (1, 1)),
        (("formula",), (2, 1), (2, 1)),
        (("formula", "name"), (3, 8), (3, 1)),
        (("formula", "ph"), (4, 6), (4, 1)),
        (("formula", "ph", 1), (5, 7), (5, 7)),
        (("formula", "odd key", "inner"), (6, 19), (6, 1)),
        (("formula", "ingredient", 0), (7, 1), (7, 1)),
        (("formula", "ingredient", 0, "parts", 0, "phase"), (9, 33), (9, 25)),
        (("formula", "ingredient", 0, "parts", 1, "label"), (9, 50), (9, 42)),
        (("formula", "ingredient", 0, "more", "deep"), (11, 8), (11, 1)),
        (("formula", "ingredient", 1, "name"), (13, 8), (13, 1)),
        (("step", 0, "kind"), (17, 8), (17, 1)),
    ],
)
def test_finds_value_and_key(path, value, key):
    places = Places(TEXT)
    assert places.value(path) == Place(*value)
    assert places.key(path) == Place(*key)


def test_what_is_missing_is_where_it_ought_to_be():
    places = Places(TEXT)
    assert places.value(("step", 0, "band", 1)) == Place(16, 1)
    assert places.value(("nowhere",)) == Place(1, 1)


def _paths(value, path=()):
    yield path
    children = (
        value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    )
    for name, child in children:
        yield from _paths(child, (*path, name))


@pytest.mark.parametrize("name", shipped())
def test_every_value_of_a_shipped_file_stands_on_the_line_that_shows_it(name):
    text = find(name).read_text(encoding="utf-8")
    lines, places = text.split("\n"), Places(text)
    for path in _paths(tomllib.loads(text)):
        if path and isinstance(path[-1], str) and len(path) > 1:
            place = places.key(path)
            assert path[-1] in lines[place.line - 1][place.column - 1 :]


@given(st.text(max_size=200))
def test_no_text_breaks_it(text):
    Places(text.replace("\r", "")).value(("a", 0))
