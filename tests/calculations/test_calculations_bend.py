"""A bend in a curve of cooling: found where there is one, in Newton's law with another constant; seldom where there is none."""

from __future__ import annotations

from math import exp
from random import Random

import pytest
from family_trial import judge
from family_waits import waits
from known_vessel import falsely_said, noticed_late_s

from benchapp.calculations.arrival import Course
from benchapp.calculations.bend import Bend

ROOM_C, TAU_S, BENT_S = 21.0, 3000.0, 900


def cooled(slower: float, seed: int, noise_k: float = 0.05) -> list[tuple[float, float]]:
    """Newton's law from 75 °C in digits of a tenth, its pace another from ``BENT_S`` on."""
    rng, temp, found = Random(seed), 75.0, []
    for at_s in range(1500):
        temp -= (temp - ROOM_C) / TAU_S * (slower if at_s >= BENT_S else 1.0)
        found.append((float(at_s), round(temp + rng.gauss(0.0, noise_k), 1)))
    return found


def first_left(readings: list[tuple[float, float]]) -> tuple[float, Course] | None:
    bend = Bend()
    for at_s, temp_c in readings:
        left = bend.hear(at_s, temp_c, 0.1)
        if left is not None:
            return at_s, left
    return None


@pytest.mark.parametrize("slower", [0.6, 1.6])
def test_a_pace_that_changes_by_two_fifths_is_noticed_within_a_minute_and_a_half(slower: float) -> None:
    for seed in range(5):
        noticed = first_left(cooled(slower, seed))
        assert noticed is not None
        at_s, left = noticed
        assert BENT_S < at_s < BENT_S + 90.0
        before = 54.0 * exp(-left.at_s / TAU_S)
        assert left.at_s < at_s
        assert left.rate_k_s == pytest.approx(-before / TAU_S, rel=0.2)


def test_newtons_law_does_not_bend() -> None:
    assert [first_left(cooled(1.0, seed)) for seed in range(8)] == [None] * 8


@pytest.mark.parametrize("slower", [0.85, 1.15])
def test_a_pace_that_changes_by_less_than_a_lid_changes_it_is_seldom_a_bend(slower: float) -> None:
    """Setting slows a curve by as much, and nobody has touched it."""
    found = [first_left(cooled(slower, seed, noise_k=0.02)) for seed in range(6)]
    assert found.count(None) >= 3


def test_of_lids_put_on_or_taken_off_most_are_noticed_and_few_where_there_was_none() -> None:
    """Of 60 from these seeds 55 are in time and 10 falsely found (tests/benchmarks/bench_lid.py)."""
    found = waits("lid put on or taken off", 10, 5001)
    assert judge(found).in_time >= 8
    assert falsely_said(found) <= 2


def test_after_a_gap_nothing_is_compared_with_what_was_before() -> None:
    """A probe that was out for a while comes back to a curve that has gone on."""
    readings = [r for r in cooled(0.6, 1) if not 860 < r[0] < 960]
    assert first_left(readings) is None


def test_who_knows_the_very_vessel_notices_nearly_every_lid() -> None:
    """What anybody could do at the best (tests/benchmarks/bench_lid.py for many vessels)."""
    found = waits("lid put on or taken off", 6, 5001)
    assert sum(late < 90.0 for late in noticed_late_s(found, 1)) >= 5
    assert noticed_late_s(found, 0) >= noticed_late_s(found, 1)
