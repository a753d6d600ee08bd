"""What is said of trouble, at every level of guidance; whole makes at each level: tests/makes/test_makes_whole.py."""

from __future__ import annotations

from dataclasses import replace

from benchapp.make.guidance import guided
from benchapp.make.view_model import Trouble
from benchapp.make.vocabulary import TroubleKind
from procedures.reading import read_procedure
from procedures.shelf import find


def test_what_is_said_of_trouble_stays_at_every_level(make_rehearsal):
    view = make_rehearsal(read_procedure(find("tide-pool-gel")).procedure).session.view()
    noted = replace(view.act_view, note="Switch it off.", cautions=())
    troubled = replace(view, trouble=Trouble(TroubleKind.ALARM, "Too hot", "It is hot."), act_view=noted)
    assert guided(troubled, "brief").act_view.note == "Switch it off."
    assert guided(replace(troubled, trouble=None), "brief").act_view.note == ""
