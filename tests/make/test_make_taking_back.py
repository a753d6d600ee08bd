"""The last act can be taken back where only words were recorded; never where something was poured or moved."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench

from benchapp import events as ev
from benchapp.make.core import Make
from benchapp.make.folding import fold
from benchapp.make.inputs import TakeBack, TypeValue


def take_back(bench: Bench) -> list[ev.Event]:
    bench.now += 1.0
    return bench.give(TakeBack(bench.now, bench.make.state.prompt))


def at_first_look() -> Bench:
    bench = Bench()
    bench.to("15-look")
    return bench


def test_a_judgement_taken_back_is_asked_again():
    bench = at_first_look()
    first = bench.view.act_view.instruction
    bench.press("yes")
    assert bench.view.act_view.instruction != first
    assert bench.view.take_back == "Appearance: as described"
    (back, *_) = take_back(bench)
    assert isinstance(back, ev.ActTakenBack)
    assert bench.view.act_view.instruction == first


def test_a_typed_number_taken_back_counts_no_more_and_another_takes_its_place():
    bench = Bench()
    bench.to("16-density")
    bench.give(TypeValue(bench.now + 1, bench.make.state.prompt, 40.0))
    bench.press("typed anyway", "it foamed")
    assert bench.make.state.numbers["density"] == pytest.approx(0.8)
    assert bench.view.take_back == "mass of the known volume, 40 g"
    take_back(bench)
    assert "density" not in bench.make.state.numbers
    bench.give(TypeValue(bench.now + 1, bench.make.state.prompt, 48.5))
    assert bench.make.state.numbers["density"] == pytest.approx(0.97)


def test_a_deviation_that_was_noted_stays_although_its_cause_was_taken_back():
    bench = at_first_look()
    bench.press("different", "grey")
    noted = list(bench.make.state.deviations)
    assert [d.kind for d in noted][-1] == "not as described"
    take_back(bench)
    assert bench.make.state.deviations == noted
    bench.press("different", "grey after all")
    assert [d.number for d in bench.make.state.deviations] == list(range(1, len(noted) + 2))


def test_nothing_is_taken_back_twice_by_one_press():
    bench = at_first_look()
    bench.press("yes")
    bench.press("yes")
    prompt = bench.make.state.prompt
    bench.give(TakeBack(bench.now + 1, prompt))
    assert bench.give(TakeBack(bench.now + 1, prompt)) == []


def test_a_measured_weighing_cannot_be_taken_back():
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    bench.press("understood") if bench.view.act_view.cautions else None
    bench.place(310.0)
    bench.press("yes")
    assert bench.make.state.progress.act.startswith("pour")
    target = bench.make.act().target(bench.make.context()).grams
    bench.stand(310.0, 2.0)
    bench.stand(310.0 + round(target, 1))
    assert any(isinstance(e, ev.WeightTaken) for e in bench.events)
    assert bench.view.take_back == ""
    assert take_back(bench) == []


def test_the_state_after_a_taking_back_is_the_fold_of_the_journal():
    bench = at_first_look()
    bench.press("yes")
    take_back(bench)
    bench.press("yes")
    again = fold(bench.events)
    assert vars(again.ledger) == vars(bench.make.state.ledger)
    again.ledger = bench.make.state.ledger
    assert again == bench.make.state
    replayed = Make(bench.make.plan, bench.events)
    assert replayed.state.prompt == bench.make.state.prompt
