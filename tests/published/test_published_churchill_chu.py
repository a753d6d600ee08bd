"""Free convection on a vessel's upright wall: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1323, laminar form.

Nu = 0.68 + 0.670 Ra^(1/4) / (1 + (0.492/Pr)^(9/16))^(4/9), from memory, as are air's properties at 300 and 350 K (tables
of Incropera and DeWitt). The forecast uses McAdams' short form for air at bench conditions.
"""

from __future__ import annotations

import pytest

from benchapp.calculations.heat_loss import radiation_w_m2k, wall_w_m2k

#: Of air at 300 and 350 K: conductivity in W/(m K), kinematic viscosity and thermal diffusivity in m²/s.
AIR = ((26.3e-3, 30.0e-3), (15.89e-6, 20.92e-6), (22.5e-6, 29.9e-6))


def churchill_chu_w_m2k(wall_c: float, air_c: float, height_m: float) -> float:
    film_k = (wall_c + air_c) / 2.0 + 273.15
    conducts, viscosity, diffuses = (low + (high - low) * (film_k - 300.0) / 50.0 for low, high in AIR)
    rayleigh = 9.80665 / film_k * (wall_c - air_c) * height_m**3 / viscosity / diffuses
    prandtl = (1.0 + (0.492 * diffuses / viscosity) ** (9 / 16)) ** (4 / 9)
    return conducts / height_m * (0.68 + 0.670 * rayleigh**0.25 / prandtl)


@pytest.mark.parametrize("height_m", [0.06, 0.10, 0.15])
@pytest.mark.parametrize("wall_c", [40.0, 60.0, 75.0])
def test_wall(wall_c: float, height_m: float) -> None:
    ours = wall_w_m2k(wall_c, 21.0, height_m) - radiation_w_m2k(wall_c, 21.0)
    assert ours == pytest.approx(churchill_chu_w_m2k(wall_c, 21.0, height_m), rel=0.08)
