"""A balm poured warm, over real ports: it cools too far in the middle of the tins, is warmed again, and goes on."""

from __future__ import annotations

from acting import to_the_end
from procedure_edits import edited

from benchapp import events as ev
from benchapp.record.drawing_up import record_of
from benchapp.service.procedure_facts import procedure_facts
from drivers.simulated import DEFAULT_DEVICES
from procedures.reading import read_text

#: It comes to the tins with about 65 °C, and cools by half a kelvin in a minute.
NARROW = ('above = "56 degC"', 'above = "64.3 degC"')


def test_it_cools_in_the_middle_is_warmed_again_and_all_tins_are_filled(make_rehearsal, journal):
    procedure = read_text(edited("sand-bar-balm", NARROW)).procedure
    asked = []
    end = to_the_end(
        make_rehearsal(procedure, devices=DEFAULT_DEVICES),
        watch=lambda view: (
            asked.append(view.act_view.instruction) if view.act_view.stage == "cooled" else None
        ),
    )
    assert end.over == "finished"
    assert asked[0] == "Warm the fat pot again."
    assert asked[-1] == "The fat pot can be filled again."

    events = journal.events("b1")
    noted, *_ = [e for e in events if isinstance(e, ev.DeviationNoted) and e.kind == "cooled while filling"]
    tins = [e for e in events if isinstance(e, ev.BottleFilled)]
    assert 0 < len([t for t in tins if t.at_s < noted.at_s]) < len(tins) == 8
    warm = [
        c
        for e in events
        if isinstance(e, ev.TemperaturesLogged) and e.step == noted.step
        for _, c in e.temps_c
    ]
    assert min(warm) < 64.3 < max(warm) < 67.0

    record = record_of(journal.stored("b1"), procedure_facts(procedure))
    assert len(record.containers) == 8
    assert any(d["kind"] == "cooled while filling" for d in record.deviations)
