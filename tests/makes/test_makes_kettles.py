"""One batch in two kettles that was dropped, and a phase that is weighed in pails, over real ports."""

from __future__ import annotations

import signal

import pytest
from acting import to_the_end
from pail_gel import pail_gel
from test_makes_killed import read_recorded, start
from test_makes_resumed import again, step_once
from two_gels import two_gels, two_gels_text

from benchapp import events as ev
from benchapp.record.drawing_up import record_of
from benchapp.record.journal import Journal
from benchapp.service.procedure_facts import procedure_facts
from procedures.batch import check_batch


def test_dropped_in_the_second_kettle_it_goes_on_there_and_each_is_filled_by_itself(make_rehearsal, journal):
    procedure = two_gels()
    rehearsal = make_rehearsal(procedure)
    while rehearsal.session.make.state.step != "05-disperse-2":
        step_once(rehearsal)
    held = rehearsal.session.make.state.ledger.of("gel-pot-1").content_g
    rehearsal.close()
    rehearsal = again(journal, journal.stored("b1"), 1)
    assert rehearsal.session.make.state.step == "05-disperse-2"
    assert rehearsal.session.make.state.ledger.of("gel-pot-1").content_g == held
    end = to_the_end(rehearsal)
    rehearsal.close()
    assert end.over == "finished"
    filled = [e for e in journal.events("b1") if isinstance(e, ev.BottleFilled)]
    assert {e.vessel for e in filled} == {"gel-pot-1", "gel-pot-2"}
    assert [e.number for e in filled] == list(range(1, len(filled) + 1)), "no two tubes of one number"
    readings = [e for e in journal.events("b1") if isinstance(e, ev.PhTaken)]
    assert {e.step for e in readings} == {"12-measure-ph-1", "12-measure-ph-2"}
    record = record_of(journal.stored("b1"), procedure_facts(procedure))
    assert [round(k.percent) for k in record.kettles] == [50, 50]
    assert sum(k.went_in_g for k in record.kettles) == pytest.approx(sum(record.grams.values()))


@pytest.mark.by_hand  # a command killed with SIGKILL: what is dropped above is the same to the journal
def test_killed_in_the_second_kettle_it_goes_on_there(tmp_path):
    file, folder = tmp_path / "two-gels.toml", tmp_path / "data"
    file.write_text(two_gels_text(), encoding="utf-8")
    process = start(folder, "rehearse", str(file))
    while shown := read_recorded(process, 1):
        if shown[0].startswith("  = purified-water-kettle-2"):
            break
    assert shown, "it came to the second kettle"
    process.send_signal(signal.SIGKILL)
    process.communicate()
    process = start(folder, "resume")
    _, errors = process.communicate(timeout=200)
    assert process.returncode == 0, errors
    journal = Journal(folder, lambda: "")
    (line,) = journal.batches()
    stored = journal.stored(line.batch)
    journal.close()
    assert line.end == "finished"
    done = [s.event.step for s in stored if isinstance(s.event, ev.StepFinished)]
    assert sorted(done) == sorted(s.key for s in two_gels().steps), "no step twice, none left out"


def test_a_large_phase_is_weighed_straight_into_pails_and_each_goes_on(make_rehearsal, journal):
    procedure = pail_gel()
    assert check_batch(procedure, 10_000.0, [(3000.0, 0.1), (200.0, 0.01)]) == ()
    rehearsal = make_rehearsal(procedure)
    held = []

    def watch(view):
        if view.step_kind == "disperse" and not held:
            held.append(rehearsal.bench.world.vessel("gel-pot").net_g)

    assert to_the_end(rehearsal, watch=watch).over == "finished"
    events = journal.events("b1")
    water = [e for e in events if isinstance(e, ev.WeightTaken) and e.line.startswith("purified-water")]
    assert [w.vessel for w in water] == ["pail-1", "pail-2", "pail-3", "pail-4"]
    assert all(w.source is ev.Source.MEASURED for w in water)
    over = [
        e
        for e in events
        if isinstance(e, ev.MassMoved) and e.into == "gel-pot" and e.origin.startswith("pail")
    ]
    assert len(over) == 4
    assert all(e.source is ev.Source.MEASURED and e.left_g > 0.0 for e in over), "each pail is weighed back"
    assert held[0] == pytest.approx(sum(e.mass_g for e in over), abs=1.0), "what is booked is in the kettle"
    record = record_of(journal.stored("b1"), procedure_facts(procedure))
    assert [k.vessels for k in record.kettles] == [(f"pail {n}",) for n in (1, 2, 3, 4)]
