"""Simulated pours that run on until a hand shuts them: when to say stop, and where they land. Simulated figures.

The stream, the scale and the reading come from ``simulated_pours``; nothing of the rule that is tried is in here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
import simulated_pours as sim

#: A simple reaction to a sight or a sound: median 0.25 s, lognormal with a spread of 0.22 (from memory: simple
#: reaction times of adults lie about 0.2 to 0.3 s); the wrist then takes 0.04 to 0.12 s to shut the stream.
REACTION_S, REACTION_SPREAD = 0.25, 0.22
PER_BENCH = 8  # pours one hand makes on one scale, one after the other


@dataclass
class Landings:
    """Signed landing errors in grams, with the target and the division of each."""

    error_g: list[float] = field(default_factory=list)
    target_g: list[float] = field(default_factory=list)
    division_g: list[float] = field(default_factory=list)

    def median_abs_share(self) -> float:
        """Median absolute error as a share of the target."""
        return float(np.median(np.abs(self.error_g) / np.array(self.target_g)))

    def median_abs_divisions(self) -> float:
        """Median absolute error in divisions."""
        return float(np.median(np.abs(self.error_g) / np.array(self.division_g)))

    def bias_divisions(self) -> float:
        """Median signed error in divisions."""
        return float(np.median(np.array(self.error_g) / np.array(self.division_g)))

    def bias_percent(self) -> float:
        """Median signed error in percent of the target."""
        return float(100 * np.median(np.array(self.error_g) / np.array(self.target_g)))


@dataclass(frozen=True)
class Bench:
    """One hand on one scale: eight pours, each as times, readings and what has left the bottle."""

    division_g: float
    targets_g: sim.Array
    times: sim.Array
    shown: sim.Array
    out_g: sim.Array
    reaction_s: sim.Array
    shuts_s: sim.Array
    drops_g: sim.Array


def benches(count: int, rng: np.random.Generator, reaction_s: float = REACTION_S) -> Iterator[Bench]:
    """Draw so many: the scale and the hand's quickness stay for its eight pours, the pours differ."""
    n = count * PER_BENCH
    division = np.repeat(
        rng.choice([d for d, _ in sim.DIVISIONS], count, p=[p for _, p in sim.DIVISIONS]), PER_BENCH
    )
    low, high = (np.array([sim.TARGETS[d][k] for d in division]) for k in (0, 1))
    target = np.exp(rng.uniform(np.log(low), np.log(high)))
    flow = _streams(target, rng)
    falls = np.repeat(rng.uniform(0.14, 0.29, count), PER_BENCH)
    arrives = sim._later(flow, falls)
    force = np.cumsum(arrives, axis=1) * sim.STEP_S + arrives * falls[:, None]
    clear = sim._shown(force, rng, PER_BENCH)
    noise = np.repeat(np.clip(np.exp(rng.normal(np.log(0.12), 0.5, count)), 0.02, 0.35), PER_BENCH) * division
    index = (np.arange(int(sim.END_S * 10) - 2) + rng.uniform(0, 1, (n, 1))) / 10 / sim.STEP_S
    index = index.astype(int)
    shown = np.take_along_axis(clear, index, axis=1) + rng.normal(0, 1, index.shape) * noise[:, None]
    shown = np.round(shown / division[:, None]) * division[:, None]
    out = np.cumsum(flow, axis=1) * sim.STEP_S
    quickness = np.repeat(np.exp(rng.normal(0, 0.1, count)), PER_BENCH)
    reaction = reaction_s * quickness * np.exp(rng.normal(0, REACTION_SPREAD, n))
    shuts, drops = rng.uniform(0.04, 0.12, n), (rng.uniform(0, 1, n) < 0.5) * rng.uniform(0.03, 0.06, n)
    for k in range(0, n, PER_BENCH):
        own = slice(k, k + PER_BENCH)
        yield Bench(
            float(division[k]), target[own], index[own] * sim.STEP_S, shown[own], out[own], reaction[own],
            shuts[own], drops[own],
        )  # fmt: skip


def _streams(target: sim.Array, rng: np.random.Generator) -> sim.Array:
    """Streams that nobody shuts: half slow once, when 60 to 90 % are in, to a tenth to a half of their flow;
    half slow all the way, in proportion to what is missing. All waver."""
    n = len(target)
    quick = target / rng.uniform(2.5, 6.0, n)
    slow = quick * rng.uniform(0.1, 0.5, n)
    slows_at = target * rng.uniform(0.6, 0.9, n)
    within, once = rng.uniform(0.8, 3.0, n), rng.uniform(0, 1, n) < 0.5
    flow, out, now, waver = np.zeros((n, sim.STEPS)), np.zeros(n), np.zeros(n), np.zeros(n)
    for k in range(sim.STEPS):
        waver += -waver * sim.STEP_S + rng.normal(0, 0.15 * np.sqrt(2 * sim.STEP_S), n)
        steadily = np.clip((target - out) / within, 0.5 * slow, quick)
        wanted = np.where(once, np.where(out < slows_at, quick, slow), steadily) * np.exp(waver)
        now += (wanted * (k * sim.STEP_S > 0.8) - now) * sim.STEP_S / 0.3
        flow[:, k] = now
        out += now * sim.STEP_S
    return flow


def land(one: Bench, i: int, cue_s: float) -> float:
    """Grams that stand when "stop" was said at ``cue_s``: what had left by then, the shutting stream, a drop."""
    shut = int((cue_s + one.reaction_s[i]) / sim.STEP_S)
    shut = min(shut, sim.STEPS - 2)
    flow = (one.out_g[i, shut + 1] - one.out_g[i, shut]) / sim.STEP_S
    return float(one.out_g[i, shut] + flow * one.shuts_s[i] + one.drops_g[i])
