"""Vessels that never stood on a bench: cooling and warming curves drawn at random, for judging forecasts.

Written apart from the forecaster: contents and wall are two bodies, walls lose by Churchill and Chu's
correlation, surfaces by Lloyd and Moran's, vapour by the analogy of Sherwood with Magnus' vapour pressure, and
nothing is told exactly. The distributions are stated in ``draw_cooling`` and ``draw_warming`` (no source: what a
maker's bench might hold).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, log, pi, sqrt
from random import Random

STEP_S = 2.0
LONGEST_S = 6.0 * 3600.0


@dataclass
class Curve:
    """What the probe showed, when it showed the target (noise aside), and what a forecaster is told beforehand."""

    kind: str
    target_c: float
    readings: list[tuple[float, float]]
    reached_s: float
    told_mass_g: float
    told_water: float
    told_diameter_mm: float | None
    told_ambient_c: float | None
    in_bath: bool
    what: str


def magnus_pa(temp_c: float) -> float:
    """Vapour pressure in Pa, Magnus' form (Sonntag 1990)."""
    return 611.2 * exp(17.62 * temp_c / (243.12 + temp_c))


def churchill_chu_w_m2k(over_k: float, height_m: float) -> float:
    """Upright wall in air at about 40 °C (Churchill and Chu 1975, all Rayleigh numbers)."""
    nu_air, alpha, k = 1.7e-5, 2.4e-5, 0.027
    ra = 9.81 / 313.0 * abs(over_k) * height_m**3 / (nu_air * alpha)
    return (
        k / height_m * (0.825 + 0.387 * ra ** (1 / 6) / (1.0 + (0.492 / 0.71) ** (9 / 16)) ** (8 / 27)) ** 2
    )


def lloyd_moran_w_m2k(over_k: float, width_m: float) -> float:
    """Level surface facing up (Lloyd and Moran 1974): 0.54 Ra^(1/4), from 1e7 on 0.15 Ra^(1/3)."""
    length = width_m / 4.0
    ra = 9.81 / 313.0 * max(over_k, 0.3) * length**3 / (1.7e-5 * 2.4e-5)
    nu = 0.54 * ra**0.25 if ra < 1e7 else 0.15 * ra ** (1 / 3)
    return 0.027 / length * max(nu, 1.0)


class Wobble:
    """A factor that wanders about one, with a standard deviation and a time it takes (Ornstein and Uhlenbeck)."""

    def __init__(self, rng: Random, sd: float, time_s: float) -> None:
        self.rng, self.sd, self.keep, self.x = rng, sd, exp(-STEP_S / time_s), rng.gauss(0.0, sd)

    def next(self) -> float:
        self.x = self.x * self.keep + self.rng.gauss(0.0, self.sd * sqrt(1.0 - self.keep**2))
        return exp(self.x)


class Probe:
    """First-order lag, offset, noise and the step of its display."""

    def __init__(self, rng: Random, start_c: float) -> None:
        self.rng, self.temp_c = rng, start_c
        self.lag_s = rng.uniform(2.0, 25.0)
        self.noise_k = exp(rng.uniform(log(0.01), log(0.2)))
        self.step_k = rng.choice((0.1, 0.1, 0.01))
        self.offset_k = rng.gauss(0.0, 0.3)

    @property
    def steady_c(self) -> float:
        """What it shows, noise aside."""
        return self.temp_c + self.offset_k

    def read(self, true_c: float) -> float:
        self.temp_c += (true_c - self.temp_c) * (1.0 - exp(-STEP_S / self.lag_s))
        shown = self.temp_c + self.offset_k + self.rng.gauss(0.0, self.noise_k)
        return round(shown / self.step_k) * self.step_k


