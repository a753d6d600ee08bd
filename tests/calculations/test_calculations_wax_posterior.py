"""Whether the array of pots behind the table of the best possible forecast is the generator's, and its sampler right."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
import wax_posterior
from family_waits import Wait, draw
from setting_pots import Bath, Plate
from vessel_families import FAMILIES, Drawn
from wax_lanes import BIN_S, STIRRED, WAYS, WaxLanes
from wax_posterior import UNKNOWN, Readings, Run, pooled, weighed


def lane_of(drawn: Drawn) -> WaxLanes:
    """One pot of the generator as one lane."""
    pot, probe, stuff, around = drawn.pot, drawn.probe, drawn.pot.stuff, drawn.pot.around
    assert isinstance(around, Bath | Plate)
    top = np.pi * pot.width_m**2 / 4.0
    wall = np.pi * pot.width_m * stuff.mass_g * 1e-6 / top
    values = {
        "mass_g": stuff.mass_g, "cp_j_gk": stuff.cp_j_gk, "latent_j_g": stuff.wax * stuff.latent_j_g, "solid_c": stuff.solid_c,
        "liquid_c": stuff.liquid_c, "thickens": stuff.thickens, "thickest": stuff.thickest, "top_m2": top, "wall_m2": wall,
        "skin": pot.skin, "wall_j_k": pot.wall_j_k, "inner_w_m2k": pot.inner_w_m2k, "stirred": pot.stirred,
        "stir_way": STIRRED.index(pot.stirring.way), "every_s": pot.stirring.every_s, "for_s": pot.stirring.for_s,
        "room_c": pot.air.room_c, "start_c": pot.bulk_c, "surface_w_k": top * pot.air.h_w_m2k * (0.4 if pot.air.lid else 1.0),
        "outside_c": around.temp_c, "power_w": around.power_w, "lag_s": probe.lag_s, "near_skin": probe.near_skin,
        "offset_k": probe.offset_k,
    }  # fmt: skip
    if isinstance(around, Bath):
        values |= {
            "way": WAYS.index(around.way), "set_c": around.set_c, "swing_k": around.swing_k, "hottest_c": 99.0,
            "outside_j_k": 4.18 * around.water_g, "outside_w_k": 3.0, "given_w_k": around.h_w_m2k * (0.8 * wall + top),
            "wall_w_k": 0.0,
        }  # fmt: skip
    else:
        values |= {
            "way": 2 if around.set_c is None else 1, "set_c": around.set_c or 0.0, "swing_k": 8.0, "hottest_c": np.inf,
            "outside_j_k": around.heat_j_k, "outside_w_k": 0.4, "given_w_k": around.contact_w_m2k * top,
            "wall_w_k": pot.air.h_w_m2k * wall,
        }  # fmt: skip
    return WaxLanes(**{name: np.array([float(value)]) for name, value in values.items()})


def wait_of(family: str, seed: int) -> Wait:
    wait = draw(family, seed)
    assert wait is not None
    return wait


@pytest.mark.parametrize("family", ["wax phase in a bath", "wax phase on a plate"])
def test_a_lane_shows_what_the_generators_pot_shows(family: str) -> None:
    for seed in (1, 2, 3):
        wait = wait_of(family, seed)
        drawn = FAMILIES[family](Random(f"{family}/{seed}"))
        lane, readings = lane_of(drawn), Readings([wait], 0.75)
        shown = lane.curves(readings.most * BIN_S)[:, 0]
        scatter = np.hypot(0.3 * drawn.probe.step_k, drawn.probe.noise_k / BIN_S**0.5)
        assert np.sqrt(np.mean((shown - readings.seen[:, 0]) ** 2)) < np.hypot(0.1, scatter)
        there = lane.arrivals_s(np.array([wait.target_c]), 2.0 * wait.reached_s)[0]
        assert there == pytest.approx(wait.reached_s, abs=0.02 * wait.reached_s)


def test_a_run_moves_from_what_is_told_to_what_was_seen() -> None:
    """Before a reading the spread of what is left is the family's; after a half of them it is far smaller."""
    wait = wait_of("wax phase in a bath", 3)
    readings = Readings([wait], 0.5)
    rng = np.random.default_rng(1)
    told = readings.left_s(rng.random((1, 60, len(UNKNOWN))))[0]
    seen = weighed(readings, 60, 2, rng).left_s[0]
    low, high = np.quantile(told, [0.1, 0.9])
    near, far = np.quantile(seen, [0.1, 0.9])
    assert far / near < 0.7 * high / low


def test_runs_are_pooled_by_their_evidence() -> None:
    likely = Run(np.array([[10.0, 20.0, 30.0]]), np.array([0.0]))
    unlikely = Run(np.array([[500.0, 600.0, 700.0]]), np.array([-20.0]))
    assert pooled([likely, unlikely], 0, (0.1, 0.5, 0.9)) == [10.0, 20.0, 30.0]
    assert wax_posterior.pooled([unlikely], 0, (0.5,)) == [600.0]
