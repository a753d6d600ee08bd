"""A procedure's sentences are said in the language that is spoken; what things are called, and what is found again by its name, is not."""

from __future__ import annotations

import pytest
from catalogue import marked

from benchapp.foundation.catalogues import language_of
from benchapp.foundation.language import speaking
from procedures.reading import read_procedure, read_text
from procedures.said import looked_up_in, said_here
from procedures.shelf import find, shipped
from procedures.steps import LookOver, Measure


@pytest.mark.parametrize("name", sorted(shipped()))
def test_every_shipped_sentence_is_known_and_nothing_but_sentences_changes(name):
    procedure = read_procedure(find(name)).procedure
    with speaking(marked()):
        said = said_here(procedure)
    bare = repr(said).translate({ord("⟦"): None, ord("⟧"): None})
    assert bare == repr(procedure)
    for before, after in zip(procedure.steps, said.steps, strict=True):
        assert after.plain_title == f"⟦{before.plain_title}⟧"
    assert [m.name for m in said.materials.values()] == [m.name for m in procedure.materials.values()]
    assert "⟦" not in repr((said.materials, said.vessels, said.formula.lines))


def test_what_is_found_again_by_its_name_keeps_it():
    """A look, a measured number and a check of the release are compared between batches."""
    for name in shipped():
        procedure = read_procedure(find(name)).procedure
        with speaking(marked()):
            said = said_here(procedure)
        found = [x.name for s in said.steps if isinstance(s, LookOver) for x in s.looks]
        found += [s.what for s in said.steps if isinstance(s, Measure)] + [r.name for r in said.release]
        assert "⟦" not in "".join(found)
        assert set(found) <= set(looked_up_in(procedure))  # but shown in the reader's language


def test_in_its_own_language_it_is_the_very_same():
    procedure = read_procedure(find("oat-hand-lotion")).procedure
    assert said_here(procedure) is procedure
    assert said_here(procedure.steps[0]) is procedure.steps[0]


def test_the_title_of_a_step_for_one_kettle_is_said_whole():
    procedure = read_procedure(find("breakwater-body-lotion")).procedure
    german = language_of("de")
    with speaking(german):
        title = next(s for s in said_here(procedure).steps if s.kettle == 2).title
    english = next(s for s in procedure.steps if s.kettle == 2).plain_title
    assert title.startswith(german.sentence(english))
    assert title.endswith("2")
    assert "kettle" not in title


def test_a_makers_own_sentence_stays_as_it_is_written():
    text = find("oat-hand-lotion").read_text(encoding="utf-8")
    own = read_text(text.replace('"Weigh the water phase"', '"Weigh what is wet"')).procedure
    with speaking(language_of("de")):
        assert any(s.title == "Weigh what is wet" for s in said_here(own).steps)