class Stirring:
    """Never, always, or for half a minute to a minute every few minutes."""

    def __init__(self, rng: Random) -> None:
        self.kind = rng.choice(("never", "always", "at times", "at times"))
        self.every_s, self.for_s = rng.uniform(120.0, 420.0), rng.uniform(25.0, 70.0)
        self.start_s = rng.uniform(0.0, self.every_s)

    def on(self, at_s: float) -> bool:
        if self.kind != "at times":
            return self.kind == "always"
        return (at_s + self.start_s) % self.every_s < self.for_s


def draw_cooling(seed: int) -> Curve | None:
    """One vessel left to cool. None where the drawn target is not reached in six hours."""
    rng = Random(seed)
    mass = exp(rng.uniform(log(60.0), log(2000.0)))
    water = rng.choice((1.0, 0.9, 0.8, 0.75, 0.65, 0.0))
    width = (4.0 * mass * 1e-6 / (pi * rng.uniform(0.4, 1.4))) ** (1 / 3)
    depth = 4.0 * mass * 1e-6 / (pi * width**2)
    wall_j_k = mass * rng.uniform(0.03, 0.5) * 0.8
    heat_j_k = mass * (4.18 * water + 2.0 * (1.0 - water))
    emissivity = rng.choice((0.9, 0.9, 0.25))
    lid = rng.random() < 0.25
    activity = water * rng.uniform(0.75, 1.0) if water < 1.0 else 1.0
    room, drift = rng.uniform(17.0, 27.0), rng.gauss(0.0, 0.8) / 3600.0
    damp_pa = rng.uniform(0.25, 0.65) * magnus_pa(room)
    draught = Wobble(rng, rng.choice((0.0, 0.05, 0.15)), rng.uniform(60.0, 900.0))
    forced = rng.choice((0.0, 0.0, rng.uniform(1.0, 8.0)))  # W/(m²·K) of a steady draught
    bench = rng.uniform(1.0, 9.0)
    stirring = Stirring(rng)
    temp = rng.uniform(66.0, 84.0)
    wall = temp if rng.random() < 0.6 else rng.uniform(room, temp)
    target = rng.uniform(max(34.0, room + 9.0), 50.0)
    probe = Probe(rng, temp if rng.random() < 0.5 else room)
    probe.offset_k = 0.0 if rng.random() < 0.5 else probe.offset_k
    top_m2, side_m2 = pi * width**2 / 4.0, pi * width * depth
    patchy = Wobble(rng, rng.choice((0.0, 0.0005, 0.0015)), 60.0)
    readings: list[tuple[float, float]] = []
    at = 0.0
    while at < LONGEST_S:
        air = room + drift * at
        stirred = stirring.on(at)
        gust = draught.next()
        over = temp - air
        radiation = emissivity * 5.67e-8 * ((temp + 273.15) ** 4 - (air + 273.15) ** 4) / over
        outer = radiation + gust * (churchill_chu_w_m2k(wall - air, depth) + forced)
        skin = 1.0 if stirred else 0.93
        h_top = gust * (lloyd_moran_w_m2k(over * 1.15, width) + forced) * (1.1 if stirred else 1.0)
        vapour = activity * skin * magnus_pa(temp) - damp_pa
        drying = h_top / (1.17 * 1007.0 * 0.9) * max(vapour, 0.0) / (461.5 * (temp + 273.15)) * 2.4e6
        top = top_m2 * (over * (h_top + 5.5) * (0.35 if lid else 1.0) + drying * (0.06 if lid else 1.0))
        inner = side_m2 * (600.0 if stirred else 200.0) * (1.0 if water > 0.3 else 0.4)
        pull = inner * (1.0 / wall_j_k + 1.0 / heat_j_k)
        into_wall = inner * (temp - wall) * (1.0 - exp(-pull * STEP_S)) / (pull * STEP_S)
        temp -= STEP_S * (top + into_wall + top_m2 * bench * over) / heat_j_k
        wall += STEP_S * (into_wall - side_m2 * outer * (wall - air)) / wall_j_k
        shown = probe.read(temp * (1.0 if stirred else patchy.next()))
        readings.append((at, shown))
        if probe.steady_c <= target and temp < target + 3.0 and at > 60.0:
            break
        at += STEP_S
    else:
        return None
    told_room = None if rng.random() < 0.3 else room + rng.gauss(0.0, 0.8)
    told_width = None if rng.random() < 0.5 else 1000.0 * width
    what = f"{mass:.0f} g, water {water:g}, {'lid, ' if lid else ''}stirred {stirring.kind}"
    rng.random()  # once: whether a lid was told rightly; what follows is drawn as it was
    return Curve("cool", target, readings, at, mass * rng.uniform(0.93, 1.07), water, told_width, told_room,
                 False, what)  # fmt: skip


