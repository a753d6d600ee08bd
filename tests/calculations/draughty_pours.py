"""Pours on another bench: its scale, air that moves on the pan, a hand whose bottle drips and draws threads late.

Written apart from ``simulated_pours``: load cell, noise and rounding are those of ``otherbench.scale``. Air comes in
gusts of five to thirty seconds as the draught of ``otherbench`` does, but wanders (Ornstein and Uhlenbeck) where that
one swings, slowly or fast. After the hand has let go a drop may fall and a thread may thin out. Figures invented.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import exp, sqrt
from random import Random

from otherbench.scale import Scale, Vessel

STEP_S = 0.02
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


@lru_cache(maxsize=1000)  # a trial and its bound go over the same ones
def pour(seed: int, draught: bool) -> DraughtyPour:
    """One pour, in a draught or without; the hand, the scale and the drops are the same in both."""
    rng = Random(f"draughty/{seed}")
    division = rng.choice((0.01, 0.1, 0.1, 0.1))
    noise, lag = rng.uniform(0.05, 0.3), rng.uniform(0.1, 0.35)
    scale = Scale("x", division, seed=seed, noise_divisions=noise, lag_s=lag, period_s=0.1)
    scale.on = Vessel("pot", 80.0)
    grams = rng.uniform(3.0, 40.0) if division == 0.01 else rng.uniform(20.0, 300.0)
    closed = rng.uniform(3.0, 6.0)
    drops = [closed + rng.uniform(0.1, DROPS_UNTIL_S) for _ in range(rng.choice(DROPS))]
    thread_g_s = rng.uniform(*THREAD_G_S) if rng.random() < THREAD else 0.0
    thins_s = rng.uniform(*THREAD_S)
    far, time_s = rng.uniform(*GUST_DIVISIONS), rng.uniform(*GUST_TIME_S)
    blown = Air(_gusts(rng, closed + WATCHED_S) if draught else [], far, time_s, noise)
    keep = exp(-STEP_S / time_s)
    total = 80.0 + grams + DROP_G * len(drops) + thread_g_s * thins_s
    readings: list[tuple[float, float]] = []
    at, off_s, air, gate = 0.0, 0.0, 0.0, 0.0
    while at < closed + WATCHED_S:
        landed = grams * (1.0 - (1.0 - min(1.0, at / closed)) ** 1.6)
        thread = thread_g_s * thins_s * (1.0 - exp(-max(0.0, at - closed) / thins_s))
        scale.on.contents_g["line"] = landed + thread + DROP_G * sum(at >= d for d in drops)
        air = air * keep + rng.gauss(0.0, division * far * sqrt(1.0 - keep * keep))
        gate += ((1.0 if blown.blows(at) else 0.0) - gate) * STEP_S / 0.5
        scale.extra_g = air * gate
        line = scale.due(at)
        if line:
            readings.append((at, float(line.split()[1])))
        if abs(scale._shown_g - total) > 0.5 * division:
            off_s = at
        at = round(at + STEP_S, 6)
    still = off_s + STEP_S
    until = closed + WATCHED_S - LEAST_REST_S
    return DraughtyPour(
        division, readings, closed, still if still < until else None, total, blown if draught else None
    )
