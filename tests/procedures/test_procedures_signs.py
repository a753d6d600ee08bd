"""What a procedure's texts may be written with: nothing unseen, and what the typeface lacks is said at once."""

import unicodedata

import pytest
from procedure_edits import edited, problems

from benchapp.foundation.drawn_signs import DRAWN
from benchapp.foundation.name_likeness import UNSEEN
from benchapp.record.documents.fonts import register
from procedures.errors import ProcedureInvalid
from procedures.reading import read_text

OIL, TITLE = 'name = "Oat oil"', 'title = "Find the density"'


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (OIL, 'name = "Oat\\u202E oil"'),
        (OIL, 'name = "Oat\u200b oil"'),
        (TITLE, 'title = "Find the\u2028density"'),
        (TITLE, 'title = "Find the den\u00adsity"'),
    ],
)
def test_what_cannot_be_seen_stands_in_no_text(old, new):
    """A direction mark turned the letters of a name around, up to an approved label."""
    found = problems(edited("oat-hand-lotion", (old, new)))
    assert [(p.rule, p.grade) for p in found] == [("unseen-sign", "error")]
    at = edited("oat-hand-lotion", (old, new)).split("\n")[found[0].line - 1]
    assert new[:10] in at


def test_a_batch_made_before_keeps_its_names():
    text = edited("oat-hand-lotion", (OIL, 'name = "Oat\\u202E oil"'))
    with pytest.raises(ProcedureInvalid):
        read_text(text)
    assert "oat-oil" in read_text(text, as_made=True).procedure.materials


@pytest.mark.parametrize("sign", ["\U0001f9f4", "\u0632", "\u2011", "\u4e2d"])
def test_what_would_be_an_empty_box_is_said_at_entry(sign):
    found = problems(edited("oat-hand-lotion", (OIL, f'name = "Oat oil {sign}"')))
    assert [(p.rule, p.grade) for p in found] == [("undrawn-sign", "warning")]
    assert f"U+{ord(sign):04X}" in found[0].what


def test_the_table_of_signs_is_the_typefaces_own():
    unseen = {n for n in register() if unicodedata.category(chr(n)) in UNSEEN} | {0xFFFC, 0xFFFD}
    assert register() - unseen == DRAWN


@pytest.mark.parametrize("content", ["0.000000001 g", "0.0001 ml"])
def test_a_content_nobody_can_fill_is_refused(content):
    found = problems(edited("oat-hand-lotion", ('content = "100 ml"', f'content = "{content}"')))
    assert "is less than can be filled" in found[0].what
