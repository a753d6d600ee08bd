"""A display in steps of half a kelvin or one: its steps lie on the true curve, and one that is overdue tells of a lid."""

from __future__ import annotations

from random import Random

import pytest

from benchapp.calculations.arrival import Course
from benchapp.calculations.display_steps import DisplaySteps
from benchapp.calculations.points import Point

ROOM_C, TAU_S, BENT_S, LASTS_S = 21.0, 4000.0, 1200, 2400


def cooled(
    step_k: float, slower: float, seed: int, noise_k: float = 0.03
) -> list[tuple[float, float, float]]:
    """(second, shown, true) of Newton's law from 75 °C in steps of ``step_k``, its pace another from ``BENT_S`` on."""
    rng, temp, found = Random(seed), 75.0 + Random(seed).random(), []
    for at_s in range(LASTS_S):
        temp -= (temp - ROOM_C) / TAU_S * (slower if at_s >= BENT_S else 1.0)
        found.append((float(at_s), round((temp + rng.gauss(0.0, noise_k)) / step_k) * step_k, temp))
    return found


def first_left(step_k: float, slower: float, seed: int) -> tuple[float, Course] | None:
    steps = DisplaySteps(-1.0, ROOM_C, sets=False)
    for at_s, shown_c, _ in cooled(step_k, slower, seed):
        steps.hear(at_s, shown_c)
        course = steps.left(at_s, step_k, 0.0)
        if course is not None:
            return at_s, course
    return None


@pytest.mark.parametrize("step_k", [0.5, 1.0])
def test_a_step_lies_on_the_true_curve_though_the_display_is_half_a_step_off(step_k: float) -> None:
    steps, told = DisplaySteps(-1.0, ROOM_C, sets=False), []
    curve = cooled(step_k, 1.0, 1)
    last = Point(0.0, 75.0, 0.1)
    for at_s, shown_c, true_c in curve:
        steps.hear(at_s, shown_c)
        if at_s % 15 == 14:
            point = Point(at_s, shown_c, 0.29 * step_k)
            seen = steps.told(point, last, -(true_c - ROOM_C) / TAU_S, step_k)
            told += seen
            last = seen[-1] if seen else last
    inner = [p for p in told if p.at_s > 200.0]
    assert len(inner) >= 10
    assert all(abs(p.temp_c - curve[int(p.at_s)][2]) < 0.1 for p in inner)
    assert all(p.sd_k < 0.1 for p in inner)


def test_a_display_that_flickers_between_two_numbers_steps_once() -> None:
    steps = DisplaySteps(-1.0, ROOM_C, sets=False)
    shown = [70.0] * 60 + [70.0, 69.0, 70.0, 69.0, 69.0, 70.0, 69.0, 70.0] * 3 + [69.0] * 60 + [68.0] * 60
    for at_s, shown_c in enumerate(shown):
        steps.hear(float(at_s), shown_c)
    told = steps.told(Point(204.0, 68.0, 0.3), Point(0.0, 70.0, 0.1), -0.01, 1.0)
    assert [p.temp_c for p in told] == [69.5, 68.5]
    assert told[0].at_s == pytest.approx(72.0, abs=3.0)
    assert told[0].sd_k > 1.5 * told[1].sd_k


def test_a_fine_display_is_told_by_its_points() -> None:
    steps, point = DisplaySteps(-1.0, ROOM_C, sets=False), Point(30.0, 69.8, 0.05)
    for at_s in range(30):
        steps.hear(float(at_s), round(70.0 - 0.01 * at_s, 1))
    assert steps.told(point, Point(15.0, 69.9, 0.05), -0.01, 0.1) == [point]


def test_between_two_steps_a_coarse_display_tells_nothing_unless_one_is_overdue() -> None:
    steps = DisplaySteps(-1.0, ROOM_C, sets=False)
    for at_s in range(200):
        steps.hear(float(at_s), 70.0 if at_s < 100 else 69.0)
    last = Point(100.0, 69.5, 0.03)
    soon, late = Point(120.0, 69.0, 0.29), Point(230.0, 69.0, 0.29)
    assert steps.told(soon, last, -0.01, 1.0) == []
    assert steps.told(late, last, -0.01, 1.0) == [late]


@pytest.mark.parametrize("step_k", [0.5, 1.0])
@pytest.mark.parametrize("slower", [0.55, 1.8])
def test_a_pace_that_changes_as_under_a_lid_is_noticed_when_it_is_a_step_off(
    step_k: float, slower: float
) -> None:
    """The change is a whole step off the old course after step / (pace × change); a few seconds to be sure of it."""
    pace = 54.0 * 0.74 / TAU_S
    for seed in range(4):
        noticed = first_left(step_k, slower, seed)
        assert noticed is not None
        at_s, left = noticed
        assert BENT_S < at_s < BENT_S + step_k / (pace * abs(slower - 1.0)) + 30.0
        assert left.at_s < at_s
        assert left.rate_k_s == pytest.approx(-pace, rel=0.25)


@pytest.mark.parametrize("step_k", [0.5, 1.0])
def test_newtons_law_is_on_its_course(step_k: float) -> None:
    assert [first_left(step_k, 1.0, seed) for seed in range(8)] == [None] * 8
