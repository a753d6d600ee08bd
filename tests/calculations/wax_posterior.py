"""How well could anybody foretell wax that melts? A forecaster that knows how the pots of ``vessel_families`` are drawn
and every law they follow, is told what the app is told, and sees the same readings.

It weighs pots by the readings, by sequential Monte Carlo (tempered; moves by differential evolution; independent runs
pooled by their evidence). Their curves have to agree with the readings within ``BELIEVED_K``: nearer, and runs end in
ways to melt that differ and explain the readings equally well.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from family_waits import Wait
from numpy.typing import NDArray
from scipy.special import ndtri
from wax_lanes import BIN_S, Lane, WaxLanes

#: How near to the readings a curve has to be, one standard deviation in K, beside the display's own scatter.
BELIEVED_K = 0.3
#: What is unknown of a pot: a number between 0 and 1 for each, see ``drawn_for``.
UNKNOWN = (
    "mass", "cp", "latent", "clear", "over", "thickens", "thickest", "lid", "room", "start", "air", "shape", "skin", "wall",
    "inner", "stirred", "way_stirred", "every", "for", "lag", "near", "offset", "way", "set", "warm", "begins", "holds",
    "power", "swing", "given",
)  # fmt: skip
#: A step counts so much more of the readings that this share of the pots still does; moves: shares of the unknowns moved at
#: once, and how often they are drawn anew instead.
ENOUGH, AT_ONCE, ANEW = 0.5, (0.1, 0.3, 1.0), 0.1
#: A wait is followed at most so many times as long as it has lasted.
LONGEST = 8.0
Cube = NDArray[np.float64]


def drawn_for(cube: Cube, wait: Wait) -> WaxLanes:
    """Pots as ``vessel_families`` draws them, given what is told; a row of the unit cube for each."""
    of = dict(zip(UNKNOWN, cube.T, strict=True))

    def between(name: str, low: float, high: float) -> Lane:
        return low + (high - low) * of[name]

    told, bath = wait.told, wait.told.in_bath
    mass = told.mass_g / between("mass", 0.95, 1.05)
    cp, wax = between("cp", 1.9, 2.3), sum(share for share, _ in told.melts)
    liquid = np.clip(
        max(c for _, c in told.melts) + 2.0 * ndtri(np.clip(of["clear"], 1e-6, 1 - 1e-6)), 46.0, 66.0
    )
    room = between("room", 17.0, 27.0)
    narrow = (4e-6 * mass / (np.pi * between("shape", 0.4, 1.3))) ** (1.0 / 3.0)
    width = np.full_like(mass, told.diameter_mm / 1000.0) if told.diameter_mm else narrow
    top = np.pi * width**2 / 4.0
    wall = np.pi * width * mass * 1e-6 / top
    air, lid = between("air", 7.0, 14.0), of["lid"] < (0.4 if bath else 0.2)
    steady = {
        "mass_g": mass, "cp_j_gk": cp, "latent_j_g": wax * between("latent", 35.0, 190.0), "liquid_c": liquid,
        "solid_c": liquid - between("over", 5.0, 15.0), "thickens": between("thickens", 0.04, 0.1),
        "thickest": between("thickest", 0.04, 0.15), "top_m2": top, "wall_m2": wall, "skin": between("skin", 0.08, 0.25),
        "wall_j_k": 0.8 * mass * between("wall", 0.05, 0.45), "inner_w_m2k": between("inner", 150.0, 400.0),
        "stirred": between("stirred", 2.0, 4.0), "stir_way": np.floor(2.999 * of["way_stirred"]),
        "every_s": between("every", 120.0, 400.0), "for_s": between("for", 20.0, 60.0), "room_c": room,
        "start_c": room + between("start", -1.0, 4.0), "surface_w_k": top * air * np.where(lid, 0.4, 1.0),
        "lag_s": 2.0 * 7.5 ** of["lag"], "near_skin": between("near", 0.0, 0.4),
        "offset_k": 0.3 * ndtri(np.clip(of["offset"], 1e-6, 1 - 1e-6)),
    }  # fmt: skip
    if bath:
        heating = of["way"] > 0.75
        set_c = wait.target_c + between("set", 3.0, 15.0)
        cold = room + (60.0 - room) * of["begins"]
        around = {
            "way": np.where(heating, 2.0, np.where(of["way"] > 0.5, 1.0, 0.0)), "set_c": set_c,
            "outside_c": np.where((of["warm"] < 0.6) & ~heating, set_c, cold), "swing_k": between("swing", 0.4, 2.5),
            "outside_j_k": 4.18 * between("holds", 1500.0, 5000.0), "power_w": between("power", 700.0, 2000.0),
            "given_w_k": between("given", 120.0, 400.0) * (0.8 * wall + top), "outside_w_k": np.full_like(mass, 3.0),
            "wall_w_k": np.zeros_like(mass), "hottest_c": np.full_like(mass, 99.0),
        }  # fmt: skip
    else:
        around = {
            "way": np.where(of["way"] < 0.5, 1.0, 2.0), "set_c": between("set", 140.0, 280.0), "outside_c": room,
            "swing_k": np.full_like(mass, 8.0), "outside_j_k": between("holds", 200.0, 900.0),
            "power_w": np.maximum(mass * cp * between("power", 0.04, 0.12), 80.0),
            "given_w_k": between("given", 100.0, 300.0) * top, "outside_w_k": np.full_like(mass, 0.4),
            "wall_w_k": air * wall, "hottest_c": np.full_like(mass, np.inf),
        }  # fmt: skip
    return WaxLanes(**steady, **around)


@dataclass(frozen=True)
class Run:
    """One run: for each wait the seconds left by each of its pots, and the logarithm of its evidence."""

    left_s: Lane
    evidence: Lane


class Readings:
    """What was seen of some waits by a place of each, in means over ``BIN_S``."""

    def __init__(self, waits: Sequence[Wait], place: float) -> None:
        self.waits = waits
        self.looks_s = np.array([place * w.reached_s for w in waits])
        bins = (self.looks_s // BIN_S).astype(int)
        self.most = int(bins.max())
        self.seen = np.full((self.most, len(waits)), np.nan)
        per = int(BIN_S)
        for n, (wait, many) in enumerate(zip(waits, bins, strict=True)):
            shown = np.array([c for _, c in wait.readings[: per * many]])
            self.seen[:many, n] = shown.reshape(many, per).mean(axis=1)
        steps = [np.diff(sorted({c for _, c in w.readings})).min() for w in waits]
        self.sd_k = np.hypot(BELIEVED_K, 0.2 * np.array(steps))[:, None]

    def pots(self, cubes: Cube) -> WaxLanes:
        """Of all waits."""
        return WaxLanes.joined([drawn_for(c, w) for c, w in zip(cubes, self.waits, strict=True)])

    def likelihood(self, cubes: Cube) -> Lane:
        """Natural logarithm, a row for each wait."""
        shown = self.pots(cubes).curves(self.most * BIN_S).reshape(self.most, len(self.waits), -1)
        off = (self.seen[:, :, None] - shown) / self.sd_k
        logs: Lane = np.nansum(-0.5 * off * off, axis=0)
        return logs

    def left_s(self, cubes: Cube) -> Lane:
        """Seconds from the look on."""
        each = cubes.shape[1]
        targets = np.repeat([w.target_c for w in self.waits], each)
        there = self.pots(cubes).arrivals_s(targets, LONGEST * self.looks_s.max()).reshape(-1, each)
        left: Lane = np.maximum(there - self.looks_s[:, None], 0.0)
        return left


def weighed(readings: Readings, each: int, moves: int, rng: np.random.Generator) -> Run:
    """One run with so many pots for each wait, moved so often at each temperature of the likelihood."""
    waits = len(readings.waits)
    cubes = rng.random((waits, each, len(UNKNOWN)))
    likely = readings.likelihood(cubes)
    believed, reach, evidence = np.zeros(waits), np.ones(waits), np.zeros(waits)
    while np.any(believed < 1.0):
        for n in range(waits):
            step = _step(likely[n], 1.0 - believed[n])
            weights = np.exp(step * (likely[n] - likely[n].max()))
            evidence[n] += np.log(weights.mean()) + step * likely[n].max()
            believed[n] = 1.0 if step >= 1.0 - believed[n] else believed[n] + step
            picked = np.searchsorted(
                np.cumsum(weights / weights.sum()), (rng.random() + np.arange(each)) / each
            )
            picked = picked.clip(0, each - 1)
            cubes[n], likely[n] = cubes[n, picked], likely[n, picked]
        taken = np.zeros(waits)
        for _ in range(moves):
            proposed = np.array([_moved(cubes[n], reach[n], rng) for n in range(waits)])
            found = readings.likelihood(proposed)
            yes = np.log(rng.random(found.shape)) < believed[:, None] * (found - likely)
            cubes[yes], likely[yes] = proposed[yes], found[yes]
            taken += yes.mean(axis=1) / moves
        reach = np.clip(reach * np.exp(2.0 * (taken - 0.2)), 0.1, 2.0)
    return Run(readings.left_s(cubes), evidence)


def _step(likely: Lane, most: float) -> float:
    """How much more of the likelihood may count before only ``ENOUGH`` of the pots still do."""

    def count(step: float) -> float:
        weights = np.exp(step * (likely - likely.max()))
        share: float = weights.sum() ** 2 / (weights @ weights) / len(likely)
        return share

    low, high = 0.0, most
    if count(most) > ENOUGH:
        return most
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if count(middle) > ENOUGH else (low, middle)
    return low


def _moved(cube: Cube, reach: float, rng: np.random.Generator) -> Cube:
    """Some unknowns of each pot moved along the difference of two others, some drawn anew."""
    each, unknowns = cube.shape
    one = rng.integers(0, each, each)
    other = (one + 1 + rng.integers(0, each - 1, each)) % each
    which = rng.random(cube.shape) < rng.choice(AT_ONCE, size=each)[:, None]
    which[np.arange(each), rng.integers(0, unknowns, each)] = True
    far = reach * 2.38 / np.sqrt(2.0 * which.sum(axis=1)) * np.exp(rng.normal(-0.7, 0.7, each))
    along = cube + far[:, None] * (cube[one] - cube[other]) + rng.normal(0.0, 0.002, cube.shape)
    anew = (rng.random(each) < ANEW)[:, None]
    moved = np.where(which, np.where(anew, rng.random(cube.shape), along), cube)
    folded = np.abs(moved)
    return np.clip(np.where(folded > 1.0, 2.0 - folded, folded), 0.0, 1.0)


def pooled(runs: Sequence[Run], wait: int, shares: Sequence[float]) -> list[float]:
    """Quantiles of the seconds left of one wait, over all runs by their evidence."""
    evidence = np.array([run.evidence[wait] for run in runs])
    weights = np.repeat(np.exp(evidence - evidence.max()), len(runs[0].left_s[wait]))
    left = np.concatenate([run.left_s[wait] for run in runs])
    order = np.argsort(left)
    gone = np.cumsum(weights[order]) / weights.sum()
    return [float(left[order][min(int(np.searchsorted(gone, s)), len(left) - 1)]) for s in shares]
