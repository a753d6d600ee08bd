"""Rows that are called alike say what tells them from each other."""

from recipe_samples import draft_of, text_of

from benchapp.recipes.draft_store import History
from benchapp.recipes.telling_apart import told_apart
from benchapp.service.recipe_facts import draft_facts


def test_a_row_alone_needs_nothing():
    assert told_apart([("Glycerin", "water"), ("Panthenol", "water")]) == ("", "")


def test_the_first_thing_in_which_they_differ_tells_them_apart():
    rows = [("Glycerin", "water", "4 %"), ("glycerin", "water", "1 %"), ("Panthenol", "cool", "1 %")]
    assert told_apart(rows) == ("4 %", "1 %", "")


def test_what_is_alike_throughout_is_counted():
    assert told_apart([("Stir", "pot")] * 3) == ("number 1", "number 2", "number 3")


def test_steps_of_one_title_and_lines_of_one_name_can_be_told_apart():
    text = text_of("winter-shore-cream").replace('title = "Stir it below 45 °C"', 'title = "Stir it cool"')
    text = text.replace('title = "Stir it below 35 °C"', 'title = "Stir it cool"')
    text = text.replace('name = "Betaine"', 'name = "Glycerin"')
    facts = draft_facts("x", _history(draft_of(text)))
    assert [s.heading for s in facts.steps if s.title == "Stir it cool"] == [
        "10. Stir it cool, 45 °C", "12. Stir it cool, 35 °C",
    ]  # fmt: skip
    assert [x.name for x in facts.lines if x.row.name == "Glycerin"] == ["Glycerin, 4 %", "Glycerin, 2 %"]
    assert facts.lines[0].name == "Purified water"


def _history(draft):
    return History((("begun", draft),), 0)
