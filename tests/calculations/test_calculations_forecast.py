"""A forecast: when it speaks, what it notices, and that it cannot be upset. Curves simulated."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from math import exp, inf, isfinite, nan
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchapp.calculations.forecast import (
    BATH_CHANGED,
    CHANGED,
    COLDER,
    LIFTED,
    NEVER,
    PLATEAU,
    STEPPED,
    WRONG_WAY,
    ArrivalForecast,
    Forecaster,
)
from benchapp.calculations.heat_loss import MeltingShare, VesselPrior

ROOM_C = 21.0


@dataclass
class Now:
    """What happens to the vessel in one second."""

    pace: float = 1.0
    jump_k: float = 0.0
    lifted: bool = False
    shows: float | None = None


Story = Callable[[int], Now]
NOTHING = Now()


def cooling(
    story: Story, room_c: float = ROOM_C, seconds: int = 9000, until_c: float = 40.0
) -> list[tuple[float, float, float]]:
    """(second, shown, true): open vessel from 78 °C, a steady part and one with the square of the difference."""
    rng, temp, probe = Random(7), 78.0, 78.0
    out = []
    for t in range(seconds):
        now = story(t)
        over = temp - room_c
        temp += now.jump_k - now.pace * over * (2.2e-4 + 6e-6 * max(over, 0.0))
        probe += (room_c - probe) / 30.0 if now.lifted else (temp - probe) / 6.0
        shown = probe + rng.gauss(0.0, 0.05) if now.shows is None else now.shows
        out.append((float(t), round(shown, 1), temp))
        if temp < until_c:
            break
    return out


def warming(
    bath_c: Callable[[int], float], lag_s: float = 300.0, melts_c: float | None = None, seconds: int = 4000
) -> list[tuple[float, float, float]]:
    """A vessel in a bath, from 20 °C; at ``melts_c`` it stands still for five minutes."""
    rng, temp, probe, stood = Random(8), 20.0, 20.0, 0
    out = []
    for t in range(seconds):
        if melts_c is not None and temp >= melts_c and stood < 300:
            stood += 1
        else:
            temp += (bath_c(t) - temp) / lag_s
        probe += (temp - probe) / 6.0
        out.append((float(t), round(probe + rng.gauss(0.0, 0.05), 1), temp))
        if temp > 70.5:
            break
    return out


def a_cooler(room_c: float | None = ROOM_C) -> Forecaster:
    return Forecaster("cool", 40.0, VesselPrior(400, 0.8, 90), room_c)


def a_heater() -> Forecaster:
    return Forecaster("heat", 70.0, VesselPrior(400, 0.9, 90, in_bath=True), ROOM_C)


@dataclass
class LastForecast:
    """Answers and notes by second."""

    answers: dict[int, ArrivalForecast | None]
    notes: dict[int, str]
    done_s: float

    def first(self, note: str) -> int:
        """When a note was first given."""
        return next((t for t, n in self.notes.items() if n == note), -1)

    def off(self, t: int) -> float:
        """Error of the middle as a share of what really remained."""
        answer = self.answers[t]
        assert answer is not None
        return answer.middle_s / (self.done_s - t) - 1.0


def listen(forecaster: Forecaster, curve: list[tuple[float, float, float]]) -> LastForecast:
    told = LastForecast({}, {}, curve[-1][0])
    for at, shown, _ in curve:
        forecaster.push(at, shown)
        if at % 5 == 0:
            told.answers[int(at)] = forecaster.forecast(at)
            told.notes[int(at)] = forecaster.note(at)
    return told


# --- an ordinary wait ----------------------------------------------------------------------------------


def test_says_nothing_at_first_then_an_interval_that_narrows_around_the_truth() -> None:
    told = listen(a_cooler(), cooling(lambda t: NOTHING))
    assert told.answers[10] is None
    for share in (0.25, 0.5, 0.75):
        t = int(share * told.done_s / 5) * 5
        answer = told.answers[t]
        assert answer is not None
        assert answer.early_s <= told.done_s - t <= answer.late_s
        assert abs(told.off(t)) < 0.08
        assert answer.note == ""
    assert set(told.notes.values()) == {""}


def test_at_the_target_nothing_remains() -> None:
    forecaster = a_cooler()
    for t in range(100):
        forecaster.push(float(t), 40.0 - 0.01 * t)
    assert forecaster.forecast(100.0) == ArrivalForecast(0.0, 0.0, 0.0)


def test_time_that_passes_between_readings_is_taken_off() -> None:
    forecaster = a_cooler()
    for at, shown, _ in cooling(lambda t: NOTHING)[:900]:
        forecaster.push(at, shown)
    soon, later = forecaster.forecast(900.0), forecaster.forecast(930.0)
    assert soon is not None
    assert later is not None
    assert later.middle_s == pytest.approx(soon.middle_s - 30.0, abs=0.01)


def test_the_same_readings_give_the_same_forecast() -> None:
    curve = cooling(lambda t: NOTHING)[:600]
    first, second = listen(a_cooler(), curve), listen(a_cooler(), curve)
    assert first.answers == second.answers


def test_one_reading_a_minute_is_enough() -> None:
    told = listen(a_cooler(), [r for r in cooling(lambda t: NOTHING) if r[0] % 60 == 0])
    assert abs(told.off(900)) < 0.08


def test_a_probe_that_comes_warm_out_of_the_air_does_not_count() -> None:
    """The first half minute it climbs from the room's temperature."""
    curve = [(t, c + (ROOM_C - c) * exp(-t / 8.0), true) for t, c, true in cooling(lambda t: NOTHING)]
    told = listen(a_cooler(), curve)
    assert abs(told.off(600)) < 0.1


