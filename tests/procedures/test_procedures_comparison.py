"""Two versions of a procedure: what changed, in percent and in steps, and nothing else."""

from __future__ import annotations

import pytest

from procedures.comparison import FieldChange, changes
from procedures.shelf import find, shipped


def text_of(name):
    return find(name).read_text("utf-8")


LOTION = text_of("oat-hand-lotion")


@pytest.mark.parametrize("name", shipped())
def test_a_version_differs_from_itself_in_nothing(name):
    assert changes(text_of(name), text_of(name)) == ()


def test_notes_and_spaces_do_not_count():
    plain = "\n".join(
        line.partition(" # ")[0].rstrip() for line in LOTION.splitlines() if not line.startswith("#")
    )
    assert plain != LOTION
    assert changes(LOTION, plain) == ()


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('percent = 4.0\n', 'percent = 5.0\n', FieldChange("Glycerin", "percent", "4", "5")),
        ('hold = "10 min"', 'hold = "12 min"', FieldChange("step 6, Heat both phases together", "hold", "10 min", "12 min")),
        ('capacity = "1500 ml"', 'capacity = "2 l"', FieldChange("vessel water pot", "capacity", "1500 ml", "2 l")),
        ('usual = "500 g"', 'usual = "600 g"', FieldChange("batch", "usual", "500 g", "600 g")),
        ("ph = [5.0, 5.8] # where", "ph = [5.0, 5.6] # where", FieldChange("formula", "ph", "5; 5.8", "5; 5.6")),
        ('due = "7 days"', 'due = "14 days"', FieldChange("release check Warm and cold storage", "due", "7 days", "14 days")),
    ],
)  # fmt: skip
def test_one_changed_field_is_named_with_both_its_values(old, new, said):
    assert LOTION.count(old) >= 1
    assert changes(LOTION, LOTION.replace(old, new, 1)) == (said,)


def test_an_ingredient_that_comes_and_one_that_goes_are_told_with_their_percent():
    shea = LOTION.replace('name = "Shea butter"', 'name = "Cupuacu butter"')
    assert changes(LOTION, shea) == (
        FieldChange("Shea butter", "percent", "2 %", ""),
        FieldChange("Cupuacu butter", "percent", "", "2 %"),
    )


def test_a_step_that_is_moved_goes_here_and_comes_there():
    blocks = LOTION.split("[[step]]")
    look = next(n for n, b in enumerate(blocks) if 'kind = "look"' in b)
    moved = [*blocks[: look - 1], blocks[look], blocks[look - 1], *blocks[look + 1 :]]
    found = changes(LOTION, "[[step]]".join(moved))
    assert {(c.where.partition(", ")[2], c.before, c.after) for c in found} <= {
        ("Look at it, smell it, touch it", "there", ""), ("Look at it, smell it, touch it", "", "there"),
        ("Measure and set the pH", "there", ""), ("Measure and set the pH", "", "there"),
    }  # fmt: skip
    assert len(found) == 2


def test_a_step_with_another_title_is_still_that_step():
    found = changes(LOTION, LOTION.replace('title = "Blend in bursts"', 'title = "Blend it"'))
    assert found == (FieldChange("step 9, Blend it", "title", "Blend in bursts", "Blend it"),)
