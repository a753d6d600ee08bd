"""A kettle that no scale carries is topped up by a jug: by what is computed that it lost, or by what somebody saw."""

from __future__ import annotations

import pytest
from bench_by_hand import Bench

from benchapp import events as ev
from benchapp.make.inputs import Tick, TypeValue
from procedures.batch import check_batch
from procedures.reading import read_procedure, read_text
from procedures.shelf import find

WATER, POT, STEP = "purified-water-kettle-1", "water-pot-1", "06-top-up-1"
SCALES = [(3000.0, 0.1), (200.0, 0.01)]


@pytest.fixture(scope="module")
def large():
    return read_procedure(find("breakwater-body-lotion")).procedure


@pytest.fixture
def asked(large):
    """The water is hot, and how much of it is gone is asked. The heating took no time in this test."""
    bench = Bench(procedure=large, batch_g=6000.0)
    bench.jump(STEP)
    bench.commit([
        ev.WeightTaken(
            at_s=bench.now, step="03-weigh-1", act="pour", line=WATER, vessel=POT, target_g=2394.0, low_g=0.0, high_g=9999.0,
            net_g=2394.0, gross_g=None, source=ev.Source.STATED, device="", checked=False,
        )
    ])  # fmt: skip
    bench.give(Tick(bench.now))
    for _ in range(3):
        if any(c.key == "understood" for c in bench.view.act_view.choices):
            bench.press("understood")
    assert bench.view.act_view.instruction == "How much water did the water pot 1 lose?"
    return bench


def typed(bench, value):
    bench.now += 1.0
    return bench.give(TypeValue(bench.now, bench.make.state.prompt, value))


def lost(bench):
    return [e for e in bench.events if isinstance(e, ev.WaterLost)]


def test_what_somebody_saw_is_stated_and_goes_in_by_the_jug(asked):
    typed(asked, 60.0)
    (found,) = lost(asked)
    assert (found.vessel, found.lost_g, found.lines, found.source) == (POT, 60.0, (WATER,), ev.Source.STATED)
    asked.stand(0.0)
    asked.place(190.0)
    asked.stand(190.0)
    asked.stand(250.0)
    (taken,) = [e for e in asked.events if isinstance(e, ev.WeightTaken) and e.step == STEP]
    assert (taken.line, taken.vessel, taken.net_g) == (WATER, "measuring-jug", pytest.approx(60.0))
    asked.stand(0.0)
    asked.stand(191.0)
    asked.press("it is")
    (moved,) = [e for e in asked.events if isinstance(e, ev.MassMoved)]
    assert (moved.origin, moved.into, moved.mass_g) == ("measuring-jug", POT, pytest.approx(59.0))
    assert asked.make.state.ledger.of(POT).content_g == pytest.approx(2394.0 - 60.0 + 59.0)


def test_where_nothing_was_lost_nothing_goes_in(asked):
    typed(asked, 0.0)
    asked.stand(0.0)
    asked.place(190.0)
    assert asked.make.state.step != STEP
    assert not [e for e in asked.events if isinstance(e, ev.MassMoved)]


def test_more_than_steam_can_be_is_not_taken(asked):
    typed(asked, 2000.0)
    assert not lost(asked)


def test_without_a_width_nothing_is_computed_and_it_has_to_be_said(large):
    text = large.text.replace('diameter = "180 mm"\n', "").replace('head = "35 mm"\n', "")
    bench = Bench(procedure=read_text(text).procedure, batch_g=6000.0)
    bench.jump(STEP)
    bench.give(Tick(bench.now))
    if any(c.key == "understood" for c in bench.view.act_view.choices):
        bench.press("understood")
    assert bench.view.act_view.choices == ()
    assert bench.view.act_view.ask.usual


def test_without_a_jug_it_is_refused_and_with_one_it_is_not(large):
    assert check_batch(large, 6000.0, SCALES) == ()
    without = read_text(
        large.text.replace('jug = "measuring jug" # the pot itself', "# the pot itself")
    ).procedure
    assert {p.rule for p in check_batch(without, 6000.0, SCALES)} == {"scale-capacity"}


def test_drops_in_the_jug_may_have_dried_since_and_are_asked_about_not_noted(asked):
    typed(asked, 60.0)
    asked.commit([
        ev.VesselPlaced(
            at_s=asked.now, step=STEP, vessel="measuring-jug", device="big", gross_g=190.0, empty=True, source=ev.Source.MEASURED
        ),
        ev.WeightTaken(
            at_s=asked.now, step="03-weigh-1", act="before", line=WATER, vessel="measuring-jug", target_g=5.0, low_g=0.0,
            high_g=9.0, net_g=5.0, gross_g=None, source=ev.Source.STATED, device="", checked=False,
        ),
        ev.VesselLifted(at_s=asked.now, vessel="measuring-jug", device="big", gross_g=0.0),
    ])  # fmt: skip
    asked.stand(0.0)
    asked.stand(192.0)
    assert asked.view.act_view.not_yet == ("Then 3.0 g in it dried or were wiped out.",)
    asked.press("it is")
    assert lost(asked)[-1].lost_g == pytest.approx(3.0)
    assert not [e for e in asked.events if isinstance(e, ev.DeviationNoted) and e.kind == "vessel mass"]


def test_where_no_scale_is_connected_what_was_lost_is_asked_and_replaced_by_hand():
    """The step went by as done, without a word: water was kept ready, and none went in."""
    bench = Bench(devices=())
    bench.weigh_everything()
    bench.jump("07-top-up")
    bench.give(Tick(bench.now))
    bench.press("understood")
    assert bench.view.act_view.instruction == "How much water did the water pot lose?"
    typed(bench, 21.0)
    assert [e.source for e in bench.events if isinstance(e, ev.WaterLost)] == [ev.Source.STATED]
    assert bench.view.act_view.instruction.startswith("Weigh 21.00 g of Purified water")
    out = typed(bench, 21.0)
    assert [(e.net_g, e.vessel) for e in out if isinstance(e, ev.WeightTaken)] == [(21.0, "water-pot")]
    assert bench.make.state.step != "07-top-up"
