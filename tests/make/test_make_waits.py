"""How a wait is said in a few words, against the minutes worked out here by hand."""

from __future__ import annotations

import math

import pytest
from heated_make import HeatedMake

from benchapp.calculations.hot_bath import HotBath
from benchapp.make.view_model import Forecast
from benchapp.make.waits import about


@pytest.mark.parametrize(
    ("middle", "early", "late", "said"),
    [
        (300, 240, 360, "5 min"),  # narrow: the middle
        (155, 62, 335, "1–6 min"),  # two and a half minutes were said where it took five
        (20, 0, 100, "0–2 min"),  # it may be now
        (40, 30, 80, "40 s"),  # not a minute apart
        (600, 300, math.inf, "10 min"),
        (4800, 3000, 7800, "1 h 20 min"),  # beyond an hour the line beside it says from when to when
    ],
)
def test_a_wide_interval_is_said_as_one(middle, early, late, said):
    assert about(Forecast("at 70 °C", middle, early, late)) == said


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
