"""What is expected of a vessel before it is measured."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchapp.calculations.heat_loss import (
    VesselPrior,
    draughty_loss_w,
    dry_loss_w,
    drying_loss_w,
    radiation_w_m2k,
    warming_k_s,
)

VESSELS = st.builds(
    VesselPrior,
    st.floats(20, 3000),
    st.floats(0, 1),
    st.none() | st.floats(30, 300),
    st.booleans(),
)


def test_radiation_of_a_black_body_pair() -> None:
    """Stefan and Boltzmann: 0.9 sigma (T1⁴ - T2⁴) between 70 and 20 °C, over 50 K."""
    exact = 0.9 * 5.670374e-8 * (343.15**4 - 293.15**4)
    assert radiation_w_m2k(70, 20) * 50 == pytest.approx(exact)


def test_a_width_nobody_stated_holds_the_contents() -> None:
    prior = VesselPrior(500)
    assert prior.surface_m2 * prior.depth_m == pytest.approx(500e-6)
    assert prior.depth_m / prior.width_m == pytest.approx(0.9)
    assert VesselPrior(500, diameter_mm=100).width_m == 0.1


@given(VESSELS, st.floats(5, 35), st.floats(1, 60))
def test_hotter_loses_more(prior: VesselPrior, air_c: float, over_k: float) -> None:
    for loss in (dry_loss_w, drying_loss_w):
        assert 0.0 <= loss(prior, air_c + over_k, air_c) < loss(prior, air_c + over_k + 1.0, air_c) + 1e-12
    assert draughty_loss_w(prior, air_c + over_k, air_c, 1.0) > draughty_loss_w(
        prior, air_c + over_k, air_c, 0.0
    )


def test_a_draught_without_drying_is_newtons_law() -> None:
    prior = VesselPrior(300)
    assert draughty_loss_w(prior, 80, 20, 0.0) == pytest.approx(3 * draughty_loss_w(prior, 40, 20, 0.0))


def test_a_nearer_bath_warms_more_slowly() -> None:
    prior = VesselPrior(300, in_bath=True)
    assert warming_k_s(prior, 70.0) < warming_k_s(prior, 20.0)
    assert warming_k_s(VesselPrior(300), 70.0) == warming_k_s(VesselPrior(300), 20.0)


@pytest.mark.parametrize(
    ("given_", "says"),
    [({"mass_g": 0.0}, "0 g"), ({"mass_g": 10.0, "water_share": 1.2}, "1.2"), ({"mass_g": 10.0, "diameter_mm": -3.0}, "-3 mm")],
)  # fmt: skip
def test_what_cannot_be_is_refused(given_: dict[str, float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        VesselPrior(**given_)  # type: ignore[arg-type]
