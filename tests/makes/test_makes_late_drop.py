"""An ordinary make asks nothing that nobody has to answer: a drop that falls after its weight was taken is booked by itself."""

from __future__ import annotations

from walked import walk

from benchapp import events as ev
from benchapp.make.vocabulary import ChoiceKey


def test_a_late_drop_is_booked_and_nothing_is_asked(tmp_path):
    made = walk("oat-hand-lotion", tmp_path)
    drops = [x.event for x in made.stored if isinstance(x.event, ev.LateDropFound)]
    assert drops, "the simulated hands let none fall any more: choose another make"
    asked = [m for m in made.moments if ChoiceKey.HAD_BEGUN in {c.key for c in m.act_view.choices}]
    assert not asked, asked[0].act_view.not_yet
