"""10 kg of gel on a scale for 3 kg, over real ports: the water by the jug in four portions, all of it in the kettle."""

from __future__ import annotations

import pytest
from acting import to_the_end
from large_gel import large_gel

from benchapp import events as ev
from benchapp.record.documents.as_text import as_text
from benchapp.record.drawing_up import record_of
from benchapp.service.procedure_facts import procedure_facts


def test_ten_kilograms_are_made_in_portions(make_rehearsal, journal):
    procedure = large_gel()
    rehearsal = make_rehearsal(procedure)
    poured = []

    def watch(view):
        if view.step_kind == "disperse" and not poured:
            poured.append(rehearsal.bench.world.vessel("gel-pot").net_g)

    assert to_the_end(rehearsal, watch=watch).over == "finished"
    events = journal.events("b1")
    water = [e for e in events if isinstance(e, ev.WeightTaken) and e.line == "purified-water"]
    assert [(w.portion, w.portions) for w in water] == [(n, 4) for n in (1, 2, 3, 4)]
    assert sum(w.net_g for w in water) == pytest.approx(8720.0, abs=25.0), (
        "the last one makes up for the others"
    )
    over = [e for e in events if isinstance(e, ev.MassMoved) and e.origin == "measuring-jug"]
    assert len(over) == 4
    assert all(e.source is ev.Source.MEASURED and 0.0 < e.left_g < 20.0 for e in over)
    assert poured[0] == pytest.approx(sum(e.mass_g for e in over), abs=1.0), (
        "what is booked is what is in the kettle"
    )

    record = record_of(journal.stored("b1"), procedure_facts(procedure))
    (said,) = record.portion_sums
    assert said == f"Purified water: 4 portions, {sum(w.net_g for w in water):.10g} g together."
    text = "\n".join(as_text(record))
    assert said in text
    assert "portion 4 of 4" in text
    assert record.grams["purified-water"] == pytest.approx(sum(w.net_g for w in water))
    assert record.mass is not None
    assert record.mass.left_in_vessels_g < 60.0, "the same drops in the jug are not counted four times"
    assert not [d for d in record.deviations if "weight" in d["kind"] or "vessel" in d["kind"]]
