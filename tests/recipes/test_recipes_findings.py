"""What is wrong with a draft, said to somebody who touches fields and writes no file."""

import re
import tomllib

import pytest
from recipe_samples import draft_of, text_of

from benchapp.recipes.draft import with_fields, without
from benchapp.recipes.findings import findings_of
from procedures.shelf import shipped

NONSENSE = ("much", -3, [], {"a": 1}, True)
#: Signs of a file: an assignment, brackets, a name with an underscore.
OF_A_FILE = re.compile(r"\w = |\[\[|\[\"|\b[a-z]+_[a-z]+\b|in quotes")


def places(tables, at=()):
    """Every table of a procedure, by its path."""
    for key, value in tables.items():
        if isinstance(value, dict):
            yield (*at, key), value
            yield from places(value, (*at, key))
        elif isinstance(value, list) and value and isinstance(value[0], dict):
            for n, one in enumerate(value):
                yield (*at, key, n), one


@pytest.mark.parametrize(
    "key", [pytest.param(k, marks=() if k == "oat-hand-lotion" else pytest.mark.by_hand) for k in shipped()]
)
def test_no_sentence_is_about_writing_a_file(key):
    draft = draft_of(text_of(key))
    seen = 0
    for n, (place, table) in enumerate(places(tomllib.loads(draft.text))):
        for m, field in enumerate(table):
            if isinstance(table[field], dict) or (
                isinstance(table[field], list) and isinstance(table[field][0], dict)
            ):
                continue
            wrong = with_fields(draft, place, {field: NONSENSE[(n + m) % len(NONSENSE)]})
            for found in findings_of(wrong):
                assert not OF_A_FILE.search(found.sentence), (place, field, found.sentence)
                seen += 1
        if isinstance(place[-1], int):
            for found in findings_of(without(draft, place)):
                assert not OF_A_FILE.search(found.sentence), (place, found.sentence)
    assert seen > 100
