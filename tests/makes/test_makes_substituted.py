"""A lotion with another oil than its procedure says, over real ports: weighed, filled, and on the record as what it is."""

from __future__ import annotations

from acting import to_the_end
from substitutes import keep_a_shelf

from benchapp import events as ev
from benchapp.calculations.limits import DEFAULT_LAW
from benchapp.record.drawing_up import record_of
from benchapp.rehearsal.run import rehearse
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from benchapp.service.procedure_facts import procedure_facts
from benchapp.service.substitution import substituted
from drivers.simulated import DEFAULT_DEVICES, SimulatedBench


def test_a_lotion_is_made_with_the_other_oil(lotion, journal, tmp_path):
    keep_a_shelf(tmp_path)
    found = substituted(lotion, "Sunflower oil", "Rapeseed oil", tmp_path, DEFAULT_LAW)
    found = found.approved(journal, "it is not to be had", "Mara Lind", "")
    bench = SimulatedBench(seed=1, devices=DEFAULT_DEVICES)
    facts = [facts_of(d) for d in bench.bench.devices]
    order = BatchOrder(
        found.made, 500.0, facts, "Mara Lind", "b1", rehearsal=True, substitution=found.substitution
    )
    rehearsal = rehearse(bench, begin(journal, order, lambda: bench.now_s), 1)
    try:
        assert to_the_end(rehearsal).over == "finished"
    finally:
        rehearsal.close()
    events = journal.events("b1")
    lines = {e.line for e in events if isinstance(e, ev.WeightTaken)}
    assert "rapeseed-oil" in lines
    assert "sunflower-oil" not in lines
    assert [e.number for e in events if isinstance(e, ev.DeviationNoted)] == [1]
    record = record_of(journal.stored("b1"), procedure_facts(found.made))
    assert record.deviations[0]["text"].startswith("Rapeseed oil in place of Sunflower oil")
    assert any(x.what == "Rapeseed oil" for x in record.weighings)
