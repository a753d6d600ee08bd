"""Weighing an emptied boat while another one still stands on the scale: it is never taken for it."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench, kinds

from benchapp import events as ev
from benchapp.make.inputs import TypeValue


@pytest.mark.parametrize("crept_g", [0.0, 0.04, -0.2])
def test_another_boat_left_on_the_scale_is_asked_off_first(crept_g):
    """Two boats weighed one after the other; the first is poured while the second stands on the fine scale, whose
    display creeps in the meantime."""
    bench = Bench(procedure="winter-shore-cream")
    weigh_boat(bench, "08-weigh", 6.0)
    gross_g = weigh_boat(bench, "09-weigh", 6.2)
    pour_in(bench, "11-add")
    assert bench.make.act().key == "emptied first-boat"
    bench.stand(round(gross_g + crept_g, 2), device="fine")  # the second boat still stands there, full
    assert bench.view.act_view.instruction == "Take the second boat off the fine."
    bench.stand(0.0, device="fine")
    assert "MassMoved" not in kinds(bench.stand(6.05, device="fine"))
    assert bench.view.act_view.instruction == "Is this the emptied first boat?"
    assert bench.view.act_view.not_yet == ("Only 0.05 g stayed in it (empty 6.00 g).",)
    events = bench.press("it is")
    assert "MassMoved" in kinds(events)
    (moved,) = [e for e in events if isinstance(e, ev.MassMoved)]
    assert (moved.origin, round(moved.left_g, 2)) == ("first-boat", 0.05)


def weigh_boat(bench, step, empty_g):
    """All of its ingredients; returns the full boat's mass in grams."""
    bench.to(step)
    if bench.make.act().key == "cautions":
        bench.press("understood")
    bench.stand(0.0, device="fine")
    bench.place(empty_g, device="fine")
    gross_g = empty_g
    while bench.make.state.step == step:
        bench.press("yes")
        bench.stand(gross_g, device="fine")
        gross_g = round(gross_g + bench.view.act_view.picture.target_g, 2)
        bench.stand(gross_g, device="fine")
    return gross_g


def pour_in(bench, step):
    """Up to where the emptied boat is asked for."""
    bench.to(step)
    if bench.make.act().key == "cautions":
        bench.press("understood")
    bench.press("yes")  # the probe is in
    bench.press("anyway", "a test without readings")
    assert bench.make.act().key.startswith("emptied")


def test_what_was_typed_of_a_boat_is_not_measured_by_weighing_it_emptied():
    bench = Bench(procedure="winter-shore-cream")
    bench.to("08-weigh")
    if bench.make.act().key == "cautions":
        bench.press("understood")
    bench.stand(0.0, device="fine")
    bench.place(6.0, device="fine")
    while bench.make.state.step == "08-weigh":
        bench.press("yes")
        bench.stand(6.0, device="fine")
        target_g = bench.view.act_view.picture.target_g
        bench.give(TypeValue(bench.now + 1.0, bench.make.state.prompt, target_g))
    pour_in(bench, "11-add")
    bench.stand(0.0, device="fine")
    bench.stand(6.03, device="fine")
    (moved,) = [e for e in bench.press("it is") if isinstance(e, ev.MassMoved)]
    assert moved.source is ev.Source.COMPUTED


def test_of_two_empty_boats_that_weigh_the_same_it_is_asked_which_one_stands_there():
    """The first is changed for the second so quickly that no empty pan is seen."""
    bench = Bench(procedure="winter-shore-cream")
    for step in ("08-weigh", "09-weigh"):
        weigh_boat(bench, step, 6.0)
    pour_in(bench, "11-add")
    bench.stand(0.0, device="fine")
    bench.stand(6.03, device="fine")
    bench.press("it is")
    pour_in(bench, "13-add")
    bench.stand(6.04, device="fine")
    assert bench.view.act_view.instruction == "Is this the emptied second boat?"
    assert bench.view.act_view.not_yet[0].startswith("The first boat weighs about as much")
    (moved,) = [e for e in bench.press("it is") if isinstance(e, ev.MassMoved)]
    assert (moved.origin, round(moved.left_g, 2)) == ("second-boat", 0.04)


def test_no_asks_it_off_until_it_moves():
    """The weight may fit and it is another one all the same: nothing is recorded, and it is asked about anew once it moves."""
    bench = Bench()
    bench.to("02-weigh")
    bench.stand(0.0)
    bench.stand(418.2, 20.0)
    assert [c.label for c in bench.view.act_view.choices] == ["It is the water pot", "No"]
    assert kinds(bench.press("another")) == []
    assert bench.view.act_view.instruction == "Take it off, and put the water pot on the big."
    assert (bench.view.act_view.choices, bench.view.act_view.picture) == ((), None)
    assert kinds(bench.press("it is")) == [], "what was said not to be it cannot be taken as it"
    bench.stand(0.0)
    bench.stand(421.0, 20.0)
    assert bench.view.act_view.instruction == "Is this the empty, dry water pot?"


def test_what_may_stay_in_it_is_drawn_and_what_is_beyond_it_is_too_much():
    bench = Bench(procedure="winter-shore-cream")
    weigh_boat(bench, "08-weigh", 6.0)
    pour_in(bench, "11-add")
    bench.stand(0.0, device="fine")
    bench.stand(6.05, device="fine")
    fits = bench.view.act_view.picture
    assert (fits.value, fits.words) == (6.05, "fits: {low}–{high}")
    bench.stand(0.0, device="fine")
    bench.stand(fits.high - 0.01, device="fine")
    assert [c.word for c in bench.view.act_view.choices] == ["it is", "another"]
    bench.stand(0.0, device="fine")
    bench.stand(fits.high + 0.02, device="fine")
    assert [c.word for c in bench.view.act_view.choices][:1] == ["that is all"]
