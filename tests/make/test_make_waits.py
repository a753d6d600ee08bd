"""How a wait is said in a few words, against the minutes worked out here by hand."""

from __future__ import annotations

import math

import pytest
from heated_make import HeatedMake

from benchapp import events as ev
from benchapp.calculations.hot_bath import HotBath
from benchapp.calculations.until_done import UntilDone
from benchapp.make.acts.waiting import FAN_EVERY_S
from benchapp.make.view_model import Forecast
from benchapp.make.waits import about, still


@pytest.mark.parametrize(
    ("middle", "early", "late", "said"),
    [
        (300, 280, 335, "5 min"),  # narrow: the middle
        (300, 240, 360, "4–6 min"),
        (300, 120, 360, "2–6 min"),
        (300, 110, 360, "up to 6 min"),  # nobody can plan by two minutes where it may be six
        (155, 62, 335, "up to 6 min"),  # two and a half minutes were said where it took five
        (20, 0, 100, "up to 2 min"),  # it may be now
        (40, 30, 80, "40 s"),  # not a minute apart
        (600, 300, math.inf, "10 min"),
        (4800, 3000, 7800, "1 h 20 min"),  # beyond an hour the line beside it says from when to when
    ],
)
def test_a_wide_interval_is_said_as_one(middle, early, late, said):
    assert about(Forecast("at 70 °C", middle, early, late)) == said


@pytest.mark.parametrize(
    ("middle", "early", "late", "said"),
    [
        (2640, 2400, 3300, "40–55 min"),
        (2640, 2600, 2700, "44 min"),  # hardly apart: the middle
        (3600, 2400, 4860, "40 min–1 h 25"),  # 81 min
        (7000, 5000, 9590, "1 h 25–2 h 40"),  # 83 min and 20 s, 159 min and 50 s
        (7210, 7000, 7500, "2 h 05 min"),  # hardly apart: the middle, never too early
    ],
)
def test_how_long_a_make_still_takes_is_said_beyond_an_hour_too_and_no_end_too_early(
    middle, early, late, said
):
    assert still(UntilDone(early, middle, late, 3)) == said


def test_what_is_told_of_the_bath_reaches_the_forecasts_of_what_stands_in_it():
    bench = HeatedMake()
    bench.make.watch.bath = HotBath(80.0)
    bench.begin("06-heat")
    bench.yes_until("heat")
    bench.run(2.0)
    found = bench.make.watch.counts.forecasters
    assert {vessel: f.prior.bath for vessel, f in found.items()} == dict.fromkeys(
        ("water-pot", "oil-pot"), HotBath(80.0)
    )


@pytest.mark.parametrize(("step", "vessel"), [("06-heat", "oil-pot"), ("10-cool", "water-pot")])
def test_what_the_procedure_says_of_melting_reaches_the_forecast_and_its_fan(step, vessel):
    """Of the oat hand lotion's fats three say where they melt, and two of them how much heat that takes."""
    bench = HeatedMake(temp_c=60.0)
    for line, grams in (("shea-butter", 10.0), ("emulsifying-wax", 22.5), ("cetyl-alcohol", 10.0)):
        bench.commit([
            ev.WeightTaken(
                at_s=bench.now, step="02-weigh", act="pour", line=line, vessel=vessel, target_g=grams, low_g=grams - 1,
                high_g=grams + 1, net_g=grams, gross_g=None, source=ev.Source.MEASURED, device="big", checked=True,
            )
        ])  # fmt: skip
    bench.make.watch.draws = True
    bench.begin(step)
    bench.yes_until(step[3:])
    assert bench.run(300.0, lambda: bench.view.act_view.forecast is not None) == (step == "10-cool")
    forecaster = bench.make.watch.counts.forecasters[vessel]
    assert {x.melts_c: x.heat_j_g for x in forecaster.prior.melts} == {40.0: 60.0, 60.0: None, 52.0: 230.0}
    assert sum(x.share for x in forecaster.prior.melts) == pytest.approx(
        42.5 / (42.5 + bench.pots[vessel].mass_g), rel=0.05
    )
    if step == "10-cool":
        bench.run(60.0)
        assert bench.view.act_view.picture.fan


def test_the_minutes_are_those_until_every_pot_is_there_and_say_whose_they_are():
    bench = HeatedMake(seed=7, temp_c=50.0)
    bench.begin("06-heat")
    bench.kitchen.bath.temp_c = bench.kitchen.bath.set_c = 76.0
    for pot in bench.pots.values():
        pot.place, pot.stirred = "bath", True
    bench.yes_until("heat")
    assert bench.run(60.0, lambda: bench.view.act_view.live[0].value is not None)
    assert bench.view.act_view.forecast is None
    assert bench.view.act_view.not_yet[2:] == ("Too early to say how long.",)
    said: dict[str, list[float]] = {}

    def look():
        act_view = bench.view.act_view
        if act_view.forecast is not None and act_view.not_yet[0].endswith("needs 70 °C."):
            said.setdefault(f"{act_view.move} {act_view.forecast.what}", []).append(
                bench.now + act_view.forecast.late_s
            )
        return bench.make.state.progress.held_s > 0.0 or act_view.move == "Hold it"

    assert bench.run(3600.0, look)
    said.pop("Wait both at 70 °C", None)  # while its ends lie far apart
    assert set(said) <= {
        "Ready in both at 70 °C",
        "water pot: water pot at 70 °C",
        "oil pot: oil pot at 70 °C",
    }
    assert "Ready in both at 70 °C" in said
    assert len(said) == 2, "and then the slower one by its name"
    assert max(said["Ready in both at 70 °C"]) >= bench.now, (
        "the interval reaches to when the slower one was there"
    )