def test_the_fan_opens_from_now_and_closes_on_the_target_when_the_interval_ends() -> None:
    forecaster = a_cooler()
    assert forecaster.fan(0.0) == ()
    for at, shown, _ in cooling(lambda t: NOTHING)[:600]:
        forecaster.push(at, shown)
        last = shown
    fan, whole = forecaster.fan(600.0), forecaster.forecast(600.0)
    assert whole is not None
    assert fan[0] == (0.0, last, last)
    assert fan[-1] == (pytest.approx(whole.late_s), 40.0, 40.0)
    assert any(low < high - 0.5 for _, low, high in fan)
    for (t0, low0, high0), (t1, low1, high1) in pairwise(fan):
        assert t0 < t1
        assert low0 >= low1 <= high1 <= high0


def test_earlier_makes_say_what_no_formula_does() -> None:
    """It stands still at 55 °C for five minutes, as it did the last two times; nobody stated that anything melts."""
    before = [[(t, c) for t, c, _ in warming(lambda t: 84.0, lag, melts_c=55.0)] for lag in (290.0, 320.0)]
    today = warming(lambda t: 84.0, melts_c=55.0)
    ignorant = listen(a_heater(), today)
    taught = listen(Forecaster("heat", 70.0, VesselPrior(400, 0.9, 90, in_bath=True), ROOM_C, before), today)
    quarter = int(taught.done_s / 20) * 5
    assert abs(taught.off(quarter)) < 0.12
    assert abs(ignorant.off(quarter)) > 0.25


def test_earlier_makes_that_went_elsewhere_do_no_harm() -> None:
    before = [[(10.0 * k, 30.0 + k) for k in range(5)], [(0.0, 50.0)], []]
    curve = warming(lambda t: 84.0)
    taught = listen(Forecaster("heat", 70.0, VesselPrior(400, 0.9, 90, in_bath=True), ROOM_C, before), curve)
    assert taught.answers == listen(a_heater(), curve).answers


# --- what is noticed -----------------------------------------------------------------------------------


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


def test_a_small_pot_that_heats_fast_is_not_frozen_out() -> None:
    """100 g at 0.14 K/s on a plate, whose probe lags: no look is many times too long."""
    forecaster = Forecaster("heat", 72.0, VesselPrior(100, 0.95), None)
    temp, probe, rng, done_s = 21.0, 21.0, Random(3), 0.14
    curve = []
    for t in range(600):
        temp += 0.14 * min(1.0, t / 40.0)
        probe += (temp - probe) / 8.0
        curve.append((float(t), round(probe + rng.gauss(0.0, 0.05), 1), temp))
        if probe > 72.0:
            break
    done_s = curve[-1][0]
    told = listen(forecaster, curve)
    looks = [(t, a) for t, a in told.answers.items() if a is not None and 0.2 * done_s < t < done_s - 10]
    assert len(looks) > 40
    assert all(a.middle_s < 2.0 * (done_s - t) for t, a in looks)


def test_melting_on_a_plate_is_expected_where_the_procedure_says_it_melts() -> None:
    """An oil phase with a third of wax: four times as slow from 52 to 60 °C, and that is no change of the world."""
    melts = (MeltingShare(0.33, 61.0),)
    temp, curve, rng = 21.0, [], Random(4)
    for t in range(4000):
        temp += 0.05 * (0.25 if 52.0 < temp < 60.0 else 1.0)
        curve.append((float(t), round(temp + rng.gauss(0.0, 0.05), 1), temp))
        if temp > 74.0:
            break
    done_s = curve[-1][0]
    informed, ignorant = (
        listen(Forecaster("heat", 74.0, VesselPrior(200, 0.0, melts=m)), curve) for m in (melts, ())
    )
    assert set(informed.notes.values()) == {""}
    half = int(done_s / 10) * 5
    told = informed.answers[half]
    assert told is not None
    assert told.early_s <= done_s - half <= told.late_s
    assert {CHANGED, PLATEAU} & set(ignorant.notes.values())


# --- what cannot upset it ------------------------------------------------------------------------------


def test_readings_that_are_no_numbers_or_not_newer_are_left_out() -> None:
    forecaster = a_cooler()
    for at, shown, _ in cooling(lambda t: NOTHING)[:600]:
        forecaster.push(at, shown)
    before = forecaster.forecast(600.0)
    for at, temp in ((599.0, 20.0), (10.0, 90.0), (601.0, nan), (602.0, inf), (603.0, -273.0)):
        forecaster.push(at, temp)
    assert forecaster.forecast(600.0) == before


def test_only_cooling_and_heating_are_foretold() -> None:
    with pytest.raises(ValueError, match="'boil'"):
        Forecaster("boil", 40.0, VesselPrior(100))  # type: ignore[arg-type]


READINGS = st.lists(
    st.tuples(st.floats(0.5, 200.0), st.floats(-300.0, 900.0) | st.floats(15.0, 80.0)), max_size=60
)


@settings(max_examples=40, deadline=None)
@given(READINGS, st.sampled_from(["cool", "heat"]), st.booleans(), st.booleans(), st.floats(-10, 100))
def test_whatever_comes_the_interval_is_in_order(
    readings: list[tuple[float, float]], kind: str, in_bath: bool, melts: bool, target_c: float
) -> None:
    prior = VesselPrior(
        300, in_bath=in_bath, melts=(MeltingShare(0.1, 60.0), MeltingShare(0.05, 41.0, 60.0)) if melts else ()
    )
    forecaster = Forecaster(kind, target_c, prior)  # type: ignore[arg-type]
    at = 0.0
    for wait, temp in readings:
        at += wait
        forecaster.push(at, temp)
        answer = forecaster.forecast(at)
        if answer is not None:
            assert isfinite(answer.middle_s)
            assert 0.0 <= answer.early_s <= answer.middle_s <= answer.late_s
