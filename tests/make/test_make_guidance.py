"""Three levels of guidance over one procedure: the words differ, the cautions and everything that decides do not."""

from __future__ import annotations

from dataclasses import replace

import pytest
from acting import to_the_end

from benchapp.make.guidance import guided
from benchapp.make.guidance_levels import LEVELS
from benchapp.make.moment import Trouble
from procedures.reading import read_procedure
from procedures.shelf import find, shipped


@pytest.fixture
def moments(make_rehearsal):
    """Every different moment of a whole rehearsal of one procedure."""

    def walk(name):
        seen = {}
        to_the_end(
            make_rehearsal(read_procedure(find(name)).procedure),
            watch=lambda m: seen.setdefault((m.prompt, m.face.instruction, m.cautions, m.face.cautions), m),
        )
        return list(seen.values())

    return walk


@pytest.mark.parametrize("name", shipped())
def test_over_a_whole_make_only_the_guidance_differs(moments, name):
    found = moments(name)
    assert any(m.cautions for m in found)
    for moment in found:
        full, normal, brief = (guided(moment, level) for level in LEVELS)
        for one in (full, normal, brief):
            assert (one.cautions, one.face.cautions) == (moment.cautions, moment.face.cautions)
            bare = replace(one, detail=moment.detail, face=replace(one.face, note=moment.face.note))
            assert bare == moment
        if moment.trouble is None and not moment.over:
            assert moment.detail.why
            assert moment.detail.why in full.face.note
            assert full.face.note.startswith(moment.face.note)
        assert normal.face.note == moment.face.note
        if brief.face.note:
            assert moment.trouble is not None or moment.face.cautions


def test_what_is_said_of_trouble_stays_at_every_level(moments):
    moment = moments("tide-pool-gel")[0]
    noted = replace(moment.face, note="Switch it off.", cautions=())
    troubled = replace(moment, trouble=Trouble("alarm", "Too hot", "It is hot."), face=noted)
    assert guided(troubled, "brief").face.note == "Switch it off."
    assert guided(replace(troubled, trouble=None), "brief").face.note == ""
