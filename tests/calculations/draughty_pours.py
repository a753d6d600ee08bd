"""Pours on another bench: its scale, air that moves on the pan, a hand whose bottle drips and draws threads late.

Written apart from ``simulated_pours``: load cell, noise and rounding are those of ``otherbench.scale``. Air comes in
gusts of five to thirty seconds as the draught of ``otherbench`` does, but wanders (Ornstein and Uhlenbeck) where that
one swings, slowly or fast. After the hand has let go a drop may fall and a thread may thin out. Figures invented.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import exp, sqrt
from random import Random

from otherbench.scale import Scale, Vessel

STEP_S, EMPTY_G = 0.02, 80.0
#: A pour is watched for so long after the hand let go, in seconds.
WATCHED_S = 13.0
#: Gusts: one every two minutes or so, but three pours in five of the draughty ones begin in one.
GUSTS_S, GUST_S, IN_GUST = 120.0, (5.0, 30.0), 0.6
#: How far the air moves the display, in divisions (sd), and how fast, in seconds.
GUST_DIVISIONS, GUST_TIME_S = (0.3, 2.0), (0.3, 6.0)
#: Less rest than this at the end cannot be judged.
LEAST_REST_S = 2.5
DROP_G, DROPS_UNTIL_S, DROPS = 0.045, 2.5, (0, 0, 0, 1, 1, 2)
#: A thread: how often, grams a second at first, seconds in which it thins to a third.
THREAD, THREAD_G_S, THREAD_S = 0.25, (0.02, 0.4), (0.2, 1.5)


@dataclass
class Air:
    """When gusts blow, how far they move the display (sd, in divisions) and how fast, and the scale's own noise (in
    divisions)."""

    gusts: list[tuple[float, float]]
    far_divisions: float
    time_s: float
    noise_divisions: float

    def blows(self, at_s: float) -> bool:
        """Whether a gust does."""
        return any(a <= at_s < b for a, b in self.gusts)


@dataclass
class DraughtyPour:
    """What the display showed, when the hand let go, from when it was truly at rest, and where."""

    division_g: float
    readings: list[tuple[float, float]]
    closed_s: float
    still_s: float | None  # None: air moved on the pan until the end
    rest_g: float
    air: Air | None  # None: without a draught


def _gusts(rng: Random, until_s: float) -> list[tuple[float, float]]:
    """From when to when air moves."""
    found: list[tuple[float, float]] = []
    at = -rng.uniform(0.0, 20.0) if rng.random() < IN_GUST else rng.expovariate(1.0 / GUSTS_S)
    while at < until_s:
        long = rng.uniform(*GUST_S)
        found.append((at, at + long))
        at += long + rng.expovariate(1.0 / GUSTS_S)
    return found


@dataclass
class Hand:
    """One pour without its air: the scale, how much in how long, drops at which seconds, a thread. Drawn from ``rng``."""

    rng: Random
    seed: int

    def __post_init__(self) -> None:
        rng = self.rng
        self.division_g = rng.choice((0.01, 0.1, 0.1, 0.1))
        self.noise_divisions, lag_s = rng.uniform(0.05, 0.3), rng.uniform(0.1, 0.35)
        self.scale = Scale(
            "x",
            self.division_g,
            seed=self.seed,
            noise_divisions=self.noise_divisions,
            lag_s=lag_s,
            period_s=0.1,
        )
        self.scale.on = Vessel("pot", EMPTY_G)
        self.grams = rng.uniform(3.0, 40.0) if self.division_g == 0.01 else rng.uniform(20.0, 300.0)
        self.closed_s = rng.uniform(3.0, 6.0)
        self.drops_s = [self.closed_s + rng.uniform(0.1, DROPS_UNTIL_S) for _ in range(rng.choice(DROPS))]
        self.thread_g_s = rng.uniform(*THREAD_G_S) if rng.random() < THREAD else 0.0
        self.thins_s = rng.uniform(*THREAD_S)

    def poured_g(self, at_s: float) -> float:
        """What is in so many seconds after the pour began."""
        landed = self.grams * (1.0 - (1.0 - min(1.0, max(at_s, 0.0) / self.closed_s)) ** 1.6)
        thread = self.thread_g_s * self.thins_s * (1.0 - exp(-max(0.0, at_s - self.closed_s) / self.thins_s))
        return landed + thread + DROP_G * sum(at_s >= d for d in self.drops_s)

    def watch(self, air: Callable[[float], float], blown: Air | None, before_s: float = 0.0) -> DraughtyPour:
        """What the display shows of it, from ``before_s`` before it; ``air`` tells the pressing divisions at each step."""
        total = EMPTY_G + self.grams + DROP_G * len(self.drops_s) + self.thread_g_s * self.thins_s
        closed = before_s + self.closed_s
        readings: list[tuple[float, float]] = []
        at, off_s = 0.0, 0.0
        while at < closed + WATCHED_S:
            self.scale.on.contents_g["line"] = self.poured_g(at - before_s)
            self.scale.extra_g = self.division_g * air(at)
            line = self.scale.due(at)
            if line:
                readings.append((at, float(line.split()[1])))
            if abs(self.scale._shown_g - total) > 0.5 * self.division_g:
                off_s = at
            at = round(at + STEP_S, 6)
        still = off_s + STEP_S
        until = closed + WATCHED_S - LEAST_REST_S
        return DraughtyPour(self.division_g, readings, closed, still if still < until else None, total, blown)


@lru_cache(maxsize=1000)  # a trial and its bound go over the same ones
def pour(seed: int, draught: bool) -> DraughtyPour:
    """One pour, in a draught or without; the hand, the scale and the drops are the same in both."""
    rng = Random(f"draughty/{seed}")
    hand = Hand(rng, seed)
    far, time_s = rng.uniform(*GUST_DIVISIONS), rng.uniform(*GUST_TIME_S)
    gusts = _gusts(rng, hand.closed_s + WATCHED_S) if draught else []
    blown = Air(gusts, far, time_s, hand.noise_divisions)
    keep = exp(-STEP_S / time_s)
    pressed, gate = 0.0, 0.0

    def air(at_s: float) -> float:
        nonlocal pressed, gate
        pressed = pressed * keep + rng.gauss(0.0, far * sqrt(1.0 - keep * keep))
        gate += ((1.0 if blown.blows(at_s) else 0.0) - gate) * STEP_S / 0.5
        return pressed * gate

    return hand.watch(air, blown if draught else None)
