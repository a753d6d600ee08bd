"""A temperature probe and a pH probe: both follow slowly, and both say something else out of the liquid."""

from __future__ import annotations

from math import exp
from random import Random

LIQUID_S, STIRRED_S, AIR_S, WET_AIR_S = 3.0, 1.8, 14.0, 6.0  # first-order lags, of a thin steel probe
DRIES_S = 90.0
PH_LAG_S = 6.0
NOISE_K, NOISE_PH = 0.03, 0.02


class TempProbe:
    """One thermometer probe. ``where`` is a vessel's key, "bath" or None (air); ``open`` a broken wire."""

    def __init__(self, name: str, temp_c: float, rng: Random) -> None:
        self.name, self.temp_c, self._rng = name, temp_c, rng
        self.where: str | None = None
        self.open = False
        self.wet_s = 0.0

    def put(self, where: str | None) -> None:
        """Move it; coming out of a liquid it is wet until it has dried or is wiped."""
        if self.where is not None and where != self.where:
            self.wet_s = DRIES_S
        self.where = where

    def wipe(self) -> None:
        """Dry."""
        self.wet_s = 0.0

    def step(self, dt_s: float, around_c: float, in_liquid: bool, moving: bool, wet_bulb_c: float) -> None:
        """Follow ``around_c``; a wet probe in air goes for the wet-bulb temperature, and faster."""
        if in_liquid:
            lag, goal = STIRRED_S if moving else LIQUID_S, around_c
        elif self.wet_s > 0.0:
            lag, goal = WET_AIR_S, wet_bulb_c
            self.wet_s -= dt_s
        else:
            lag, goal = AIR_S, around_c
        self.temp_c += (goal - self.temp_c) * (1.0 - exp(-dt_s / lag))

    def reading_c(self) -> float | None:
        """With noise, not yet rounded; None when the wire is broken."""
        return None if self.open else self.temp_c + self._rng.gauss(0.0, NOISE_K)


class PhProbe:
    """A pH electrode. Out of a liquid it wanders about where it was."""

    def __init__(self, name: str, rng: Random) -> None:
        self.name, self._rng = name, rng
        self.where: str | None = None
        self.ph = 7.0
        self.offset = 0.0  # of a badly calibrated electrode, in pH
        self.slope = 1.0  # 1.0 is ideal; below, readings shrink towards 7

    def step(self, dt_s: float, liquid_ph: float | None) -> None:
        """Follow the liquid, or wander when there is none."""
        if liquid_ph is None:
            self.ph += self._rng.gauss(0.0, 0.03) * dt_s**0.5
            self.ph = min(max(self.ph, 3.0), 11.0)
        else:
            self.ph += (liquid_ph - self.ph) * (1.0 - exp(-dt_s / PH_LAG_S))

    def reading(self) -> float:
        """With noise, not yet rounded."""
        return 7.0 + (self.ph - 7.0) * self.slope + self.offset + self._rng.gauss(0.0, NOISE_PH)
