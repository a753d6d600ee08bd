"""The hold clock: counts while the coldest phase is warm enough."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.hold import HoldClock


def test_it_runs_while_the_coldest_phase_is_at_the_limit_or_above() -> None:
    clock = HoldClock(70.0)
    clock.look(0.0, [74.0, 69.9])
    clock.look(1.0, [74.0, 70.0])
    assert clock.held_s == 0.0
    assert clock.look(2.0, [74.0, 70.2]) == 1.0
    assert clock.coldest_c == 70.2


def test_falling_below_stops_it_and_does_not_set_it_back() -> None:
    clock = HoldClock(70.0)
    for at, temp in enumerate([71.0, 71.0, 71.0, 69.0, 71.0, 71.0]):
        clock.look(float(at), [temp])
    assert clock.held_s == 3.0


def test_nobody_knows_what_happened_in_a_gap() -> None:
    clock = HoldClock(70.0, gap_s=5.0)
    clock.look(0.0, [72.0])
    clock.look(6.0, [72.0])
    assert clock.held_s == 0.0
    assert clock.look(11.0, [72.0]) == 5.0


def test_a_phase_without_a_reading_stops_it() -> None:
    clock = HoldClock(70.0)
    clock.look(0.0, [72.0, 72.0])
    clock.look(1.0, [72.0, None])
    assert not clock.running
    assert clock.coldest_c is None
    clock.look(2.0, [72.0, 72.0])
    assert clock.held_s == 0.0


def test_it_goes_on_from_what_was_held_before() -> None:
    clock = HoldClock(70.0, held_s=120.0)
    clock.look(1000.0, [71.0])
    assert clock.look(1002.0, [71.0]) == 122.0


def test_not_a_number_is_not_warm() -> None:
    clock = HoldClock(70.0)
    clock.look(0.0, [float("nan")])
    assert not clock.running


@given(st.lists(st.tuples(st.floats(0.0, 20.0), st.floats(60.0, 80.0)), max_size=40))
def test_it_never_counts_more_than_has_passed_nor_runs_back(looks: list[tuple[float, float]]) -> None:
    clock, at, before = HoldClock(70.0), 0.0, 0.0
    for wait, temp in looks:
        at += wait
        held = clock.look(at, [temp])
        assert before <= held <= at + 1e-6
        before = held


@pytest.mark.parametrize("at_s", [5.0, 4.0])
def test_a_reading_that_is_not_newer_adds_nothing(at_s: float) -> None:
    clock = HoldClock(70.0)
    clock.look(5.0, [71.0])
    assert clock.look(at_s, [71.0]) == 0.0
    assert clock.look(6.0, [71.0]) == 1.0
