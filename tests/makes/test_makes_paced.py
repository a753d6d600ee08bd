"""Slowly and in portions over real ports: oil in a thin stream by the clock, a boat in thirds, an oil by the scale."""

from __future__ import annotations

import pytest
from acting import to_the_end
from procedure_edits import drop, edited

from benchapp import events as ev
from benchapp.record.drawing_up import record_of
from procedures.reading import read_text


def test_a_cream_whose_parts_all_go_in_gently(make_rehearsal, journal):
    changes = (
        drop("Weigh the second boat"), ('any_order = "the two boats" # whichever the bench is ready for\n', ""),
        ('pour = "first boat"\n', 'pour = "first boat"\nportions = 3\nbetween = "20 s"\n'),
        ('pour = "second boat"\n', 'ingredients = ["Oil-soluble vitamin C", "Lavender oil"]\nduring = "2 min"\n'),
        ('phase = "second cool-down"\npercent = 0.3', 'phase = "second cool-down"\ntolerance = "10 %"\npercent = 0.3'),
    )  # fmt: skip
    procedure = read_text(edited("winter-shore-cream", *changes)).procedure
    rehearsal, oil = make_rehearsal(procedure), {}

    def watch(view):
        if view.step_kind == "combine" and view.act_view.stage == "running":
            oil[round(view.act_view.picture.elapsed_s)] = rehearsal.bench.world.vessel("oil-pot").net_g

    assert to_the_end(rehearsal, watch=watch).over == "finished"
    assert 0.2 < oil[45] / oil[min(oil)] < 0.8, "neither all of it at once, nor at the end"
    assert oil[85] < 0.4 * oil[min(oil)]
    events = journal.events("b1")
    said = [e.text for e in events if isinstance(e, ev.Confirmed)]
    assert [x for x in said if "first boat" in x] == [
        "Pour part 1 of 3 of the first boat into the water pot.", "Pour part 2 of 3 of the first boat into the water pot.",
        "Pour the rest of the first boat into the water pot.",
    ]  # fmt: skip
    begun = next(e.at_s for e in events if isinstance(e, ev.PourBegan) and e.line == "oil-soluble-vitamin-c")
    taken = next(e for e in events if isinstance(e, ev.WeightTaken) and e.line == "oil-soluble-vitamin-c")
    assert 90.0 < taken.at_s - begun < 200.0
    assert taken.net_g == pytest.approx(6.0, abs=0.15)
    record = record_of(journal.stored("b1"))
    assert not [d for d in record.deviations if d["kind"] == "added too fast"]
