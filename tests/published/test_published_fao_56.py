"""Psychrometric constant: FAO Irrigation and Drainage Paper 56, equation 8, 0.000665 P (kPa/K at 2.45 MJ/kg), from memory.

The paper's constant has no Lewis factor and cp 1.013 kJ/(kg K), ours 1.006; 2.45 MJ/kg is the latent heat near 20 °C.
"""

from __future__ import annotations

import pytest

from benchapp.calculations.evaporation import LEWIS_TWO_THIRDS, latent_j_g, psychrometric_pa_k


@pytest.mark.parametrize("pressure_pa", [101_325.0, 89_875.0, 79_495.0])
def test_psychrometric_constant(pressure_pa: float) -> None:
    ours = psychrometric_pa_k(20.0, pressure_pa) / LEWIS_TWO_THIRDS
    assert ours == pytest.approx(0.000665 * pressure_pa, rel=0.01)


def test_latent_heat_of_the_paper() -> None:
    assert latent_j_g(20.0) == pytest.approx(2450.0, rel=0.003)
