"""What happens to a vessel on its way is noticed, and the new pace learned. Curves simulated."""

from __future__ import annotations

import pytest
from forecast_stories import NOTHING, Now, a_cooler, a_heater, cooling, listen, warming

from benchapp.calculations.change_watch import (
    BATH_CHANGED,
    CHANGED,
    COLDER,
    LIFTED,
    PLATEAU,
    STEPPED,
    WRONG_WAY,
)
from benchapp.calculations.forecast import NEVER


def test_stirring_harder_is_noticed_and_learned() -> None:
    told = listen(a_cooler(), cooling(lambda t: Now(pace=1.6 if t > 900 else 1.0)))
    assert 900 < told.first(CHANGED) < 1050
    assert abs(told.off(1500)) < 0.1


def test_a_lid_put_on_is_noticed_and_learned() -> None:
    told = listen(a_cooler(), cooling(lambda t: Now(pace=0.5 if t > 600 else 1.0)))
    assert 600 < told.first(CHANGED) < 800
    assert abs(told.off(2500)) < 0.1


def test_a_lifted_probe_is_noticed_and_its_readings_not_used() -> None:
    told = listen(a_cooler(), cooling(lambda t: Now(lifted=900 < t < 1000)))
    assert 900 < told.first(LIFTED) < 930
    assert abs(told.off(990)) < 0.08
    assert abs(told.off(1300)) < 0.08
    assert CHANGED not in told.notes.values()


def test_a_probe_that_stays_out_says_nothing_of_the_batch() -> None:
    told = listen(a_cooler(), cooling(lambda t: Now(lifted=t > 900), seconds=1900))
    assert told.notes[1800] == LIFTED
    assert told.answers[1800] is None


def test_single_wild_readings_change_nothing() -> None:
    def wild(t: int) -> Now:
        return Now(shows=(-200.0, 850.0, 0.0, 21.0)[t % 4]) if t % 37 == 36 else NOTHING

    told = listen(a_cooler(), cooling(wild))
    assert abs(told.off(1200)) < 0.08
    assert set(told.notes.values()) == {""}


def test_a_plateau_is_noticed_and_nothing_foretold_until_it_is_over() -> None:
    told = listen(a_cooler(), cooling(lambda t: Now(pace=0.03 if 900 < t < 1500 else 1.0)))
    assert 900 < told.first(PLATEAU) < 1100
    assert told.answers[1300] is None
    assert abs(told.off(1900)) < 0.1


def test_melting_on_the_way_up_is_a_plateau_too() -> None:
    told = listen(a_heater(), warming(lambda t: 82.0, melts_c=55.0))
    start = told.first(PLATEAU)
    assert start > 0
    assert told.answers[start] is None
    assert NEVER not in told.notes.values()


def test_cold_stuff_put_in_is_a_step() -> None:
    told = listen(a_cooler(), cooling(lambda t: Now(jump_k=-5.0 if t == 900 else 0.0)))
    assert 900 < told.first(STEPPED) < 1020
    assert abs(told.off(1400)) < 0.1


def test_warming_up_again_is_the_wrong_way() -> None:
    told = listen(a_cooler(), cooling(lambda t: Now(pace=-0.5 if t > 900 else 1.0), seconds=1500))
    assert told.first(WRONG_WAY) > 900
    assert told.answers[1400] is None


def test_a_room_as_warm_as_the_target_never_lets_it_cool() -> None:
    told = listen(a_cooler(39.5), cooling(lambda t: NOTHING, room_c=39.5, seconds=1500))
    assert told.notes[1200] == NEVER
    assert told.answers[1200] is None


@pytest.mark.parametrize("bath_c", [76.0, 85.0])
def test_a_bath_warmer_than_the_target_gets_it_there(bath_c: float) -> None:
    told = listen(a_heater(), warming(lambda t: bath_c))
    t = int(0.7 * told.done_s / 5) * 5
    answer = told.answers[t]
    assert answer is not None
    assert answer.early_s <= told.done_s - t <= answer.late_s


def test_a_bath_put_on_cold() -> None:
    told = listen(a_heater(), warming(lambda t: min(80.0, 25.0 + 0.05 * t)))
    answer = told.answers[600]
    assert answer is not None
    assert answer.early_s <= told.done_s - 600 <= answer.late_s


def test_a_bath_too_cool_never_gets_it_there() -> None:
    told = listen(a_heater(), warming(lambda t: 64.0, seconds=1300))
    assert told.notes[900] == NEVER
    assert told.answers[900] is None


def test_a_bath_turned_down_is_noticed_and_then_that_it_is_too_cool() -> None:
    told = listen(a_heater(), warming(lambda t: 85.0 if t < 400 else 66.0, lag_s=600.0, seconds=1600))
    assert 400 < told.first(BATH_CHANGED) < 650
    assert told.notes[1500] == NEVER
    assert told.answers[1500] is None


def test_a_bath_turned_up_is_noticed_and_learned() -> None:
    told = listen(a_heater(), warming(lambda t: 74.0 if t < 400 else 95.0, lag_s=600.0))
    assert 400 < told.first(BATH_CHANGED) < 650
    assert abs(told.off(650)) < 0.25


def test_lifted_out_of_the_bath_it_goes_the_wrong_way() -> None:
    told = listen(a_heater(), warming(lambda t: 85.0 if t < 300 else 21.0, lag_s=600.0, seconds=900))
    first = min(told.first(BATH_CHANGED), told.first(WRONG_WAY) if WRONG_WAY in told.notes.values() else 900)
    assert 300 < first < 360
    assert all(told.answers[t] is None for t in range(360, 900, 60))


def test_ice_is_noticed_and_its_pace_learned() -> None:
    told = listen(a_cooler(), cooling(lambda t: Now(pace=6.0 if t > 900 else 1.0)))
    assert 900 < told.first(CHANGED) < 930
    assert told.answers[930] is None
    assert told.first(COLDER) > 900
    answer = told.answers[int((900 + told.done_s) / 10) * 5]
    assert answer is not None
    assert abs(answer.middle_s / ((told.done_s - 900) / 2) - 1.0) < 0.25
