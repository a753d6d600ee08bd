"""Many pots of wax in a bath or on a plate at once: the pots of ``setting_pots`` as arrays, one lane each.

Only what those two families of ``vessel_families`` have: nothing dries, and nothing happens on the way. Lanes go in
steps of ``STEP_S`` where the pots themselves go in seconds; the test holds the two against each other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

Lane = NDArray[np.float64]
STEP_S, BIN_S = 1.5, 15.0
#: How a bath is kept, and how it is stirred, as numbers.
WAYS = ("thermostat", "on-off", "heating")
STIRRED = ("never", "now and then", "always")


@dataclass
class WaxLanes:
    """A column for each pot; names and units as in ``setting_pots``. ``area_m2`` is what the heat comes in through,
    ``wall_w_k`` what a wall above a plate loses to the air."""

    mass_g: Lane
    cp_j_gk: Lane
    latent_j_g: Lane  # of the contents
    solid_c: Lane
    liquid_c: Lane
    thickens: Lane
    thickest: Lane
    top_m2: Lane
    wall_m2: Lane
    skin: Lane
    wall_j_k: Lane
    inner_w_m2k: Lane
    stirred: Lane
    stir_way: Lane
    every_s: Lane
    for_s: Lane
    room_c: Lane
    start_c: Lane
    surface_w_k: Lane
    wall_w_k: Lane
    way: Lane
    outside_c: Lane
    set_c: Lane
    swing_k: Lane
    power_w: Lane
    outside_j_k: Lane
    outside_w_k: Lane  # lost to the room by the bath or the plate
    given_w_k: Lane
    hottest_c: Lane
    lag_s: Lane
    near_skin: Lane
    offset_k: Lane

    @classmethod
    def joined(cls, groups: Sequence[WaxLanes]) -> WaxLanes:
        """One after the other."""
        return cls(*(np.concatenate([getattr(g, f.name) for g in groups]) for f in fields(cls)))

    def shown(self) -> Iterator[tuple[float, Lane]]:
        """What each probe shows, noise aside, step by step, and when."""
        bulk, skin, probe = self.start_c.copy(), self.start_c.copy(), self.start_c.copy()
        outside, heats = self.outside_c.copy(), np.ones(bulk.shape, dtype=bool)
        keep, at_s = np.exp(-STEP_S / self.lag_s), 0.0
        while True:
            bulk_j_k = self.mass_g * (1.0 - self.skin) * self._heat_j_gk(bulk)
            skin_j_k = self.mass_g * self.skin * self._heat_j_gk(skin) + self.wall_j_k
            inner_w_k = self._inner_w_m2k(at_s, 0.5 * (bulk + skin)) * (self.wall_m2 + self.top_m2)
            pull = inner_w_k * (1.0 / bulk_j_k + 1.0 / skin_j_k) * STEP_S
            across_w = inner_w_k * (bulk - skin) * (1.0 - np.exp(-pull)) / pull
            given_w = self.given_w_k * (outside - skin) - self.wall_w_k * (skin - self.room_c)
            bulk = bulk - (across_w + self.surface_w_k * (bulk - self.room_c)) * STEP_S / bulk_j_k
            skin = skin + (across_w + given_w) * STEP_S / skin_j_k
            heats = outside < self.set_c + np.where(heats, self.swing_k, -self.swing_k)
            net_w = self._power_w(outside, heats) - given_w - self.outside_w_k * (outside - self.room_c)
            outside = np.minimum(self.hottest_c, outside + net_w * STEP_S / self.outside_j_k)
            truth = bulk + (skin - bulk) * self.near_skin
            probe = truth + (probe - truth) * keep
            at_s += STEP_S
            yield at_s, probe + self.offset_k

    def _heat_j_gk(self, temp_c: Lane) -> Lane:
        over = self.liquid_c - self.solid_c
        into = np.clip((temp_c - self.solid_c) / over, 0.0, 1.0)
        melts: Lane = self.cp_j_gk + self.latent_j_g * (1.0 - np.cos(2.0 * np.pi * into)) / over
        return melts

    def _inner_w_m2k(self, at_s: float, middle_c: Lane) -> Lane:
        stirs = (self.stir_way == 2) | ((self.stir_way == 1) & (at_s % self.every_s < self.for_s))
        below = np.maximum(self.liquid_c - middle_c, 0.0)
        flows = np.where(below > 0.0, np.maximum(self.thickest, np.exp(-self.thickens * below)), 1.0)
        inner = self.inner_w_m2k * np.where(stirs, self.stirred, 1.0) * flows
        return np.where(stirs, np.maximum(inner, 400.0), inner)

    def _power_w(self, outside_c: Lane, heats: NDArray[np.bool_]) -> Lane:
        steady = np.clip((self.set_c - outside_c) / 2.0 + 0.1, 0.0, 1.0)
        share = np.where(self.way == 2, 1.0, np.where(self.way == 1, heats, steady))
        return self.power_w * share

    def curves(self, seconds: float) -> Lane:
        """Means over ``BIN_S``, a row for each bin."""
        rows: list[Lane] = []
        whole = np.zeros_like(self.start_c)
        for at_s, shown in self.shown():
            whole = whole + shown
            if at_s % BIN_S == 0.0:
                rows.append(whole * (STEP_S / BIN_S))
                whole = np.zeros_like(whole)
            if at_s >= seconds:
                return np.array(rows)
        raise AssertionError("it goes on for ever")

    def arrivals_s(self, target_c: Lane, at_most_s: float) -> Lane:
        """When each probe shows its target; inf where that is not within the time."""
        there = np.full(self.start_c.shape, np.inf)
        for at_s, shown in self.shown():
            there = np.where((shown >= target_c) & np.isinf(there), at_s, there)
            if at_s >= at_most_s or np.all(np.isfinite(there)):
                return there
        raise AssertionError("it goes on for ever")
