"""Newton's law of cooling in its textbook form: 95 to 61 °C in 30 min at 20 °C gives k = 0.02013 /min."""

from __future__ import annotations

from math import exp, log

import pytest

from benchapp.calculations.forecast import Forecaster
from benchapp.calculations.heat_loss import VesselPrior

K_MIN = log((95.0 - 20.0) / (61.0 - 20.0)) / 30.0


def test_the_constant_and_the_time_to_40() -> None:
    assert pytest.approx(0.02013, abs=5e-6) == K_MIN
    assert log(75.0 / 20.0) / K_MIN == pytest.approx(65.7, abs=0.05)


# Nothing a vessel on a bench does follows that law exactly, so the forecast only finds it, from the curve.
@pytest.mark.parametrize(("place", "allowed"), [(0.25, 0.12), (0.5, 0.05), (0.75, 0.03)])
def test_such_a_curve_is_recognised(place: float, allowed: float) -> None:
    done_s = 60.0 * log(75.0 / 20.0) / K_MIN
    forecaster = Forecaster("cool", 40.0, VesselPrior(300, 1.0), 20.0)
    for i in range(int(place * done_s / 10.0) + 1):
        forecaster.push(10.0 * i, 20.0 + 75.0 * exp(-K_MIN * i / 6.0))
    forecast = forecaster.forecast(place * done_s)
    assert forecast is not None
    assert forecast.middle_s == pytest.approx((1.0 - place) * done_s, rel=allowed)
