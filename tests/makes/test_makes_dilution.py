"""A pH solution that is too strong for its scale is diluted at the bench, over real ports: weighed, named, dosed, traced."""

from __future__ import annotations

import pytest
from acting import WALL, begun_rehearsal
from walking import walk

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.inputs import LotOnHand, Press, Store, Tick, TypeValue
from benchapp.make.steps.ph_known import PhAct
from benchapp.record.drawing_up import record_of
from benchapp.record.journal import Journal
from benchapp.rehearsal.run import rehearse
from benchapp.runtime.session_start import plan_of, reopen
from drivers.simulated import DEFAULT_DEVICES, PH_METER, SimulatedBench
from procedures.reading import read_text
from procedures.shelf import find

ACID = "citric-acid-solution-10"
COARSE = (*(d for d in DEFAULT_DEVICES if d.name != "fine scale"), PH_METER)


def at_adjusting(view):
    return view.act_view.stage == "adjust" and view.trouble is None


@pytest.fixture(scope="module")
def adjusting(tmp_path_factory):
    """A small batch above its band on a scale of 0.1 g, with nothing at hand but a solution of 10 %: the rehearsal, its moment,
    and its journal, for one test to go on with; and what was written so far, for the others."""
    text = find("dune-rose-emulsion").read_text(encoding="utf-8")
    for name in ("Arginine", "Citric acid"):
        text = text.replace(f'["{name} solution 10 %", "{name} solution 1 %"]', f'"{name} solution 10 %"')
    # As a make that was begun earlier: the rule about a line no step adds would refuse the file today.
    procedure = read_text(text, as_made=True).procedure
    journal = Journal(tmp_path_factory.mktemp("adjusting"), lambda: WALL)
    rehearsal = begun_rehearsal(journal, procedure, devices=COARSE)
    view = walk(rehearsal, at_adjusting)
    yield rehearsal, view, journal, journal.events("b1")
    rehearsal.close()
    journal.close()


@pytest.fixture
def at_adjust(adjusting, journal):
    """The same batch, taken up where it stood."""
    journal.append("b1", adjusting[-1])
    bench = SimulatedBench(seed=1, devices=COARSE)
    stored = journal.stored("b1")
    since_s = stored[-1].event.at_s
    rehearsal = rehearse(bench, reopen(journal, stored, 0.0, lambda: since_s + bench.now_s), 1)
    walk(rehearsal, at_adjusting)
    yield rehearsal
    rehearsal.close()


def test_it_is_weighed_named_and_dosed_and_the_record_says_of_what(adjusting):
    rehearsal, view, journal, _ = adjusting
    assert [c.word for c in view.act_view.choices][:2] == ["try", "dilute"]
    assert any("could carry it too far" in why for why in view.act_view.not_yet), "said on any glass"
    world = rehearsal.bench.world
    truly_before = dict(world.vessel("main-beaker").contents)
    walk(rehearsal, lambda m: m.step_kind == "measure ph" and m.act_view.stage == "stir")

    (made,) = (e for e in journal.events("b1") if isinstance(e, ev.DilutionMade))
    share = made.solution_g / (made.solution_g + made.water_g)
    acid, water = (
        e for e in journal.events("b1") if isinstance(e, ev.WeightTaken) and e.dilution == made.name
    )
    assert (acid.line, water.line) == (ACID, made.water)
    assert acid.target_g / share == pytest.approx(5 * 0.1, abs=0.01), (
        "as much as the scale weighs well enough"
    )
    assert acid.net_g == pytest.approx(share * acid.diluted_g, abs=1e-4)
    assert acid.net_g + water.net_g == pytest.approx(acid.diluted_g, abs=1e-4)
    assert (acid.lot, water.lot) == (made.lot, made.water_lot)

    walk(rehearsal, lambda m: m.step_kind == "measure ph" and m.act_view.stage == "")
    truly = world.vessel("main-beaker").contents
    grown = {k: g - truly_before.get(k, 0.0) for k, g in truly.items()}
    assert sum(g for k, g in grown.items() if "Citric" in k) == pytest.approx(acid.net_g, abs=0.1 * share)

    walk(rehearsal, lambda m: m.step_kind == "look")
    record = record_of(journal.stored("b1"))
    assert [w.note for w in record.weighings if w.line == ACID] == [
        f"in the dilution D1, of which {acid.diluted_g:g} g were weighed"
    ]
    assert record.grams[ACID] == pytest.approx(acid.net_g), "what is in the batch, not what was diluted"
    assert [r for r in record.readings if "dilution D1" in r.what and r.value == made.solution_g]
    removed = [e for e in journal.events("b1") if isinstance(e, ev.MaterialRemoved)]
    waste = {e.line: e.removed_g for e in reversed(removed)}  # what was diluted later comes after it
    assert waste[ACID] + acid.net_g == pytest.approx(made.solution_g, abs=1e-3), "the rest is thrown away"
    assert waste[made.water] + water.net_g == pytest.approx(made.water_g, abs=1e-3), "and its water with it"


def test_killed_while_it_is_made_it_is_taken_up_where_it_stood(at_adjust, journal):
    rehearsal = at_adjust
    walk(rehearsal, lambda m: m.act_view.stage == "dilution solution")
    live, events = rehearsal.session.make, journal.events("b1")
    again = Make(plan_of(events[0]), events)
    assert again.state.prompt == live.state.prompt
    assert again.state.progress.value == live.state.progress.value, "the water that is in the boat"


def test_where_nothing_need_be_diluted_any_more_the_addition_is_asked_for_and_no_new_sample(
    at_adjust, monkeypatch
):
    rehearsal = at_adjust
    walk(rehearsal, lambda m: m.act_view.stage == "dilution water")
    monkeypatch.setattr(PhAct, "dilution_plan", lambda act, context: None)
    rehearsal.session.put(Tick(rehearsal.session.clock()))
    assert rehearsal.session.view().act_view.stage == "adjust"


def test_its_water_is_asked_for_once_its_lot_may_not_be_used_any_more(at_adjust):
    rehearsal = at_adjust
    session, state = rehearsal.session, rehearsal.session.make.state
    water = next(x for x in state.lots.values() if x.material == "purified-water")
    assert water.lot
    recalled = LotOnHand(water.lot, water.material, "Purified water", 900.0, why_not="It was recalled.")
    session.put(Store(session.clock(), (recalled,)))
    session.put(Press(session.clock(), session.view().prompt, "dilute"))
    view = session.view().act_view
    assert view.stage == "dilution lot"
    assert view.instruction == "Take Purified water."


def test_a_part_typed_ten_times_off_is_not_taken(at_adjust):
    rehearsal = at_adjust
    view = walk(rehearsal, lambda m: m.act_view.stage == "dilution water")
    session, ask = rehearsal.session, view.act_view.ask
    session.put(TypeValue(session.clock(), session.view().prompt, 10 * ask.band.low))
    assert session.view().act_view.stage == "dilution water"
    session.put(TypeValue(session.clock(), session.view().prompt, ask.band.low / 10))
    assert session.view().act_view.stage == "dilution water"
    session.put(TypeValue(session.clock(), session.view().prompt, ask.band.low))
    assert session.view().act_view.stage == "dilution solution"
