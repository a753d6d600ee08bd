"""A whole make in which every wait is used to weigh what comes later, and its end is the same as without."""

from __future__ import annotations

import pytest
from acting import to_the_end
from walking import walk

from benchapp import events as ev
from benchapp.make.folding import fold
from benchapp.make.pictures import VesselPicture
from benchapp.runtime.session_start import reopen
from procedures.cautions import cautions_for
from procedures.reading import read_procedure
from procedures.shelf import find


@pytest.mark.parametrize(
    ("name", "asides"),
    [
        ("oat-hand-lotion", [("06-heat", "11-weigh")]),
        pytest.param("winter-shore-cream", [("04-heat", "08-weigh"), ("04-heat", "09-weigh")], marks=pytest.mark.by_hand),
        pytest.param("dune-rose-emulsion", [("06-heat", "11-weigh"), ("06-heat", "12-weigh")], marks=pytest.mark.by_hand),
        pytest.param("tide-pool-gel", [("05-disperse", "07-weigh"), ("05-disperse", "10-weigh")], marks=pytest.mark.by_hand),
    ],
)  # fmt: skip
def test_a_whole_make_with_every_wait_used(name, asides, make_rehearsal, journal):
    procedure = read_procedure(find(name)).procedure
    rehearsal = make_rehearsal(procedure)
    assert to_the_end(rehearsal).over == "finished"
    events = journal.events("b1")
    assert [(e.step, e.into) for e in events if isinstance(e, ev.SteppedAside)] == asides
    kinds = {s.key: s.kind for s in procedure.steps}
    weighed = [e.line for e in events if isinstance(e, ev.WeightTaken) and kinds[e.step] == "weigh"]
    assert len(weighed) == len(set(weighed)), "nothing is weighed twice"
    state = fold(events)
    assert sorted(state.steps_done) == sorted(s.key for s in procedure.steps)
    assert state.waiting is None
    acknowledged = set()
    for event in events:
        if isinstance(event, ev.CautionAcknowledged):
            acknowledged.add((event.step, event.caution))
        if isinstance(event, ev.ActBegan) and event.act != "cautions":
            step = next(s for s in procedure.steps if s.key == event.step)
            serious = {(step.key, c.key) for c in cautions_for(step, procedure) if c.serious}
            assert serious <= acknowledged, event


def test_a_make_that_died_beside_its_wait_goes_on_beside_it(make_rehearsal, journal):
    rehearsal = make_rehearsal(read_procedure(find("oat-hand-lotion")).procedure)
    walk(
        rehearsal,
        lambda m: m.meanwhile is not None and isinstance(m.act_view.picture, VesselPicture),
    )
    before = rehearsal.session.make.state
    now = rehearsal.bench.now_s
    again = reopen(journal, journal.stored("b1"), 20.0, lambda: now)
    after = again.make.state
    assert (after.step, after.waiting.step, after.waiting.act) == (before.step, "06-heat", "heat")
    assert after.tied == before.tied
    assert again.view().meanwhile is not None
    assert again.view().trouble.kind == "scale doubted"
