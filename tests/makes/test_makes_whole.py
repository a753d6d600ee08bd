"""Whole makes of every shipped procedure, bytes on real serial ports in, written record out."""

from __future__ import annotations

import json
from dataclasses import replace

import jsonschema
import pytest
from acting import to_the_end

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.folding import fold
from benchapp.make.guidance import guided
from benchapp.make.guidance_levels import LEVELS
from benchapp.make.vocabulary import ChoiceKey
from benchapp.record.documents.as_json import document, schema
from benchapp.record.documents.as_text import as_text
from benchapp.record.drawing_up import record_of
from benchapp.record.label import differences, label_of
from benchapp.runtime.session_start import plan_of
from benchapp.service.procedure_facts import procedure_facts
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


@pytest.mark.parametrize(
    ("name", "asides"),
    [
        ("oat-hand-lotion", [("06-heat", "11-weigh")]),
        pytest.param("winter-shore-cream", [("04-heat", "08-weigh"), ("04-heat", "09-weigh")], marks=pytest.mark.by_hand),
        pytest.param("dune-rose-emulsion", [("06-heat", "11-weigh"), ("06-heat", "12-weigh")], marks=pytest.mark.by_hand),
        pytest.param("tide-pool-gel", [("05-disperse", "07-weigh"), ("05-disperse", "10-weigh")], marks=pytest.mark.by_hand),
    ],
)  # fmt: skip
def test_with_every_wait_used_nothing_is_weighed_twice_or_left_out(name, asides, walked):
    make = walked(name)
    assert make.end.over == "finished"
    procedure, events = make.procedure, [s.event for s in make.stored]
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


def test_a_late_drop_is_booked_by_itself_and_nothing_is_asked(walked):
    made = walked("winter-shore-cream")
    drops = [x.event for x in made.stored if isinstance(x.event, ev.LateDropFound)]
    assert drops, "the simulated hands let none fall any more: choose another make"
    asked = [m for m in made.moments if ChoiceKey.HAD_BEGUN in {c.key for c in m.act_view.choices}]
    assert not asked, asked[0].act_view.not_yet


def test_one_batch_is_made_in_two_kettles(walked):
    make = walked("breakwater-body-lotion")
    large = make.procedure
    assert make.end.over == "finished"
    events = [s.event for s in make.stored]

    begun = [e.step for e in events if isinstance(e, ev.StepBegan)]
    done = [e.step for e in events if isinstance(e, ev.StepFinished)]
    assert set(done) == {s.key for s in large.steps}
    assert begun.index("09-cool-1") < begun.index("05-heat-2"), "the first is done before the second gets hot"
    for kettle in (1, 2):
        water = [
            e for e in events if isinstance(e, ev.WeightTaken) and e.line == f"purified-water-kettle-{kettle}"
        ]
        assert sum(w.net_g for w in water if w.portions > 1) == pytest.approx(2394.0, abs=6.0)
        over = [e for e in events if isinstance(e, ev.MassMoved) and e.origin == f"water-pot-{kettle}"]
        assert [e.into for e in over] == ["filling-bucket"]
        assert over[0].source is ev.Source.MEASURED, "what stayed in the kettle is seen on the scale"

        (lost,) = [e for e in events if isinstance(e, ev.WaterLost) and e.vessel == f"water-pot-{kettle}"]
        assert lost.source is ev.Source.COMPUTED, "no scale carries the full pot"
        assert water[-1].step == f"06-top-up-{kettle}"
        assert water[-1].net_g == pytest.approx(lost.lost_g, abs=max(1.0, 0.15 * lost.lost_g))

    record = record_of(make.stored, procedure_facts(large))
    assert [k.kettle for k in record.kettles] == [1, 2]
    assert [k.vessels for k in record.kettles] == [("water pot 1", "oil pot 1"), ("water pot 2", "oil pot 2")]
    for kettle in record.kettles:
        replaced = [x.now for x in record.weighings if x.step == f"06-top-up-{kettle.kettle}"]
        assert kettle.went_in_g == pytest.approx(2964.0 + sum(replaced), abs=10.0)
        assert kettle.brought_g + kettle.stayed_g == pytest.approx(kettle.went_in_g, abs=80.0), "less steam"
        assert kettle.warmest_c is not None
        assert kettle.warmest_c > 70.0
    too_warm = [d for d in record.deviations if d["kind"] == "above the heating band"]
    assert {d["step"] for d in too_warm} == {"05-heat-1", "05-heat-2"}, "each oil pot went over its band"
    for d in too_warm:
        first, second = (d["number"] in k.deviations for k in record.kettles)
        assert (first, second) == (d["step"] == "05-heat-1", d["step"] == "05-heat-2")
    whole = sum(k.went_in_g for k in record.kettles)
    assert whole == pytest.approx(sum(record.grams.values()) - _whole_lines(record, large), abs=0.01)
    assert record.yield_percent is not None
    assert 90.0 <= record.yield_percent <= 100.0
    label, _ = label_of(procedure_facts(large))
    assert differences(label, procedure_facts(large), record.grams, record.lost_percent) == ()
    text = "\n".join(as_text(record))
    assert "Glycerin (kettle 2)" in text
    assert f"Kettle 1               {record.kettles[0].words}" in text
    found = document(record, record.head)
    jsonschema.Draft202012Validator(schema()).validate(json.loads(json.dumps(found)))
    assert [k["kettle"] for k in found["kettles"]] == [1, 2]
    assert not [d for d in record.deviations if d["kind"] == "probe off its curve"], (
        "a probe moved on is no stray"
    )


def _whole_lines(record, procedure):
    whole = {x.key for x in procedure.formula.lines if not x.kettle}
    return sum(g for key, g in record.grams.items() if key in whole)


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
