"""A weighing in air that doesn't rest: what is taken, what is said of it, and what a maker is told."""

from __future__ import annotations

from math import sin

import pytest
from bench_by_hand import Bench

from benchapp import events as ev
from benchapp.make.acts.base import SWAYS


@pytest.fixture
def poured():
    """All of the water is in, 376 g in a band of 3.8 g either way; the pot weighs 420 g."""
    bench = Bench()
    bench.at_the_first_pour()
    bench.stand(796.0, 0.0)
    return bench


def sway(bench, middle_g, divisions, seconds):
    """The scale goes to and fro by so many divisions for so long."""
    begun = len(bench.events)
    for _ in range(round(seconds * 10)):
        bench.now = round(bench.now + 0.1, 3)
        shown = middle_g + 0.1 * round(divisions * sin(2.1 * bench.now))
        bench.give(bench.grams(round(shown, 1)))
    return bench.events[begun:]


def weights(events):
    return [e.net_g for e in events if isinstance(e, ev.WeightTaken)]


def test_in_a_draught_that_goes_on_the_mean_is_taken_and_written_down_as_one(poured):
    assert weights(sway(poured, 796.0, 4, 6.5)) == []
    view = poured.view.act_view
    assert 0.0 <= view.taking < 0.5
    assert view.not_yet == ("It sways by 0.8 g: its mean is taken. Shield the pan for a better one.",)
    taken = sway(poured, 796.0, 4, 2.5)
    assert weights(taken) == [376.0]
    (note,) = [e for e in taken if isinstance(e, ev.DeviationNoted)]
    assert (note.kind, note.grade) == ("mean of a sway", ev.Grade.NOTE)
    assert "swayed by 0.8 g" in note.text


def test_whoever_says_not_yet_to_a_mean_keeps_it_from_being_taken(poured):
    sway(poured, 796.0, 4, 7.0)
    assert poured.view.act_view.taking is not None
    poured.press("wait")
    assert weights(sway(poured, 796.0, 4, 20.0)) == []


def test_a_mean_that_might_lie_outside_its_band_is_not_taken_and_the_glass_says_what_to_do(poured):
    """3.4 g too much, of 3.76: a sway of 0.4 g is more than is left."""
    for _ in (5, 13, 30):
        assert weights(sway(poured, 799.4, 2, 10.0)) == []
        assert poured.view.act_view.not_yet == (SWAYS,)
        assert poured.view.act_view.taking is None


def test_an_objection_ends_where_more_is_poured(poured):
    sway(poured, 796.0, 4, 7.0)
    poured.press("wait")
    poured.stand(798.0, 0.0)
    assert weights(sway(poured, 798.0, 4, 9.0)) == [378.0]


def test_a_sway_across_the_upper_limit_says_both_that_it_is_too_much_and_why_nothing_is_asked(poured):
    sway(poured, 799.9, 4, 12.0)
    poured.give(poured.grams(800.3))
    assert poured.view.act_view.not_yet == ("Too much: stop.", SWAYS)
