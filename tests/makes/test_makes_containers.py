"""The balm poured into moulds, over real ports: filled by mass, unmoulded later, and on the record under its own word."""

from __future__ import annotations

from acting import to_the_end
from procedure_edits import edited

from benchapp.record.documents.as_text import as_text
from benchapp.record.drawing_up import record_of
from benchapp.service.procedure_facts import procedure_facts
from procedures.reading import read_text


def test_bars_are_made(make_rehearsal, journal):
    procedure = read_text(
        edited("sand-bar-balm", ('container = "tin"', 'container = "bar"\nunmould = "after 4 h in the cold"'))
    ).procedure
    said = []
    end = to_the_end(make_rehearsal(procedure), watch=lambda view: said.append(view.act_view.instruction))
    assert end.over == "finished"
    assert "Put empty bar 8 on the bench scale." in said
    assert "Leave the bars in their moulds. Unmould: after 4 h in the cold." in said
    assert not [x for x in said if "bottle" in x or "tin " in x]
    record = record_of(journal.stored("b1"), procedure_facts(procedure))
    assert [x.what for x in record.containers] == [f"bar {n}" for n in range(1, 9)]
    assert record.storage == "Cool and dark; it softens above 35 °C; unmould: after 4 h in the cold"
    assert "unmould: after 4 h in the cold" in "\n".join(as_text(record))
