"""A scale: a springy pan behind a slow filter, with tare, zero, drift and a bad habit at power-up."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, exp, pi
from random import Random

from benchapp.foundation.numbers import exact, to_division

FILTER_S = 0.35  # lag of the display filter
RING_RAD_S = 2.0 * pi * 2.5  # the pan on its cell
RING_DAMPING = 0.25
INNER_S = 0.02
QUIET_S = 0.5  # still this long and the scale calls itself stable
GIVE_UP_S = 4.0  # a tare asked for on a restless pan is done anyway after this


@dataclass(slots=True)
class PanForce:
    """A passing force on the pan in grams: rises at once, dies away."""

    at_s: float
    grams: float
    decay_s: float

    def force_g(self, now_s: float) -> float:
        """What it weighs now."""
        age = now_s - self.at_s
        return 0.0 if age < 0.0 else self.grams * exp(-age / self.decay_s)


class SimulatedScale:
    """One scale. Masses in g. ``standing`` is the key of the vessel on it, None for an empty pan."""

    def __init__(self, name: str, capacity_g: float, division_g: float, rng: Random) -> None:
        self.name, self.capacity_g, self.division_g = name, capacity_g, division_g
        self._rng = rng
        self.standing: str | None = None
        self.on = True
        self.zero_g = self.tare_g = 0.0
        self.drifted_g = self.drift_g_min = 0.0
        self.forces: list[PanForce] = []
        self._arrives_s = -10.0
        self._leaving_g, self._leaves_s = 0.0, -10.0
        self._pan_g = self._pan_speed = self._shown_g = 0.0
        self._quiet_s = 10.0
        self._asked: str | None = None
        self._asked_s = 0.0
        self.rough = False

    # What hands do to it.

    def place(self, key: str, mass_g: float, now_s: float) -> None:
        """A vessel comes down within half a second, a little too hard, and the hand lets go."""
        self.standing = key
        self._arrives_s = now_s + 0.4
        self.forces.append(PanForce(now_s + 0.5, 0.25 * mass_g + 2.0 * self.division_g, 0.35))

    def take_off(self, mass_g: float, now_s: float) -> None:
        """The vessel is gripped, which presses, and goes up."""
        self.standing = None
        self._leaving_g, self._leaves_s = mass_g, now_s + 0.25
        self.forces.append(PanForce(now_s, 0.05 * mass_g + 2.0 * self.division_g, 0.08))

    def knock(self, grams: float, now_s: float) -> None:
        """Somebody bumps the bench."""
        self.forces.append(PanForce(now_s, grams, 0.08))

    def ask(self, what: str, now_s: float) -> None:
        """ "tare" or "zero", done as soon as the scale is stable."""
        if self.on:
            self._asked, self._asked_s = what, now_s
            self._quiet_s = 0.0

    def power(self, on: bool) -> None:
        """Off, or on again: then it zeroes on whatever stands there and forgets its tare."""
        self.on = on
        if on:
            self.zero_g, self.tare_g, self.drifted_g = self._shown_g, 0.0, 0.0
        self._asked = None

    # How it moves.

    def load_g(self, now_s: float, mass_g: float) -> float:
        """Force on the pan now in g, with ``mass_g`` the mass of what stands on it."""
        load = mass_g * min(1.0, max(0.0, (now_s - self._arrives_s) / 0.15)) if self.standing else 0.0
        load += self._leaving_g * min(1.0, max(0.0, 1.0 - (now_s - self._leaves_s) / 0.15))
        if self.forces:
            load += sum(p.force_g(now_s) for p in self.forces)
            self.forces = [
                p for p in self.forces if now_s < p.at_s or abs(p.force_g(now_s)) > 0.05 * self.division_g
            ]
        return load

    def handled(self, now_s: float) -> bool:
        """Whether a hand is at it now."""
        return bool(self.forces) or now_s < self._arrives_s + 0.2 or now_s < self._leaves_s + 0.2

    def step(self, now_s: float, dt_s: float, mass_g: float, restless: bool) -> None:
        """Move by ``dt_s`` up to ``now_s``; ``restless`` while a hand or a stirrer works in the vessel."""
        self.drifted_g += self.drift_g_min * dt_s / 60.0
        load = self.load_g(now_s, mass_g)
        before = self._shown_g
        near = 0.3 * self.division_g
        if (
            abs(load - self._shown_g) < near
            and abs(load - self._pan_g) < near
            and abs(self._pan_speed) < near
        ):
            self._pan_g = self._shown_g = load
            self._pan_speed = 0.0
        else:
            self._swing(load, dt_s)
        self.rough = restless or self.handled(now_s)
        moving = (
            abs(self._shown_g - before) > 0.5 * self.division_g * dt_s
            or abs(load - self._shown_g) > self.division_g
        )
        self._quiet_s = 0.0 if moving or self.rough else min(10.0, exact(self._quiet_s + dt_s))
        if self._asked and (self.stable or now_s - self._asked_s > GIVE_UP_S):
            self._do(self._asked)
            self._asked = None

    def _swing(self, load_g: float, dt_s: float) -> None:
        count = ceil(exact(dt_s / INNER_S))
        h = dt_s / count
        share = 1.0 - exp(-h / FILTER_S)
        for _ in range(count):
            pull = (
                RING_RAD_S * RING_RAD_S * (load_g - self._pan_g)
                - 2.0 * RING_DAMPING * RING_RAD_S * self._pan_speed
            )
            self._pan_speed += pull * h
            self._pan_g += self._pan_speed * h
            self._shown_g += share * (self._pan_g - self._shown_g)

    def _do(self, what: str) -> None:
        if what == "tare":
            self.tare_g = self.gross_g
        else:
            self.zero_g += self.gross_g
            self.tare_g = 0.0

    # What it shows.

    @property
    def gross_g(self) -> float:
        """Filtered load against the zero, before rounding."""
        return self._shown_g + self.drifted_g - self.zero_g

    @property
    def stable(self) -> bool:
        """What the scale says of itself."""
        return self._quiet_s >= QUIET_S

    @property
    def settled(self) -> bool:
        """Stable and nothing asked for."""
        return not self.on or (self.stable and self._asked is None)

    @property
    def asked(self) -> bool:
        """Whether a tare or zero waits for the pan to rest."""
        return self._asked is not None

    @property
    def net(self) -> bool:
        """Whether a tare is in force."""
        return self.tare_g != 0.0

    @property
    def overloaded(self) -> bool:
        """More on the pan than capacity and nine divisions."""
        return self._shown_g > self.capacity_g + 9.0 * self.division_g

    def display_g(self) -> float | None:
        """A reading with this instant's noise, rounded to the division; None when overloaded."""
        if self.overloaded:
            return None
        sigma = (0.6 if self.rough else 0.15) * self.division_g
        value = self.gross_g - self.tare_g + self._rng.gauss(0.0, sigma)
        return to_division(value, self.division_g)

    def seen_g(self) -> float | None:
        """The display without noise, as an eye averages it; None when overloaded."""
        if self.overloaded:
            return None
        return to_division(self.gross_g - self.tare_g, self.division_g)
