"""Simulated pours onto simulated scales, written apart from every filter they are tried on. Simulated, not measured.

The world is drawn in grams and seconds; a scale is a sprung pan, a display filter, noise and a rounding step.
Where a choice had to be made it is a plain guess from the bench, stated beside the draw; none is fitted.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

STEP_S = 0.01
END_S = 16.0
STEPS = int(END_S / STEP_S)
GRAVITY = 9.81
#: Divisions met on benches and how often: a fine scale, a kitchen-top scale, a household scale.
DIVISIONS = ((0.01, 0.40), (0.1, 0.45), (1.0, 0.15))
#: Smallest and largest target in grams on each of them.
TARGETS = {0.01: (1.0, 50.0), 0.1: (20.0, 500.0), 1.0: (100.0, 2000.0)}
#: How often each thing happens to one pour; they happen independently.
CHANCE = {"drip": 0.5, "dribble": 0.2, "knock": 0.15, "draught": 0.15, "bump": 0.15}


@dataclass(frozen=True)
class Pours:
    """``n`` pours. Arrays are (n,) or (n, time); masses in grams, times in seconds."""

    division_g: Array
    closed_s: Array  # the hand lets go for good; dribble, drips and trouble come after
    clear_g: Array  # (n, STEPS) the display without noise and rounding, drift apart
    rest_g: Array  # where it comes to rest, drift apart
    drift_g_s: Array
    noise_g: Array
    out_g: Array  # (n, STEPS) what has left the bottle
    had: dict[str, NDArray[np.bool_]]

    def readings(self, rate_hz: float, rng: np.random.Generator) -> tuple[Array, Array]:
        """(times, display) of every pour at about ``rate_hz``: own phase, a little jitter, noise, rounding."""
        n = len(self.division_g)
        count = int((END_S - 0.2) * rate_hz)
        times = (np.arange(count) + rng.uniform(0.0, 1.0, (n, 1))) / rate_hz
        times = np.sort(times + rng.normal(0.0, 0.005, times.shape), axis=1).clip(0.0, END_S - 2 * STEP_S)
        index = (times / STEP_S).astype(int)
        value = np.take_along_axis(self.clear_g, index, axis=1) + times * self.drift_g_s[:, None]
        value = value + rng.normal(0.0, 1.0, times.shape) * self.noise_g[:, None]
        step = self.division_g[:, None]
        return times, np.round(value / step) * step

    def still_s(self) -> Array:
        """From when the noiseless display stays within half a division of where it comes to rest."""
        away = np.abs(self.clear_g - self.rest_g[:, None]) > 0.5 * self.division_g[:, None]
        last = away.shape[1] - 1 - np.argmax(away[:, ::-1], axis=1)
        return (last + 1) * STEP_S


def pours(n: int, rng: np.random.Generator, drip_until_s: float = 1.2) -> Pours:
    """Draw ``n`` pours. After ``drip_until_s`` the righted bottle is gone and can drip no more."""
    division = rng.choice([d for d, _ in DIVISIONS], n, p=[p for _, p in DIVISIONS])
    low = np.array([TARGETS[d][0] for d in division])
    high = np.array([TARGETS[d][1] for d in division])
    target = np.exp(rng.uniform(np.log(low), np.log(high)))
    closed = rng.uniform(6.0, 7.5, n)
    flow = _hand_flow(n, target, closed, rng)
    had = {what: rng.uniform(0, 1, n) < chance for what, chance in CHANCE.items()}
    flow += _dribble(n, had["dribble"], closed, rng)
    flow += _drips(n, had["drip"], closed, drip_until_s, rng)
    falls = rng.uniform(0.14, 0.29, n)  # from 10 to 40 cm, free fall
    arrives = _later(flow, falls)
    out, landed = np.cumsum(flow, axis=1) * STEP_S, np.cumsum(arrives, axis=1) * STEP_S
    # A stream pushes with its momentum: mass flow times speed of fall, shown as grams.
    force = landed + arrives * falls[:, None]
    force += _knocks(n, had["knock"], closed, division, rng)
    force += _draughts(n, had["draught"], closed, rng)
    force += _bumps(n, had["bump"], closed, target, division, rng)
    clear = _shown(force, rng)
    noise = division * np.clip(np.exp(rng.normal(np.log(0.12), 0.5, n)), 0.02, 0.35)
    drift = division * rng.uniform(-2.0, 2.0, n) / 60.0  # warming up, a hot pot: up to two divisions a minute
    return Pours(division, closed, clear, landed[:, -1], drift, noise, out, had)


def _clock() -> Array:
    return np.arange(STEPS) * STEP_S


def _hand_flow(n: int, target: Array, closed: Array, rng: np.random.Generator) -> Array:
    """A hand that opens, pours, slows towards the end to a share of it, wavers, and shuts within a moment."""
    t = _clock()[None, :]
    opens = rng.uniform(0.8, 2.5, n)[:, None]
    slows = (closed - rng.uniform(0.5, 2.0, n))[:, None]
    slowed = rng.uniform(0.08, 0.5, n)[:, None]
    shuts = rng.uniform(0.04, 0.12, n)[:, None]
    shape = (1.0 - np.exp(-np.clip(t - opens, 0, None) / 0.15)) * (t >= opens)
    slow = slowed + (1 - slowed) * np.exp(-np.clip(t - slows, 0, None) / 0.4)
    shape = shape * np.where(t > slows, slow, 1.0)
    shape = np.where(t > closed[:, None], shape * np.exp(-(t - closed[:, None]).clip(0) / shuts), shape)
    shape[shape < 0.002] = 0.0
    waver = np.cumsum(rng.normal(0, 0.02, (n, STEPS)), axis=1)
    shape *= np.exp(0.5 * (waver - waver.mean(axis=1, keepdims=True)).clip(-1, 1))
    return shape * (target / (shape.sum(axis=1) * STEP_S))[:, None]


def _dribble(n: int, had: NDArray[np.bool_], closed: Array, rng: np.random.Generator) -> Array:
    """A thread that runs on after the stream: 0.1 to 0.4 g/s for half a second to three."""
    t = _clock()[None, :]
    rate, long = rng.uniform(0.1, 0.4, n), rng.uniform(0.5, 3.0, n)
    runs = (t > closed[:, None]) & (t < (closed + long)[:, None])
    return runs * (rate * had)[:, None]


def _drips(n: int, had: NDArray[np.bool_], closed: Array, until_s: float, rng: np.random.Generator) -> Array:
    """One to three drops of 0.03 to 0.06 g (twenty to the millilitre) until the bottle is gone."""
    flow = np.zeros((n, STEPS))
    for drop in range(3):
        falls = had & (rng.uniform(0, 1, n) < (1.0, 0.5, 0.25)[drop])
        at = ((closed + rng.uniform(0.1, until_s, n)) / STEP_S).astype(int)
        flow[np.arange(n), at] += falls * rng.uniform(0.03, 0.06, n) / STEP_S
    return flow


def _later(flow: Array, by_s: Array) -> Array:
    index = np.arange(STEPS)[None, :] - (by_s[:, None] / STEP_S).astype(int)
    return np.where(index >= 0, np.take_along_axis(flow, index.clip(0), axis=1), 0.0)


def _knocks(
    n: int, had: NDArray[np.bool_], closed: Array, division: Array, rng: np.random.Generator
) -> Array:
    """A ringing bench: 5 to 60 divisions, 4 to 12 Hz, gone within a few tenths of a second."""
    t = _clock()[None, :] - (closed + rng.uniform(-1.0, 1.5, n))[:, None]
    height = division * rng.uniform(5, 60, n) * had
    wave = np.sin(2 * np.pi * rng.uniform(4, 12, n)[:, None] * t) * np.exp(
        -t.clip(0) / rng.uniform(0.05, 0.2, n)[:, None]
    )
    return np.where(t > 0, wave, 0.0) * height[:, None]


def _draughts(n: int, had: NDArray[np.bool_], closed: Array, rng: np.random.Generator) -> Array:
    """Moving air, 0.01 to 0.05 g on the pan in slow waves of 0.4 to 2 Hz, for one to three seconds."""
    t = _clock()[None, :]
    begins = (closed + rng.uniform(-1.0, 1.0, n))[:, None]
    long = rng.uniform(1.0, 3.0, n)[:, None]
    inside = ((t - begins) / long).clip(0, 1)
    envelope = np.sin(np.pi * inside) ** 0.5
    waves = sum(
        np.sin(2 * np.pi * (rng.uniform(0.4, 2.0, n)[:, None] * t + rng.uniform(0, 1, n)[:, None]))
        for _ in range(3)
    )
    return envelope * waves / 1.7 * (rng.uniform(0.01, 0.05, n) * had)[:, None]


def _bumps(
    n: int, had: NDArray[np.bool_], closed: Array, target: Array, division: Array, rng: np.random.Generator
) -> Array:
    """A hand or bottle touches the vessel: a push of 2 to 20 % of the target for 0.2 to 0.6 s."""
    t = _clock()[None, :] - (closed + rng.uniform(-0.5, 1.5, n))[:, None]
    long = rng.uniform(0.2, 0.6, n)[:, None]
    push = np.where((t > 0) & (t < long), np.sin(np.pi * (t / long).clip(0, 1)), 0.0)
    size = np.maximum(target * rng.uniform(0.02, 0.2, n), 5 * division) * rng.choice([1, -1], n, p=[0.8, 0.2])
    return push * (size * had)[:, None]


def _shown(force: Array, rng: np.random.Generator, alike: int = 1) -> Array:
    """A pan on its spring, then the display filter: half first-order lags, half running means.

    So many rows one after the other, ``alike``, are on the same scale.
    """
    scales = len(force) // alike
    omega, damping = 2 * np.pi * rng.uniform(5, 15, scales), rng.uniform(0.2, 0.7, scales)
    lag, width = rng.uniform(0.1, 0.4, scales), rng.uniform(0.2, 0.8, scales)
    averages = rng.uniform(0, 1, scales) < 0.5
    omega, damping, lag, width, averages = (
        np.repeat(x, alike) for x in (omega, damping, lag, width, averages)
    )
    n = len(force)
    pan, speed, shown = np.zeros(n), np.zeros(n), np.zeros(n)
    pans, first = np.empty_like(force), np.empty_like(force)
    share = 1 - np.exp(-STEP_S / lag)
    for k in range(force.shape[1]):
        for _ in range(2):  # two half steps keep the spring true
            speed += (omega**2 * (force[:, k] - pan) - 2 * damping * omega * speed) * STEP_S / 2
            pan += speed * STEP_S / 2
        shown += share * (pan - shown)
        pans[:, k], first[:, k] = pan, shown
    total = np.cumsum(pans, axis=1)
    back = np.arange(STEPS)[None, :] - (width[:, None] / STEP_S).astype(int)
    before = np.where(back >= 0, np.take_along_axis(total, back.clip(0), axis=1), 0.0)
    mean = (total - before) / (width[:, None] / STEP_S).astype(int)
    return np.where(averages[:, None], mean, first)
