"""Another bench's heat: pots, a bath, a room and thermometers, with the truth kept aside from what is displayed.

It shares no line and no figure with the product or with its simulated bench: every coefficient is stated here
(textbook orders of magnitude, no source for this very bench). A pot is two bodies, an upper and a lower half, which
a spoon mixes; it dries, radiates and stands in a draught, in a bath with a thermostat that switches, or in ice water.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import exp, pi
from random import Random


def vapour_pa(temp_c: float) -> float:
    """Vapour pressure of water in Pa (Magnus' form)."""
    return 611.2 * exp(17.62 * temp_c / (243.12 + temp_c))


@dataclass
class Bath:
    """A water bath with a heater that a thermostat switches; ``on`` False lets it cool."""

    water_g: float = 2500.0
    temp_c: float = 22.0
    set_c: float = 76.0
    heater_w: float = 900.0
    hysteresis_k: float = 0.6
    on: bool = True
    _heats: bool = False

    def step(self, dt_s: float, room_c: float, given_w: float) -> None:
        """One moment; ``given_w`` goes into the pots."""
        if self.temp_c < self.set_c - self.hysteresis_k / 2:
            self._heats = True
        elif self.temp_c > self.set_c + self.hysteresis_k / 2:
            self._heats = False
        lost_w = 2.2 * (self.temp_c - room_c) + 0.03 * (vapour_pa(self.temp_c) - 1200.0) * 0.045
        gained_w = self.heater_w if self._heats and self.on else 0.0
        self.temp_c += (gained_w - lost_w - given_w) * dt_s / (self.water_g * 4.19)


@dataclass
class Pot:
    """Grams of something in a round pot; ``place``: "air", "bath" or "ice"."""

    mass_g: float
    width_m: float
    cp_j_gk: float = 3.8
    upper_c: float = 22.0
    lower_c: float = 22.0
    place: str = "air"
    stirred: bool = False
    dries: float = 1.0  # how much of the steam gets away: less under a lid, none off an oil
    steamed_g: float = 0.0  # grams of water that left its surface so far, were there any in it

    @property
    def true_c(self) -> float:
        """What it has, mixed."""
        return (self.upper_c + self.lower_c) / 2

    def step(self, dt_s: float, room_c: float, draught: float, bath: Bath) -> float:
        """One moment; returns the W it took from the bath."""
        top_m2 = pi * self.width_m**2 / 4
        half_wall_m2 = pi * self.width_m * (self.mass_g * 1e-6 / top_m2) / 2
        half_j_k = self.mass_g * self.cp_j_gk / 2 + 25.0
        dry_w = (6.0 + 4.0 * draught) * top_m2 * (self.upper_c - room_c)
        wet_w = self.dries * 0.055 * (1.0 + draught) * top_m2 * max(vapour_pa(self.upper_c) - 1200.0, 0.0)
        self.steamed_g += wet_w * dt_s / 2400.0
        up_w, low_w, taken_w = -dry_w - wet_w, 0.0, 0.0
        if self.place == "air":
            wall = 10.0 + 5.0 * draught
            up_w -= wall * half_wall_m2 * (self.upper_c - room_c)
            low_w -= wall * (half_wall_m2 + 0.6 * top_m2) * (self.lower_c - room_c)
        else:
            around = bath.temp_c if self.place == "bath" else 1.0
            wall = 300.0 if self.stirred else 180.0
            to_up = 0.7 * wall * half_wall_m2 * (around - self.upper_c)
            to_low = wall * (half_wall_m2 + 0.8 * top_m2) * (around - self.lower_c)
            up_w, low_w, taken_w = up_w + to_up, low_w + to_low, to_up + to_low
        mixes_w_k = 250.0 if self.stirred else (120.0 if self.lower_c > self.upper_c else 2.5)
        share = 1.0 - exp(-2.0 * mixes_w_k * dt_s / half_j_k)
        swap_k = (self.lower_c - self.upper_c) / 2 * share
        self.upper_c += up_w * dt_s / half_j_k + swap_k
        self.lower_c += low_w * dt_s / half_j_k - swap_k
        return taken_w if self.place == "bath" else 0.0

    def mix_in(self, grams: float, temp_c: float, cp_j_gk: float) -> None:
        """Something else comes in and is mixed at once."""
        mine, theirs = self.mass_g * self.cp_j_gk, grams * cp_j_gk
        self.upper_c = self.lower_c = (mine * self.true_c + theirs * temp_c) / (mine + theirs)
        self.mass_g += grams

    def pour_in(self, other: Pot) -> None:
        """All of another pot, mixed at once."""
        self.mix_in(other.mass_g, other.true_c, other.cp_j_gk)
        other.mass_g = 2.0


@dataclass
class Probe:
    """A probe in a pot, or ``lies_at`` some temperature outside it; what it shows is not what is true."""

    pot: Pot
    lag_s: float = 4.0
    noise_k: float = 0.03
    digit_k: float = 0.1
    depth: float = 0.6  # 1 at the bottom
    lies_at_c: float | None = None
    air_lag_s: float = 14.0
    frozen: bool = False
    fahrenheit: bool = False
    temp_c: float = 22.0
    _shown: float | None = field(default=None, repr=False)

    def step(self, dt_s: float) -> None:
        """Follow what is around it."""
        if self.lies_at_c is None:
            around, lag = self.pot.upper_c + (self.pot.lower_c - self.pot.upper_c) * self.depth, self.lag_s
        else:
            around, lag = self.lies_at_c, self.air_lag_s
        self.temp_c += (around - self.temp_c) * (1.0 - exp(-dt_s / lag))

    def shows(self, rng: Random) -> float:
        """The number on its display, in the unit it is set to."""
        if not self.frozen or self._shown is None:
            value = self.temp_c + rng.gauss(0.0, self.noise_k)
            value = value * 1.8 + 32.0 if self.fahrenheit else value
            self._shown = round(round(value / self.digit_k) * self.digit_k, 4)
        return self._shown


@dataclass
class Thermometer:
    """Writes one line for all its probes every ``period_s`` seconds; without a unit where ``unit`` is False."""

    name: str
    probes: list[Probe]
    rng: Random
    period_s: float = 1.0
    unit: bool = True
    _next_s: float = 0.0

    def due(self, now_s: float) -> bytes:
        """The bytes it sends at this moment, mostly none."""
        numbers = self.numbers(now_s)
        if numbers is None:
            return b""
        units = [("F" if p.fahrenheit else "C") if self.unit else "" for p in self.probes]
        parts = [
            f"T{n}={x:.1f}{unit}" for n, (x, unit) in enumerate(zip(numbers, units, strict=True), start=1)
        ]
        return (",".join(parts) + "\r\n").encode("ascii")

    def numbers(self, now_s: float) -> list[float] | None:
        """The bare numbers of the line that is due at this moment; None while none is."""
        if now_s + 1e-9 < self._next_s:
            return None
        self._next_s = now_s + self.period_s
        return [p.shows(self.rng) for p in self.probes]


class Kitchen:
    """A room with a bath and pots. ``step`` moves all of it."""

    def __init__(self, seed: int) -> None:
        self.rng = Random(seed)
        self.now_s = 0.0
        self.room_c = self.rng.uniform(18.0, 26.0)
        self.bath = Bath(temp_c=self.room_c, hysteresis_k=self.rng.uniform(0.2, 1.5))
        self.pots: list[Pot] = []
        self.probes: list[Probe] = []
        self.draught = 0.0

    def pot(self, mass_g: float, width_m: float, temp_c: float | None = None) -> Pot:
        """A new pot, at room temperature or at a given one."""
        at = self.room_c if temp_c is None else temp_c
        self.pots.append(Pot(mass_g, width_m, upper_c=at, lower_c=at))
        return self.pots[-1]

    def probe(self, pot: Pot, **more: float) -> Probe:
        """A new probe in that pot, already as warm."""
        self.probes.append(Probe(pot, temp_c=pot.true_c, **more))  # type: ignore[arg-type]
        return self.probes[-1]

    def step(self, dt_s: float = 0.5) -> None:
        """One moment of everything."""
        self.now_s = round(self.now_s + dt_s, 6)
        if self.rng.random() < dt_s / 120.0:
            self.draught = self.rng.choice((0.0, 0.0, 0.5, 1.5))
        taken = sum(pot.step(dt_s, self.room_c, self.draught, self.bath) for pot in self.pots)
        self.bath.step(dt_s, self.room_c, taken)
        for probe in self.probes:
            probe.step(dt_s)
