"""Paces that came and went: how they widen and move what the pace of now foretells."""

from __future__ import annotations

from math import inf

import pytest

from benchapp.calculations.paces import Paces

SPAN = (900.0, 1000.0, 1100.0)


def went(*paces: tuple[float, float]) -> Paces:
    """So many seconds each, at a share of the pace before."""
    found, now = Paces(), 0.0
    found.pass_to(now)
    for n, (share, held_s) in enumerate(paces):
        if n:
            found.change(share)
        now += held_s
        found.pass_to(now)
    return found


def test_where_nothing_changed_nothing_is_altered():
    assert went((1.0, 600.0)).spread(SPAN) == SPAN


def test_one_change_may_stay_as_a_lid_does():
    assert went((1.0, 300.0), (0.5, 100.0)).spread(SPAN) == SPAN


def test_a_second_change_widens_both_ends():
    early, middle, late = went((1.0, 300.0), (0.5, 300.0), (2.0, 100.0)).spread(SPAN)
    assert early / middle < SPAN[0] / SPAN[1]
    assert late / middle > SPAN[2] / SPAN[1]


def test_what_came_and_went_often_goes_at_the_mean_pace():
    twice = went((1.0, 300.0), (0.5, 300.0), (2.0, 300.0), (0.5, 300.0)).spread(SPAN)[1]
    often = went((1.0, 300.0), *[(0.5, 300.0), (2.0, 300.0)] * 3, (0.5, 300.0)).spread(SPAN)[1]
    assert SPAN[1] * 0.5 / 0.75 < often < twice < SPAN[1]


def test_the_near_end_goes_at_the_pace_of_now():
    paces = went((1.0, 300.0), (0.5, 300.0), (2.0, 300.0), (0.5, 300.0))
    assert paces.spread((9.0, 10.0, 11.0))[1] == pytest.approx(10.0, rel=0.02)
    assert paces.spread((0.0, 0.0, 0.0)) == (0.0, 0.0, 0.0)
    assert paces.spread((900.0, 1000.0, inf))[2] == inf
