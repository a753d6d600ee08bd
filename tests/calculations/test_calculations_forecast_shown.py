"""What ends a wait is what the display shows: a coarse one counts by its steps, and one that is silent counts for nothing."""

from __future__ import annotations

from math import exp

import pytest

from benchapp.calculations.forecast import Forecaster
from benchapp.calculations.heat_loss import VesselPrior


def cooled(step_k: float, until_c: float) -> tuple[Forecaster, float, float]:
    """A pot that cools from 60 °C in a room of 20, until its display first shows ``until_c``; how long it then truly
    takes until that is below 40 °C."""
    forecaster = Forecaster("cool", 40.0, VesselPrior(400, 0.8, 90), 20.0, shown=True)
    shown = [round((20.0 + 40.0 * exp(-t / 3000.0)) / step_k) * step_k for t in range(5000)]
    now = next(t for t, c in enumerate(shown) if c <= until_c)
    for t in range(now + 1):
        forecaster.push(float(t), shown[t])
    return forecaster, float(now), float(next(t for t, c in enumerate(shown) if c < 40.0) - now)


@pytest.mark.parametrize("step_k", [0.5, 1.0, 5 / 9])
def test_a_coarse_display_that_stands_at_the_limit_is_not_yet_below_it(step_k):
    forecaster, now, left_s = cooled(step_k, 40.0)
    assert left_s > 35.0
    said = forecaster.forecast(now)
    assert said is not None
    assert said.early_s <= left_s <= said.late_s
    assert said.middle_s == pytest.approx(left_s, rel=0.6)


def test_half_a_step_is_waited_for_from_far_off_too():
    forecaster, now, left_s = cooled(1.0, 46.0)
    said = forecaster.forecast(now)
    assert said is not None
    assert said.middle_s == pytest.approx(left_s, rel=0.1)


def test_what_was_there_is_not_said_to_be_there_once_nothing_is_read_any_more():
    forecaster = Forecaster("heat", 70.0, VesselPrior(300, 0.9, 90, in_bath=True), shown=True)
    for t in range(600):
        forecaster.push(float(t), round(30.0 + 40.5 * t / 600, 1))
    said = forecaster.forecast(600.0)
    assert said is not None
    assert said.middle_s == 0.0
    assert forecaster.forecast(640.0) is None
