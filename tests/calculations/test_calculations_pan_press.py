"""Three pushes on the empty pan: through the lag and the ringing of simulated scales, against all that is none."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.pan_press import PanPress
from drivers.simulated import simulated_scale as simulated

DIVISION_G, PERIOD_S = 0.1, 0.1


def answers(forces, seconds, lag_s=0.35, seed=1, patch=None):
    """When the pan answered, seconds; ``forces`` are (from s, to s, grams) on the pan of a simulated scale."""
    if patch is not None:
        patch.setattr(simulated, "FILTER_S", lag_s)
    scale = simulated.SimulatedScale("big", 3000.0, DIVISION_G, Random(seed))
    scale.standing = "whatever"
    pan, out = PanPress(DIVISION_G), []
    for n in range(round(seconds / 0.02)):
        now = 0.02 * (n + 1)
        scale.step(now, 0.02, sum(g for a, b, g in forces if a <= now < b), False)
        if n % round(PERIOD_S / 0.02) == 0 and pan.push(now, scale.display_g(), "asked"):
            out.append(now)
    return out


@pytest.mark.parametrize("lag_s", [0.05, 0.2, 0.35, 0.5])
def test_three_pushes_answer_once_after_the_pan_is_empty(lag_s, monkeypatch):
    pushes = [(1.0, 1.25, 600.0), (1.55, 1.8, 600.0), (2.1, 2.35, 600.0)]
    (at_s,) = answers(pushes, 12.0, lag_s, patch=monkeypatch)
    assert 2.35 < at_s < 7.0


NOT_IT = {
    "one push": [(1.0, 1.3, 700.0)],
    "two pushes": [(1.0, 1.2, 700.0), (1.5, 1.7, 700.0)],
    "four pushes": [(1.0, 1.2, 700.0), (1.5, 1.7, 700.0), (2.0, 2.2, 700.0), (2.5, 2.7, 700.0)],
    "too far apart": [(1.0, 1.2, 700.0), (1.5, 1.7, 700.0), (3.5, 3.7, 700.0)],
    "too gentle": [(1.0, 1.2, 60.0), (1.5, 1.7, 60.0), (2.0, 2.2, 60.0)],
    "a spoon set down": [(1.0, 12.0, 18.0)],
    "a beaker set down and taken off": [(1.0, 4.0, 180.0)],
    "a beaker set down, and another": [(1.0, 12.0, 180.0), (1.8, 12.0, 240.0)],
    "pushes on a beaker": [(0.0, 12.0, 180.0), (1.5, 1.7, 700.0), (2.0, 2.2, 700.0), (2.5, 2.7, 700.0)],
    "a push while a beaker is taken off": [(0.0, 2.0, 180.0), (1.4, 1.6, 500.0)],
    "a hand that leans": [(1.0, 3.0, 700.0), (3.4, 5.5, 700.0), (5.9, 7.5, 700.0)],
    "a spoon that bounces": [(1.0, 1.03, 900.0), (1.25, 1.27, 400.0), (1.4, 12.0, 18.0)],
    "pushed, and something stays there": [
        (1.0, 1.2, 700.0),
        (1.5, 1.7, 700.0),
        (2.0, 2.2, 700.0),
        (2.2, 12.0, 5.0),
    ],
}


@pytest.mark.parametrize("name", NOT_IT)
def test_this_is_no_word(name):
    assert answers(NOT_IT[name], 12.0) == []


def test_after_a_fault_the_pan_has_to_be_seen_empty_first():
    pan = PanPress(DIVISION_G)
    push = [200.0, 400.0, 100.0, 0.0, 0.0]
    shape = [0.0] * 10 + push * 3 + [0.0] * 10
    assert [pan.push(n / 10, g, "asked") for n, g in enumerate(shape)].count("asked") == 1
    pan.forget()
    assert not any(pan.push(100 + n / 10, g, "asked") for n, g in enumerate(shape[10:]))


@given(st.lists(st.tuples(st.sampled_from([0.05, 0.1, 0.3, 1.0]), st.integers(-30, 60)), max_size=60))
def test_whatever_a_display_shows_is_borne(readings):
    """Also below zero, as after something was taken off that had been zeroed away."""
    pan, at_s = PanPress(DIVISION_G), 0.0
    for gap_s, tens in readings:
        at_s += gap_s
        assert pan.push(at_s, 10.0 * tens, "asked") in ("", "asked")


def test_a_pan_that_springs_from_below_zero_is_no_push():
    pan = PanPress(DIVISION_G)
    shown = [0.0] * 12 + [-200.0, -150.0, -250.0, 300.0, 100.0, 300.0, 100.0] + [0.0] * 20
    assert not any(pan.push(0.1 * n, grams, "asked") for n, grams in enumerate(shown))


def test_a_knock_and_a_bounce_that_were_like_two_pushes_are_no_word():
    """What a simulated scale showed of them, ten times a second."""
    bounce = [14.5, 106.3, 136.7, 80.0, 41.1, 42.3, 40.3, 25.4, 15.4, 110.0, 251.6, 257.2, 172.0, 121.7, 147.7, 143.7,
              92.2, 57.9, 51.1, 43.4, 29.4, 20.0, 16.4, 13.2, 9.4, 6.6, 5.2, 4.1, 3.0, 2.2, 1.7, 1.3, 0.9, 0.7, 0.5]  # fmt: skip
    alone = [51.7, 133.3, 146.8, 143.2, 114.4, 128.8, 186.1, 154.8, 88.1, 63.3, 60.4, 46.5, 29.6, 21.9, 18.8,
              14.2, 9.7, 7.3, 5.9, 4.4, 3.1, 2.4, 1.8, 1.4, 1.0, 0.8, 0.6, 0.4]  # fmt: skip
    pan = PanPress(DIVISION_G)
    shown = [0.0] * 12 + bounce + [0.2] * 25 + alone + [0.2] * 25
    assert not any(pan.push(0.1 * n, grams, "asked") for n, grams in enumerate(shown))
