"""A vessel lifted off its scale in the middle of a pour: what is gone of it is asked about, and what was taken out is waste."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench, kinds

from benchapp import events as ev
from benchapp.make.inputs import Grams


def pouring(grams: float) -> Bench:
    """The water pot of 420 g, and so much of 376 g of water in it, at rest."""
    bench = Bench()
    bench.at_the_first_pour()
    bench.stand(420.0 + grams)
    return bench


def lifted_in_the_flow(back_g: float) -> Bench:
    """Lifted after ten seconds of 20 g/s, and put back with ``back_g`` on the scale."""
    bench = pouring(0.0)
    for n in range(1, 101):
        bench.now = round(bench.now + 0.1, 3)
        bench.give(Grams(bench.now, "big", 420.0 + 2.0 * n, False, False))
    bench.rest(0.0)
    bench.rest(back_g)
    return bench


def put_back(bench: Bench, grams: float) -> None:
    bench.rest(0.0)
    bench.rest(420.0 + grams)


def removed_g(bench: Bench) -> list[float]:
    return [e.removed_g for e in bench.events if isinstance(e, ev.MaterialRemoved)]


def weighed_g(bench: Bench) -> list[float]:
    return [e.net_g for e in bench.events if isinstance(e, ev.WeightTaken)]


def offered(bench: Bench) -> list[str]:
    return [c.word for c in bench.view.act_view.choices]


def test_what_is_gone_of_a_pour_that_was_lifted_while_it_flowed_is_asked_about():
    bench = lifted_in_the_flow(500.0)
    assert bench.view.act_view.instruction.startswith("Why is the water pot")
    bench.press("spilled")
    (lost,) = [e for e in bench.events if isinstance(e, ev.MassLost)]
    assert lost.pouring == "purified-water"
    assert lost.lost_g > 90.0
    assert "VesselReturned" not in kinds(bench.events)


def test_lifted_while_it_flowed_and_back_with_what_was_in_nothing_is_asked():
    bench = lifted_in_the_flow(620.0)
    assert "VesselReturned" in kinds(bench.events)
    assert bench.view.act_view.instruction.startswith("Pour 376.0 g")


def test_a_hand_that_lay_on_the_pot_is_an_answer():
    bench = lifted_in_the_flow(500.0)
    bench.press("it is")
    assert bench.make.state.deviations[-1].text.endswith("nothing is gone: a hand lay on it.")
    bench.stand(420.0 + 376.0)
    assert weighed_g(bench) == [376.0]


def test_a_hand_that_grasps_a_pot_at_rest_is_no_loss():
    bench = pouring(200.0)
    for grams in (640.0, 690.0, 710.0):
        bench.now = round(bench.now + 0.1, 3)
        bench.give(Grams(bench.now, "big", grams, False, False))
    put_back(bench, 200.0)
    assert bench.view.act_view.instruction.startswith("Pour 376.0 g")


@pytest.mark.parametrize("say", [False, True])
def test_too_much_may_be_taken_out_beside_the_scale(say):
    bench = pouring(390.0)
    if say:
        bench.press("remove")
        bench.rest(420.0 + 390.0)
    put_back(bench, 376.0)
    assert (removed_g(bench), weighed_g(bench)) == ([14.0], [376.0])


def test_some_of_too_much_taken_out_beside_the_scale_leaves_remedies_for_the_rest():
    bench = pouring(390.0)
    put_back(bench, 386.0)
    assert removed_g(bench) == [4.0]
    assert bench.make.state.progress.taken_g == 386.0
    assert "accept" in offered(bench)


def test_what_was_taken_out_before_the_rest_is_accepted_is_waste_too():
    bench = pouring(390.0)
    bench.press("remove")
    bench.stand(420.0 + 384.0)
    bench.press("accept", "it is only water")
    assert (removed_g(bench), weighed_g(bench)) == ([6.0], [384.0])


def test_a_pot_with_too_much_that_comes_back_heavier_is_asked_about():
    bench = pouring(390.0)
    put_back(bench, 400.0)
    assert "poured on" in offered(bench)
    bench.press("poured on")
    bench.rest(420.0 + 400.0)
    assert bench.make.state.progress.taken_g == 400.0


def test_the_last_second_of_a_flow_is_known_too():
    bench = lifted_in_the_flow(605.0)
    assert "spilled" in offered(bench)


@pytest.mark.parametrize("seemed_g", [1.5, -1.5])
def test_a_pan_that_shows_nothing_is_empty_however_far_its_zero_seemed_to_have_gone(seemed_g):
    """What a heavy pot differed by was not the zero, or somebody pressed the key: it shows 0.0, not the shift."""
    bench = pouring(376.0)
    bench.to("05-weigh")
    bench.commit([ev.ZeroShifted(at_s=bench.now, device="big", by_g=seemed_g)])
    assert bench.view.act_view.instruction == "Take the water pot off the big."
    bench.rest(0.0)
    assert bench.view.act_view.instruction.startswith("Put the empty, dry oil pot")
    assert bench.make.state.zero_g["big"] == 0.0


def test_a_display_that_shows_nothing_under_a_pot_it_was_tared_with_is_no_empty_pan():
    """Somebody pressed the key in the middle of the pour, and the maker said to go on from there."""
    bench = pouring(376.0)
    bench.to("05-weigh")
    bench.commit([ev.ZeroShifted(at_s=bench.now, device="big", by_g=-798.0)])
    bench.rest(0.0)
    assert bench.view.act_view.instruction == "Take the water pot off the big."
    bench.rest(-798.0)
    assert bench.view.act_view.instruction.startswith("Put the empty, dry oil pot")
