"""Three levels of guidance over one procedure: the words differ, the cautions and everything that decides do not."""

from __future__ import annotations

from dataclasses import replace

import pytest
from acting import to_the_end

from benchapp.make.guidance import guided
from benchapp.make.guidance_levels import LEVELS
from benchapp.make.view_model import Trouble
from benchapp.make.vocabulary import TroubleKind
from procedures.reading import read_procedure
from procedures.shelf import find, shipped


@pytest.fixture
def views(make_rehearsal):
    """Every different moment of a whole rehearsal of one procedure."""

    def walk(name):
        seen = {}
        to_the_end(
            make_rehearsal(read_procedure(find(name)).procedure),
            watch=lambda m: seen.setdefault(
                (m.prompt, m.act_view.instruction, m.cautions, m.act_view.cautions), m
            ),
        )
        return list(seen.values())

    return walk


@pytest.mark.parametrize("name", shipped())
def test_over_a_whole_make_only_the_guidance_differs(views, name):
    found = views(name)
    assert any(m.cautions for m in found)
    for view in found:
        full, normal, brief = (guided(view, level) for level in LEVELS)
        for one in (full, normal, brief):
            assert (one.cautions, one.act_view.cautions) == (view.cautions, view.act_view.cautions)
            bare = replace(one, detail=view.detail, act_view=replace(one.act_view, note=view.act_view.note))
            assert bare == view
        if view.trouble is None and not view.over:
            assert view.detail.why
            assert view.detail.why in full.act_view.note
            assert full.act_view.note.startswith(view.act_view.note)
        assert normal.act_view.note == view.act_view.note
        if brief.act_view.note:
            assert view.trouble is not None or view.act_view.cautions


def test_what_is_said_of_trouble_stays_at_every_level(views):
    view = views("tide-pool-gel")[0]
    noted = replace(view.act_view, note="Switch it off.", cautions=())
    troubled = replace(view, trouble=Trouble(TroubleKind.ALARM, "Too hot", "It is hot."), act_view=noted)
    assert guided(troubled, "brief").act_view.note == "Switch it off."
    assert guided(replace(troubled, trouble=None), "brief").act_view.note == ""
