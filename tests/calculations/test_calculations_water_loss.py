"""Water that leaves while heating: beforehand and by weighing again."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.water_loss import (
    AIR_C,
    CLINGS_G,
    SPREAD,
    evaporation_g_min,
    loss_while_heating,
)


def test_a_hold_alone_loses_rate_times_time() -> None:
    estimate = loss_while_heating(150, 75, 75, 0.0, 1200.0)
    assert estimate.likely_g == pytest.approx(20.0 * evaporation_g_min(150, 75, AIR_C))
    # In air of 20 °C, half as moist, ASHRAE's equation has 1.52 g/min, Shah's 2.00: enough is kept ready for the worse.
    assert estimate.keep_ready_g >= 20.0 * 2.00


def test_heating_loses_less_than_as_long_at_the_top_and_more_than_at_the_start() -> None:
    ramp = loss_while_heating(120, 20, 75, 900.0, 0.0).likely_g
    assert 0.0 < ramp < 0.5 * loss_while_heating(120, 75, 75, 0.0, 900.0).likely_g


def test_time_runs_forward() -> None:
    with pytest.raises(ValueError, match="-5 s"):
        loss_while_heating(120, 20, 75, -5.0, 0.0)


@given(st.floats(30, 400), st.floats(15, 30), st.floats(40, 95), st.floats(0, 7200), st.floats(0, 7200))
def test_more_is_kept_ready_than_is_likely_lost(
    diameter: float, start: float, hold: float, heat_s: float, hold_s: float
) -> None:
    estimate = loss_while_heating(diameter, start, hold, heat_s, hold_s)
    assert estimate.likely_g >= 0.0
    assert estimate.keep_ready_g == pytest.approx(estimate.likely_g * (1 + SPREAD) + CLINGS_G)