def draw_warming(seed: int) -> Curve | None:
    """One vessel in a thermostatted bath, or (three in ten) on a hot plate. None where it does not get there."""
    rng = Random(seed)
    mass = exp(rng.uniform(log(60.0), log(1500.0)))
    water = rng.choice((1.0, 0.95, 0.9, 0.0))
    width = (4.0 * mass * 1e-6 / (pi * rng.uniform(0.4, 1.4))) ** (1 / 3)
    depth = 4.0 * mass * 1e-6 / (pi * width**2)
    heat_j_k = mass * (4.18 * water + 2.0 * (1.0 - water)) + mass * rng.uniform(0.05, 0.4) * 0.8
    in_bath = rng.random() < 0.7
    room = rng.uniform(17.0, 27.0)
    stirring = Stirring(rng)
    temp, target = rng.uniform(room - 2.0, 35.0), rng.uniform(68.0, 75.0)
    setting = target + rng.uniform(3.0, 15.0)
    bath_j_k = rng.uniform(1500.0, 5000.0) * 4.18
    bath = setting if rng.random() < 0.6 else rng.uniform(40.0, setting)
    power, hysteresis = rng.uniform(600.0, 1800.0), rng.uniform(0.3, 1.5)
    wetted = pi * width**2 / 4.0 + pi * width * depth * rng.uniform(0.6, 1.0)
    plate_w = heat_j_k * rng.uniform(0.02, 0.09)
    lid = rng.random() < 0.4
    draught = Wobble(rng, 0.08, 200.0)
    patchy = Wobble(rng, rng.choice((0.0, 0.0005, 0.002)), 45.0)
    probe = Probe(rng, temp)
    heating = True
    readings: list[tuple[float, float]] = []
    at = 0.0
    while at < LONGEST_S:
        stirred = stirring.on(at)
        gust = draught.next()
        loss = wetted * 9.0 * gust * (temp - room) * (0.4 if in_bath else 1.0)
        wet = 0.0 if water == 0.0 else water * magnus_pa(temp) * 0.06 * pi * width**2 / 4.0 * gust
        loss += wet * (0.1 if lid else 1.0)
        if in_bath:
            heating = bath < setting + (hysteresis if heating else -hysteresis)
            inner = (900.0 if stirred else 350.0) * (1.0 if water > 0.3 else 0.35)
            u = gust / (1.0 / 500.0 + 1.0 / 700.0 + 1.0 / inner)
            given = u * wetted * (bath - temp)
            bath += STEP_S * ((power if heating else 0.0) - given - 6.0 * (bath - room)) / bath_j_k
        else:
            given = plate_w * gust * min(1.0, at / 120.0)
        temp += STEP_S * (given - loss) / heat_j_k
        shown = probe.read(temp * (1.0 if stirred else patchy.next()))
        readings.append((at, shown))
        if probe.steady_c >= target:
            break
        at += STEP_S
    else:
        return None
    told_room = None if rng.random() < 0.3 else room + rng.gauss(0.0, 0.8)
    told_width = None if rng.random() < 0.5 else 1000.0 * width
    what = f"{mass:.0f} g, water {water:g}, {'bath' if in_bath else 'plate'}, stirred {stirring.kind}"
    return Curve("heat", target, readings, at, mass * rng.uniform(0.93, 1.07), water, told_width, told_room,
                 in_bath, what)  # fmt: skip
