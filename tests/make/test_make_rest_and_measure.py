"""A batch that rests, also while the program is closed, and a number that no device reads."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.inputs import Resumed, Tick, TypeValue
from procedures.reading import read_text
from procedures.shelf import find

RESTED = 'kind = "rest"\ntitle = "Let the air rise"\nvessel = "water pot"\nrest = "10 min"\n'


def at(kind, rest="10 min"):
    """The cream, at the step of that kind, its pot full."""
    text = find("winter-shore-cream").read_text("utf-8")
    assert RESTED in text
    procedure = read_text(text.replace(RESTED, RESTED.replace("10 min", rest))).procedure
    bench = Bench(procedure=procedure, batch_g=procedure.default_batch_g)
    bench.weigh_everything()
    bench.jump(next(s.key for s in procedure.steps if s.kind == kind))
    bench.give(Tick(bench.now))
    return bench


def here(bench):
    return next(s.kind for s in bench.procedure.steps if s.key == bench.make.state.step)


def test_it_is_covered_and_then_left_for_its_time():
    bench = at("rest")
    assert bench.view.act_view.instruction == "Cover the water pot."
    bench.press("yes")
    assert bench.view.act_view.instruction.startswith("Let the water pot rest")
    bench.give(Tick(bench.now + 590.0))
    assert here(bench) == "rest"
    bench.give(Tick(bench.now + 11.0))
    assert here(bench) == "measure"
    assert not bench.make.state.deviations


def test_overnight_the_program_may_be_closed_and_the_time_goes_on():
    bench = at("rest", "12 h")
    assert bench.view.act_view.instruction == "Cover the water pot and mark it with the batch and the time."
    assert "The program may be closed" in bench.view.act_view.note
    bench.press("yes")
    bench.make = Make(bench.make.plan, bench.events)  # closed in the evening
    bench.give(Resumed(bench.now + 6 * 3600.0, 6 * 3600.0))
    bench.give(Tick(bench.now + 1.0))
    assert here(bench) == "rest", "half of it is gone"
    bench.make = Make(bench.make.plan, bench.events)
    bench.give(Resumed(bench.now + 6 * 3600.0, 6 * 3600.0))
    bench.give(Tick(bench.now + 1.0))
    assert here(bench) == "measure"


def test_cut_short_it_says_why():
    bench = at("rest")
    bench.press("yes")
    bench.give(Tick(bench.now + 60.0))
    bench.press("cut short", "the jars are waiting")
    assert [d.kind for d in bench.make.state.deviations] == ["wait cut short"]


def numbers(bench):
    return [(e.what, e.value, e.unit, e.source) for e in bench.events if isinstance(e, ev.NumberTaken)]


def test_a_number_within_its_limits_is_taken_at_once():
    bench = at("measure")
    assert bench.view.act_view.instruction == "Measure the spread, and type it in mm."
    bench.give(TypeValue(bench.now, bench.make.state.prompt, 55.0))
    assert numbers(bench) == [("spread", 55.0, "mm", ev.Source.STATED)]
    assert here(bench) == "look"
    assert not bench.make.state.deviations


def test_outside_it_is_measured_again_or_stays_with_a_reason():
    bench = at("measure")
    bench.give(TypeValue(bench.now, bench.make.state.prompt, 80.0))
    assert bench.view.act_view.instruction == "80 mm?"
    assert bench.view.act_view.not_yet == ("It should be 45 to 65 mm.",)
    bench.press("typed anyway")
    assert here(bench) == "measure", "not without a reason"
    bench.press("type again")
    bench.give(TypeValue(bench.now, bench.make.state.prompt, 81.0))
    bench.press("typed anyway", "a warm day")
    (noted,) = bench.make.state.deviations
    assert (noted.kind, noted.grade) == ("measured out of band", ev.Grade.MINOR)
    assert noted.text == "spread: 81 mm, expected 45 to 65 mm. a warm day"
    assert here(bench) == "look"


@pytest.mark.parametrize("lost", ['unit = "mm"\n', 'what = "spread"\n'])
def test_what_is_measured_and_in_which_unit_has_to_be_said(lost):
    from procedures.errors import ProcedureInvalid

    text = find("winter-shore-cream").read_text("utf-8")
    with pytest.raises(ProcedureInvalid, match=f"{lost.split()[0]} is missing here"):
        read_text(text.replace(lost, ""))
