"""A forecast: when it speaks, what it notices, and that it cannot be upset. Curves simulated."""

from __future__ import annotations

from itertools import pairwise
from math import exp, inf, isfinite, nan
from random import Random

import pytest
from forecast_stories import NOTHING, ROOM_C, a_cooler, a_heater, cooling, listen, warming
from hypothesis import given, settings
from hypothesis import strategies as st

from benchapp.calculations.change_watch import CHANGED, PLATEAU
from benchapp.calculations.forecast import ArrivalForecast, Forecaster
from benchapp.calculations.heat_loss import MeltingShare, VesselPrior


def test_says_nothing_at_first_then_an_interval_that_narrows_around_the_truth() -> None:
    told = listen(a_cooler(), cooling(lambda t: NOTHING))
    assert told.answers[10] is None
    for share in (0.25, 0.5, 0.75):
        t = int(share * told.done_s / 5) * 5
        answer = told.answers[t]
        assert answer is not None
        assert answer.early_s <= told.done_s - t <= answer.late_s
        assert abs(told.off(t)) < 0.08
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
    assert forecaster.fan(0.0, forecaster.forecast(0.0)) == ()
    for at, shown, _ in cooling(lambda t: NOTHING)[:600]:
        forecaster.push(at, shown)
        last = shown
    whole = forecaster.forecast(600.0)
    assert whole is not None
    fan = forecaster.fan(600.0, whole)
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
