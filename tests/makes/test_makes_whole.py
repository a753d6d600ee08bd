"""Whole makes of every shipped procedure, bytes on real serial ports in, written record out."""

from __future__ import annotations

from dataclasses import replace

import pytest
from acting import to_the_end

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.folding import fold
from benchapp.make.guidance import guided
from benchapp.make.guidance_levels import LEVELS
from benchapp.record.drawing_up import record_of
from benchapp.runtime.session_start import plan_of
from drivers.simulated import DEFAULT_DEVICES, PH_METER
from procedures.cautions import cautions_for
from procedures.reading import read_procedure
from procedures.shelf import find, shipped


@pytest.mark.parametrize("name", shipped())
def test_every_shipped_procedure_walks_to_its_end(name, walked):
    make = walked(name)
    procedure = make.procedure
    assert make.end.over == "finished"

    record = record_of(make.stored)
    assert record.outcome == "finished"
    weighed = {w.what for w in record.weighings}
    planned = {x.key for x in procedure.formula.lines if x.cap_percent is None}
    assert planned <= weighed, "every line of the formula was weighed"
    assert not [d for d in record.deviations if d["grade"] == "major"]
    band = next(s.yield_percent for s in procedure.steps if s.kind == "finish")
    assert band.holds(record.yield_percent)

    outside = [w for w in record.weighings if not w.low - 1e-9 <= w.value <= w.high + 1e-9]
    noted = [d for d in record.deviations if d["kind"] in ("weight out of band", "over-pour, formula kept")]
    assert len(outside) <= len(noted), "every weight outside its band is a deviation"
    assert len(outside) <= 2, "a practised hand seldom misses"


@pytest.mark.parametrize("name", shipped())
def test_nothing_serious_is_begun_before_it_was_acknowledged(name, walked):
    make = walked(name)
    acknowledged: set[tuple[str, str]] = set()
    for event in (s.event for s in make.stored):
        if isinstance(event, ev.CautionAcknowledged):
            acknowledged.add((event.step, event.caution))
        if isinstance(event, ev.ActBegan) and event.act != "cautions":
            step = next(s for s in make.procedure.steps if s.key == event.step)
            for caution in cautions_for(step, make.procedure):
                assert not caution.serious or (step.key, caution.key) in acknowledged, (
                    event.act,
                    caution.key,
                )
    assert acknowledged


@pytest.mark.parametrize("name", shipped())
def test_only_the_guidance_differs_between_its_levels(name, walked):
    """Three levels of guidance over one procedure: the words differ, the cautions and everything that decides do not."""
    found = walked(name).moments
    assert any(m.cautions for m in found)
    for view in found:
        full, normal, brief = (guided(view, level) for level in LEVELS)
        for one in (full, normal, brief):
            assert (one.cautions, one.act_view.cautions) == (view.cautions, view.act_view.cautions)
            bare = replace(one, detail=view.detail, act_view=replace(one.act_view, note=view.act_view.note))
            assert bare == view
        if view.trouble is None and not view.over:
            assert view.detail.why
            assert view.detail.why in full.act_view.note
            assert full.act_view.note.startswith(view.act_view.note)
        assert normal.act_view.note == view.act_view.note
        if brief.act_view.note:
            assert view.trouble is not None or view.act_view.cautions


def test_recorded_grams_are_the_grams_in_the_world(make_rehearsal, lotion):
    """The simulated vessel, which the make never sees, against the ledger built from bytes."""
    rehearsal = make_rehearsal(lotion)
    session = rehearsal.session
    while session.make.state.step != "05-weigh":
        step_once(rehearsal)
    ledger = session.make.state.ledger
    for key in ("water-pot", "slurry-beaker"):
        vessel = rehearsal.bench.world.vessel(key)
        assert ledger.of(key).gross_g == pytest.approx(vessel.mass_g, abs=0.35), key


def test_a_replay_of_the_journal_is_the_make(make_rehearsal, journal, lotion):
    """State is the fold of the events: played again they give the same step, ledger, deviations and prompt."""
    rehearsal = make_rehearsal(lotion)
    while rehearsal.session.make.state.step != "10-cool":
        step_once(rehearsal)
    live = rehearsal.session.make
    events = journal.events("b1")
    again = Make(plan_of(events[0]), events)
    assert again.state.prompt == live.state.prompt
    assert again.state.now_s == live.state.now_s
    assert again.state.deviations == live.state.deviations
    assert {k: v.contents_g for k, v in again.state.ledger.vessels.items()} == {
        k: v.contents_g for k, v in live.state.ledger.vessels.items()
    }
    assert fold(events).steps_done == live.state.steps_done


def test_the_same_bench_and_hands_give_the_same_record(make_rehearsal, journal, lotion):
    """Deterministic over real ports: two rehearsals with one seed write the same events, byte for byte."""
    written = []
    for batch in ("first", "second"):
        rehearsal = make_rehearsal(lotion, batch=batch)
        while rehearsal.session.make.state.step != "06-heat":
            step_once(rehearsal)
        rehearsal.session.close()
        written.append([s.event for s in journal.stored(batch)[1:]])
    assert written[0] == written[1]


def test_with_a_ph_meter_the_ph_is_measured(make_rehearsal, journal):
    """The conditioner starts too alkaline and is brought into its band by weighed additions."""
    procedure = read_procedure(find("driftwood-conditioner")).procedure
    rehearsal = make_rehearsal(procedure, devices=(*DEFAULT_DEVICES, PH_METER))
    assert to_the_end(rehearsal).over == "finished"
    events = journal.events("b1")
    taken = [e for e in events if isinstance(e, ev.PhTaken)]
    assert all(e.source is ev.Source.MEASURED for e in taken)
    assert not taken[0].in_band
    assert taken[-1].in_band or any(
        d.kind == "pH out of band" for d in rehearsal.session.make.state.deviations
    )
    doses = [e for e in events if isinstance(e, ev.WeightTaken) and e.step == taken[0].step]
    assert doses
    assert all(d.net_g > 0 for d in doses)


def step_once(rehearsal) -> None:
    """One step of the lock-step, with the hands' own answers."""
    view = rehearsal.step()
    said = rehearsal.answers.at(view)
    if said is not None:
        rehearsal.session.put(said.given(rehearsal.session.clock(), view.prompt))
