"""A make left standing at any moment in bustle takes nothing for an answer: the short form of bench_bustle.py."""

from __future__ import annotations

from math import ceil, floor
from random import Random

import pytest
from bench_by_hand import Bench
from busy_make import BusyMake, left_standing, standing

from benchapp import events as ev
from benchapp.calculations.sudden import Sudden
from procedures.reading import read_procedure
from procedures.shelf import find, shipped

#: The longest makes are walked by hand only.
QUICK = ("tide-pool-gel",)
MAKES = [n if n in QUICK else pytest.param(n, marks=pytest.mark.by_hand) for n in shipped()]


@pytest.mark.parametrize("name", MAKES)
def test_nobody_confirms_anything_in_bustle(name):
    """Every thirty-second moment of the make, a third of a minute each."""
    procedure = read_procedure(find(name)).procedure
    for n, (view, busy) in enumerate(standing(procedure)):
        if n % 32 == 0:
            assert left_standing(busy, view, 0.33, Random(f"{name} {view}")).false == []
    assert busy.make.state.finished


def test_the_same_make_pours_without_being_asked_whether_something_lies_there():
    busy = BusyMake(read_procedure(find("tide-pool-gel")).procedure, 2)
    while not busy.make.state.over:
        busy.work()
        assert "all at once" not in busy.view().act_view.instruction
    assert set(busy.make.plan.weighings) <= {e.line for e in busy.events if isinstance(e, ev.WeightTaken)}


@pytest.fixture
def nearly():
    """360 of 376 g of water are in."""
    bench = Bench()
    bench.at_the_first_pour()
    bench.stand(780.0)
    return bench


def taken(bench):
    return [e.net_g for e in bench.events if isinstance(e, ev.WeightTaken)]


def test_a_spoon_that_happens_to_fill_the_band_is_not_taken_until_somebody_says_so(nearly):
    nearly.rest(796.0, 10.0)
    assert taken(nearly) == []
    assert nearly.view.act_view.taking is None
    assert nearly.view.act_view.instruction == "16.0 g came all at once. Take it?"
    nearly.press("take")
    assert taken(nearly) == [376.0]


def test_taken_off_again_nothing_has_happened(nearly):
    before = len(nearly.events)
    nearly.rest(796.0, 10.0)
    nearly.rest(780.0, 10.0)
    assert len(nearly.events) == before
    nearly.stand(796.0)
    assert taken(nearly) == [376.0], "and a pour goes on as ever"


def test_a_spoon_beyond_the_band_is_no_over_pour_until_somebody_says_so(nearly):
    nearly.rest(830.0, 10.0)
    assert nearly.view.act_view.stage == ""
    nearly.press("take")
    assert nearly.view.act_view.stage == "remedy"
    nearly.rest(780.0, 6.0)  # it had been a spoon after all
    assert nearly.view.act_view.stage == ""
    assert not [e for e in nearly.events if isinstance(e, ev.MaterialRemoved | ev.RemedyChosen)]
    assert nearly.make.state.deviations[-1].kind == "lay on the scale"


def test_a_hand_that_rests_on_what_is_too_much_leaves_the_question_standing(nearly):
    """What is still too much without the hand was not the hand: said once, and asked anew."""
    nearly.stand(830.0)
    assert nearly.view.act_view.stage == "remedy"
    nearly.rest(1230.0, 4.0)
    nearly.rest(830.0, 10.0)
    assert nearly.view.act_view.stage == "remedy"
    assert [d.kind for d in nearly.make.state.deviations].count("lay on the scale") == 1
    assert nearly.make.state.progress.taken_g == 410.0


@pytest.fixture
def one_short():
    """The water rests one division below its band, and has for ten seconds."""
    bench = Bench()
    bench.at_the_first_pour()
    bench.low_g = 420.0 + ceil(10 * bench.view.act_view.picture.low_g - 1e-6) / 10
    bench.stand(round(bench.low_g - 0.1, 1), 10.0)
    return bench


def test_a_division_that_nobody_poured_is_not_taken_until_somebody_says_so(one_short):
    one_short.rest(one_short.low_g, 60.0)
    assert taken(one_short) == []
    assert one_short.view.act_view.taking is None
    assert one_short.view.act_view.instruction == "It has been right for a moment only. Take it?"
    one_short.press("take")
    assert taken(one_short) == [pytest.approx(one_short.low_g - 420.0)]


def test_poured_on_it_is_taken_by_itself(one_short):
    one_short.rest(one_short.low_g, 10.0)
    one_short.stand(one_short.low_g + 0.4, 4.0)
    assert taken(one_short) == [pytest.approx(one_short.low_g + 0.4 - 420.0)]


def test_a_spoon_in_between_does_not_make_a_pour_of_it(one_short):
    one_short.rest(one_short.low_g + 31.0, 20.0)
    one_short.rest(one_short.low_g, 20.0)
    assert taken(one_short) == []


def test_too_much_that_creeps_back_into_the_band_was_not_taken_out():
    bench = Bench()
    bench.at_the_first_pour()
    high_g = 420.0 + floor(10 * bench.view.act_view.picture.high_g + 1e-6) / 10
    bench.stand(round(high_g + 0.1, 1), 10.0)
    assert bench.view.act_view.stage == "remedy"
    bench.rest(round(high_g, 1), 30.0)
    assert not [e for e in bench.events if isinstance(e, ev.MaterialRemoved | ev.WeightTaken)]
    assert bench.view.act_view.instruction == "It has been right for a moment only. Take it?"
    assert [c.word for c in bench.view.act_view.choices] == ["take"]
    bench.press("take")
    assert taken(bench) == [pytest.approx(high_g - 420.0)]


def test_a_slow_scale_cannot_tell_and_a_pinch_is_no_spoon():
    slow, pinch = Sudden(0.1), Sudden(0.1)
    for at_s, grams, rest in ((0.0, 0.0, 0.0), (1.0, 10.0, None), (2.0, 20.0, None), (3.0, 20.0, 20.0)):
        slow.hear(at_s, grams, rest)
    for at_s, grams, rest in ((0.0, 0.0, 0.0), (0.1, 1.5, None), (0.2, 1.9, None), (0.3, 1.9, 1.9)):
        pinch.hear(at_s, grams, rest)
    assert slow.by_g == pinch.by_g == 0.0
