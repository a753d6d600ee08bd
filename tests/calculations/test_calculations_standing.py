"""Digits that stand still longer than noise and vessel allow, and those that stand honestly."""

from __future__ import annotations

from math import exp
from random import Random

import pytest

from benchapp.calculations.excursion import graded
from benchapp.calculations.hold import HoldClock
from benchapp.calculations.standing import Standing

COOLS = 0.02


def warmed(digit_k: float, noise_k: float, seed: int = 1) -> tuple[Standing, float, Random]:
    """A pot that warms from 40 °C towards 71 °C, slower and slower, as in a bath, for a quarter of an hour."""
    rng, heard = Random(seed), Standing()
    for second in range(900):
        true = 71.0 - 31.0 * exp(-second / 150.0)
        heard.hear(float(second), round(round((true + rng.gauss(0.0, noise_k)) / digit_k) * digit_k, 3))
    return heard, 900.0, rng


def stands_s(heard: Standing, now: float, in_air: bool = False) -> float:
    """How long it takes until its digits have stood too long; inf where an hour is not enough."""
    value = heard.value_c
    for second in range(3600):
        heard.hear(now + second, value)
        if heard.too_long_s(now + second, COOLS, in_air):
            return float(second)
    return float("inf")


def test_frozen_tenths_are_noticed_within_five_minutes():
    assert 100.0 <= stands_s(*warmed(0.1, 0.03)[:2]) <= 300.0


@pytest.mark.parametrize("digit_k", [0.5, 1.0])
def test_coarse_digits_in_a_steady_bath_are_let_stand(digit_k):
    heard, now, rng = warmed(digit_k, 0.03)
    for second in range(3600):
        heard.hear(now + second, round(round((71.0 + rng.gauss(0.0, 0.03)) / digit_k) * digit_k, 3))
        assert not heard.too_long_s(now + second, COOLS, in_air=False)


def test_coarse_digits_of_a_pot_that_has_to_cool_are_not():
    assert stands_s(*warmed(1.0, 0.03)[:2], in_air=True) <= 900.0


def test_noisy_tenths_of_a_steady_pot_move_often_enough():
    for seed in range(5):
        heard, now, rng = warmed(0.1, 0.03, seed)
        for second in range(3600):
            heard.hear(now + second, round(71.0 + rng.gauss(0.0, 0.03), 1))
            assert not heard.too_long_s(now + second, COOLS, in_air=False)


def test_nothing_is_said_of_a_cold_vessel_or_of_digits_that_were_never_seen_to_move():
    never = Standing()
    assert stands_s_of(never, 71.0, COOLS) == float("inf")
    heard, now, _ = warmed(0.1, 0.03)
    assert heard.too_long_s(now + 5000.0, 0.001, in_air=True) == 0.0


def stands_s_of(heard: Standing, value: float, cools: float) -> float:
    for second in range(3600):
        heard.hear(float(second), value)
        if heard.too_long_s(float(second), cools, in_air=False):
            return float(second)
    return float("inf")


def test_what_was_vouched_for_is_not_asked_about_before_it_has_moved():
    heard, now, _ = warmed(0.1, 0.03)
    heard.excuse()
    assert stands_s(heard, now) == float("inf")


def test_time_under_doubt_counts_once_the_temperature_was_right_all_the_time():
    clock = HoldClock(70.0)
    for second in range(100):
        clock.look(float(second), [72.0])
    clock.doubt(99.0, 60.0)
    assert clock.held_s == pytest.approx(60.0)
    for second in range(100, 150):
        clock.look(float(second), [72.0])
    assert clock.held_s == pytest.approx(60.0)
    clock.settle(counts=True)
    assert clock.held_s == pytest.approx(149.0)


def test_time_under_doubt_is_dropped_otherwise():
    clock = HoldClock(70.0)
    for second in range(100):
        clock.look(float(second), [72.0])
    clock.doubt(99.0, 60.0)
    clock.settle(counts=False)
    assert clock.held_s == pytest.approx(60.0)


@pytest.mark.parametrize(
    ("by_k", "lasted_s", "beyond", "grade"),
    [
        (1.0, 60.0, False, "note"),
        (6.0, 60.0, False, "minor"),
        (1.0, 700.0, False, "minor"),
        (6.0, 700.0, False, "major"),
        (11.0, 5.0, True, "major"),
    ],
)
def test_an_excursion_is_graded_by_how_far_and_how_long(by_k, lasted_s, beyond, grade):
    assert graded(by_k, lasted_s, beyond) == grade