@pytest.mark.parametrize("period_s", [1.0, 5.0, 10.0])
def test_a_hold_passes_however_seldom_the_thermometer_speaks(period_s):
    """One that speaks every ten seconds, as its bench file says, had every one of its gaps left out."""
    bench = HeatedMake(seed=7, temp_c=71.5, period_s=period_s)
    bench.begin("06-heat")
    bench.kitchen.bath.temp_c = bench.kitchen.bath.set_c = 76.0
    for pot in bench.pots.values():
        pot.place, pot.stirred = "bath", True
    bench.yes_until("heat")
    assert bench.run(900.0, lambda: bench.make.state.progress.act != "heat")
    (*_, held) = [e for e in bench.events if isinstance(e, ev.HoldProgressed)]
    assert held.held_s == pytest.approx(600.0, abs=10.0)


def test_a_gap_of_more_than_three_readings_is_not_held():
    bench = HeatedMake(seed=7, temp_c=71.5, period_s=5.0)
    bench.begin("06-heat")
    bench.kitchen.bath.temp_c = bench.kitchen.bath.set_c = 76.0
    for pot in bench.pots.values():
        pot.place, pot.stirred = "bath", True
    bench.yes_until("heat")
    bench.run(300.0)
    bench.meter.period_s = 60.0
    bench.run(600.0)
    assert bench.make.state.step == "06-heat"


def test_a_probe_lifted_in_the_hold_is_neither_there_in_no_time_nor_about_to_be_warmed():
    bench = HeatedMake(seed=7, temp_c=60.0)
    bench.begin("06-heat")
    bench.kitchen.bath.temp_c = bench.kitchen.bath.set_c = 77.0
    for pot in bench.pots.values():
        pot.place, pot.stirred = "bath", True
    bench.yes_until("heat")
    assert bench.run(1800.0, lambda: bench.make.state.progress.held_s > 30.0)
    bench.probes["probe 1"].lies_at_c = 22.0
    said = []
    for _ in range(20):
        bench.run(2.0)
        view = bench.view.act_view
        if view.forecast is not None and bench.make.context().temp_c("water-pot") is None:
            said.append(view.forecast.middle_s)
        assert "How long it takes is told once it warms." not in view.not_yet
    assert bench.make.context().temp_c("water-pot") is None
    assert said == []


@pytest.mark.parametrize("digit_k", [0.1, 1.0])
def test_a_cooling_pot_is_never_said_to_be_there_before_it_is_and_silence_says_why(digit_k):
    bench = HeatedMake(seed=3, temp_c=58.0, digit_k=digit_k)
    bench.begin("10-cool")
    bench.yes_until("cool")
    silent, spoken = 0, 0
    while bench.make.state.progress.act == "cool":
        bench.run(5.0)
        view = bench.view.act_view
        if view.picture is None or bench.make.state.progress.act != "cool":
            continue
        shown = view.live[0].value
        assert view.not_yet or (shown is not None and shown < 40.0), "why it is not done"
        if view.forecast is None and shown is not None and shown >= 40.0:
            silent += 1
            assert len(view.not_yet) > 1 or bench.make.context().temp_c("water-pot") is None, "why"
        elif view.forecast is not None and shown >= 40.0:
            spoken += 1
            assert view.forecast.late_s > 0.0
    assert spoken > 2 * silent > 0


def test_a_probe_that_has_only_just_come_back_says_why_it_does_not_count_yet():
    bench = HeatedMake(seed=3, temp_c=58.0)
    bench.begin("10-cool")
    bench.yes_until("cool")
    bench.run(60.0)
    bench.make.watch.forget_device("thermo", ("probe 1",))
    bench.run(2.0)
    assert bench.make.context().temp_c("water-pot") is None
    assert bench.view.act_view.not_yet[0] == "What it shows counts once the probe has come to rest."


def test_each_pot_that_lacks_warmth_has_a_fan_that_ends_where_the_minutes_do():
    bench = HeatedMake(seed=7, temp_c=50.0)
    bench.make.watch.draws = True
    bench.begin("06-heat")
    bench.kitchen.bath.temp_c = bench.kitchen.bath.set_c = 76.0
    for pot in bench.pots.values():
        pot.place, pot.stirred = "bath", True
    bench.yes_until("heat")
    assert bench.run(900.0, lambda: all(bench.view.act_view.picture and bench.view.act_view.picture.fans))
    view = bench.view.act_view
    picture, told = view.picture, view.forecast
    assert picture.passes_s == (told.early_s, told.late_s)
    for fan, (_, temp_c, _) in zip(picture.fans, picture.vessels, strict=True):
        assert all(temp_c - 1.0 <= low <= high <= picture.low_c for _, low, high in fan)
        assert [t for t, _, _ in fan] == sorted(t for t, _, _ in fan)
        assert fan[-1][1:] == pytest.approx((picture.low_c, picture.low_c), abs=0.1)  # half a digit
    assert max(fan[-1][0] for fan in picture.fans) == pytest.approx(told.late_s, abs=FAN_EVERY_S)

    def silent():
        return bench.view.act_view.forecast is None

    def told_of_one():
        return not silent() and len([fan for fan in bench.view.act_view.picture.fans if fan]) == 1

    assert bench.run(600.0, silent), "the bath cools as two cold pots stand in it"
    assert () in bench.view.act_view.picture.fans, "of what is not foretold nothing is drawn"
    assert bench.run(3600.0, told_of_one)
    fans = dict(zip(bench.pots, bench.view.act_view.picture.fans, strict=True))
    there = {vessel: pot.true_c >= picture.low_c - 0.5 for vessel, pot in bench.pots.items()}
    assert {vessel: not fan for vessel, fan in fans.items()} == there
