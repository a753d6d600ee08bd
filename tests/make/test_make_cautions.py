"""No step with a hazard is reachable without its caution shown first; serious ones want a distinct act."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench

from benchapp.events import Confirmed, DeviceFacts
from benchapp.make.acts.confirm import Cautions
from benchapp.make.cautions import shown_for
from benchapp.make.core import Make
from benchapp.make.inputs import Degrees, Tick
from benchapp.make.plan_making import make_plan
from procedures.cautions import cautions_for
from procedures.reading import read_procedure
from procedures.shelf import find, shipped

DEVICES = (
    DeviceFacts("big", "scale", ("mass",), 0.1, 3000.0),
    DeviceFacts("fine", "scale", ("mass",), 0.01, 200.0),
    DeviceFacts("thermo", "thermometer", ("probe 1", "probe 2")),
)


@pytest.mark.parametrize("name", shipped())
def test_every_step_with_a_caution_begins_with_all_of_them(name):
    procedure = read_procedure(find(name)).procedure
    make = Make(make_plan(procedure, procedure.default_batch_g, DEVICES))
    for step in procedure.steps:
        wanted = {c.key for c in cautions_for(step, procedure)}
        if not wanted or not make.agenda.acts[step.key]:
            continue
        first = make.agenda.acts[step.key][0]
        assert isinstance(first, Cautions), step.key
        assert {c.key for c in first.cautions} == wanted, step.key


def test_what_corrodes_bears_the_signs_of_all_that_is_to_be_worn():
    """H314 wants gloves and eye protection (P280 of the CLP regulation's Annex IV)."""
    procedure = read_procedure(find("oat-hand-lotion")).procedure
    step = next(s for s in procedure.steps if s.kind == "measure ph")
    lye = next(c for c in shown_for(step, procedure) if "H314" in c.statements)
    assert lye.signs == ("W023", "M004", "M009")
    assert lye.of == ("Sodium hydroxide solution 10 %",)
    hot = next(c for s in procedure.steps for c in shown_for(s, procedure) if c.key == "hot liquid")
    assert hot.signs == ("W017",), "what it also asks for stands in its words"


@pytest.mark.parametrize("name", shipped())
def test_what_burns_is_said_to_be_away_before_a_pot_is_in_the_bath(name):
    """P210 of the CLP regulation's Annex IV: keep away from heat, hot surfaces, sparks, open flames."""
    procedure = read_procedure(find(name)).procedure
    agenda = Make(make_plan(procedure, procedure.default_batch_g, DEVICES)).agenda
    burns = {n for s in procedure.steps for c in cautions_for(s, procedure) if c.key == "fire" for n in c.of}
    for step in (s for s in procedure.steps if s.kind == "heat"):
        keys = [act.key for act in agenda.acts[step.key] if not isinstance(act, Cautions)]
        assert keys == [*(["away"] if burns else []), "place", "heat"]
        away = agenda.acts[step.key][1].brief if burns else ""
        assert all(name in away for name in burns)


def test_no_heat_is_asked_for_until_somebody_says_it_is_away():
    bench = Bench()
    bench.to("06-heat")
    bench.press("understood")
    assert bench.view.act_view.instruction == "Put 70 % isopropyl alcohol away."
    for probe in ("probe 1", "probe 2"):
        bench.give(Degrees(bench.now + 1.0, "thermo", probe, 40.0))
    bench.give(Tick(bench.now + 600.0))
    assert bench.make.act().key == "away", "neither warmth nor time says it"
    said = bench.press("yes")
    assert [e.text for e in said if isinstance(e, Confirmed)] == ["Put 70 % isopropyl alcohol away."]
    assert bench.make.act().key == "place"


def warned(bench):
    return {c.key for c in bench.view.cautions}


def test_what_burns_is_warned_of_until_it_is_away():
    bench = Bench()
    bench.to("06-heat")
    assert "fire" in {c.key for c in bench.view.act_view.cautions}, "before the step all of them are read"
    bench.press("understood")
    assert "fire" in warned(bench)
    bench.press("yes")
    assert "fire" not in warned(bench), "a warning that never goes out is not read any more"
    assert {"steam", "dry bath", "glass in a bath"} <= warned(bench)
