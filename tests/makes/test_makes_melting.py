"""A butter melted before it is weighed, over real ports: set to melt first, poured warm, and all of it on the record."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.record.drawing_up import record_of
from benchapp.service.procedure_facts import procedure_facts


def test_the_balm_is_made_with_a_melted_butter(walked):
    made = walked("sand-bar-balm")
    assert made.end.over == "finished"
    events = [s.event for s in made.stored]
    said = [(e.step, e.text) for e in events if isinstance(e, ev.Confirmed)]
    set_to, clear = (
        ("01-prepare", "Set Shea butter to melt, at 60 °C at most."),
        ("02-weigh", "Melted and clear: Shea butter"),
    )
    taken = next(n for n, e in enumerate(events) if isinstance(e, ev.LotTaken) and e.line == "shea-butter")
    assert said.index(set_to) < said.index(clear)
    assert events.index(next(e for e in events if isinstance(e, ev.Confirmed) and e.text == clear[1])) < taken
    record = record_of(made.stored, procedure_facts(made.procedure))
    assert {set_to[1], clear[1]} <= {x.what for x in record.confirmations}
    assert not [
        d for d in record.deviations if not d["kind"].startswith(("unchecked", "above the heating", "yield"))
    ]


def test_the_melted_butter_warms_the_pot(make_rehearsal):
    from walking import walk

    from procedures.reading import read_procedure
    from procedures.shelf import find

    rehearsal = make_rehearsal(read_procedure(find("sand-bar-balm")).procedure)
    walk(rehearsal, lambda m: m.act_view.instruction == "Take Beeswax.")
    assert rehearsal.bench.world.vessel("fat-pot").temp_c > 25.0
