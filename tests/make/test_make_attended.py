"""What hands do goes on only while somebody is there: not on hold, nor while the program is away."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench, kinds

from benchapp import events as ev
from benchapp.make.acts.confirm import READ_S
from benchapp.make.core import Make
from benchapp.make.inputs import Hold, Resumed, Tick, TypeValue
from benchapp.make.steps.ph_dose import STIR_S


def on_hold(bench, seconds):
    """The door bell rings, and the maker is back after so long."""
    bench.give(Hold(bench.now, "the door bell"))
    bench.give(Tick(bench.now + seconds))
    bench.press("resume")


def killed(bench, seconds):
    """The power is away for so long."""
    bench.make = Make(bench.make.plan, bench.events)
    bench.give(Resumed(bench.now + seconds, seconds))


def killed_on_hold(bench, seconds):
    """The power goes while the make is on hold, and the maker comes back later still: what is away twice is away once."""
    bench.give(Hold(bench.now, "the door bell"))
    bench.give(Tick(bench.now + 2.0))
    killed(bench, seconds)
    bench.give(Tick(bench.now + 10.0))
    bench.press("resume")


AWAY = pytest.mark.parametrize("away", [on_hold, killed, killed_on_hold])


def at_the_act(bench, step, act):
    bench.jump(step)
    bench.give(Tick(bench.now))
    while bench.make.act().key != act:
        bench.press("understood")
    return bench


@AWAY
def test_nothing_stirs_itself(away):
    bench = at_the_act(Bench(procedure="tide-pool-gel"), "04-premix", "stir")
    bench.press("start")
    bench.give(Tick(bench.now + 20.0))
    away(bench, 600.0)
    assert "Confirmed" not in kinds(bench.give(Tick(bench.now + 38.0)))
    (live,) = bench.view.act_view.live
    assert live.value == pytest.approx(2.0, abs=1.1)
    stirred = bench.give(Tick(bench.now + 4.0))
    (said,) = [e.text for e in stirred if isinstance(e, ev.Confirmed)]
    seconds = float(said.rpartition("(")[2].removesuffix(" s)"))
    assert 60.0 <= seconds <= 64.0, "the minute that was asked for, and none in which nobody was there"


@AWAY
def test_a_rest_goes_on_by_itself(away):
    bench = at_the_act(Bench(procedure="tide-pool-gel"), "05-disperse", "pour slurry-beaker")
    while bench.make.act().key != "rest":
        bench.commit([ev.ActFinished(at_s=bench.now, step="05-disperse", act=bench.make.act().key)])
        bench.give(Tick(bench.now))
    away(bench, 1800.0)
    assert "StepFinished" in kinds(bench.give(Tick(bench.now + 1.0)))


@AWAY
def test_a_caution_can_be_read_before_it_goes_by(away):
    bench = Bench(procedure="tide-pool-gel")
    bench.jump("03-weigh")
    bench.give(Tick(bench.now))
    assert bench.make.act().key == "cautions"
    assert not any(c.serious for c in bench.view.act_view.cautions)
    bench.give(Tick(bench.now + 1.0))
    away(bench, 600.0)
    assert bench.give(Tick(bench.now + READ_S - 3.0)) == []
    assert "ActFinished" in kinds(bench.give(Tick(bench.now + 3.0)))


def test_a_burst_that_ran_while_the_make_was_on_hold_is_asked_about():
    bench = at_the_act(Bench(), "09-blend", "bursts")
    bench.press("start")
    bench.give(Tick(bench.now + 5.0))
    on_hold(bench, 600.0)
    bench.give(Tick(bench.now + 1.0))
    assert [e for e in bench.events if isinstance(e, ev.BurstDone)] == []
    assert bench.view.act_view.instruction == "How long did burst 1 run?"
    bench.press("unknown")
    assert "BurstUnknown" in kinds(bench.events)


def test_an_addition_is_stirred_in_by_somebody():
    bench = Bench(devices=())
    bench.jump("14-measure-ph")
    bench.weigh_everything()
    bench.give(Tick(bench.now))
    for _ in range(100):
        stage = bench.make.state.progress.stage.plain
        if stage == "stir":
            break
        bench.now += 5.0
        if bench.press("meter") or bench.press("add"):
            continue
        if stage in ("read", "dose"):
            value = 6.4 if stage == "read" else round(bench.view.act_view.want.amount, 2)
            bench.give(TypeValue(bench.now, bench.make.state.prompt, value))
        elif not bench.press("understood" if "cautions" in bench.make.state.prompt else "yes"):
            bench.give(Tick(bench.now))
    bench.give(Tick(bench.now + 10.0))
    on_hold(bench, 600.0)
    assert "Confirmed" not in kinds(bench.give(Tick(bench.now + STIR_S - 12.0)))
    (live,) = bench.view.act_view.live
    assert live.value == pytest.approx(2.0, abs=1.1)
    (said,) = [e.text for e in bench.give(Tick(bench.now + 2.0)) if isinstance(e, ev.Confirmed)]
    assert said == f"Stirred for {STIR_S:.0f} s"


def test_what_came_to_rest_on_hold_can_be_objected_to_once_somebody_is_back():
    bench = Bench()
    bench.at_the_first_pour()
    bench.give(Hold(bench.now, "the door bell"))
    bench.stand(796.0, 6.0)
    bench.press("resume")
    assert "WeightTaken" not in kinds(bench.rest(796.0, 1.5))
    assert "wait" in [c.word for c in bench.view.act_view.choices]
    assert "WeightTaken" in kinds(bench.rest(796.0, 3.0))


@pytest.fixture
def pouring():
    """The water pot (420 g) stands on the big scale, and 100 g of water are in."""
    bench = Bench()
    bench.at_the_first_pour()
    bench.stand(520.0)
    return bench


def test_a_pot_put_aside_on_hold_comes_back_as_it_went_without_a_question(pouring):
    """Why it was 100 g heavier was asked, and there was no true answer."""
    pouring.give(Hold(pouring.now, "the door bell"))
    for grams in (0.0, 335.0, 0.0):  # somebody else weighs something
        pouring.stand(grams)
    pouring.press("resume")
    pouring.stand(0.0)
    assert pouring.view.act_view.instruction == "Put the water pot back on the big."
    assert "VesselReturned" in kinds(pouring.stand(520.0))
    assert pouring.make.state.deviations[-1].kind == "held", "and nothing was poured unseen"
    assert "WeightTaken" in kinds(pouring.stand(796.0, 6.0))


def test_a_pot_that_was_back_before_its_maker_was_is_known_again(pouring):
    pouring.give(Hold(pouring.now, "the door bell"))
    pouring.stand(0.0)
    assert "VesselReturned" in kinds(pouring.stand(520.0))
    pouring.press("resume")
    assert "WeightTaken" in kinds(pouring.stand(796.0, 6.0))


def test_what_was_lost_from_a_pot_on_hold_is_asked_about(pouring):
    """It was poured again with what was being poured."""
    pouring.give(Hold(pouring.now, "the door bell"))
    pouring.stand(0.0)
    pouring.stand(500.0)
    pouring.press("resume")
    pouring.stand(500.0)
    assert pouring.view.act_view.instruction == "Why is the water pot 20.0 g lighter?"
