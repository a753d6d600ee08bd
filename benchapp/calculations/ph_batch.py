"""This batch's own buffering, from its readings and weighed additions: a sample of batches that would read so.

Whatever is dissolved acts like a sum of simple weak acids (a polyprotic acid too, to a good approximation), so a
batch is a row of sites, one each half pH unit, with an unknown amount at each. Charge has to balance at every
reading (Van Slyke 1922 for the buffer value; the balance is the textbook one). Bayes' rule over the amounts,
sampled by Metropolis' rule (Metropolis et al. 1953) with a fixed seed: the same readings give the same answer.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import mul

from benchapp.calculations.ph_chemistry import LN10, Solution, Titrant, water_buffering, water_charge

#: Standard deviation of one pH reading: a bench meter's repeatability with the wait for rest (common practice).
READING_PH = 0.035
#: Where the sites stand.
SITES = tuple(1.75 + 0.5 * i for i in range(20))
#: Beforehand: a site is as good as empty this often, ...
EMPTY_SHARE, EMPTY_SHARE_STATED = 0.7, 0.88
#: ... with amounts (natural logarithm of mol/kg) spread evenly from faint to little, and else from little to much.
LN_FAINT, LN_LITTLE, LN_MUCH = math.log(1e-9), math.log(2e-4), math.log(6e-2)
FIRST_DRAWS, DRAWS, SWEEPS = 2000, 250, 2
#: Length of a small Metropolis step on the 0..1 scale of the beliefs beforehand.
STEP = 0.12


@dataclass(frozen=True)
class Reading:
    """A pH at rest, and what had been added by then: (solution, g) into ``material_g`` grams as first made.

    A trial sample and the batch share one list of readings: it is the same material.
    """

    ph: float
    material_g: float
    added: tuple[tuple[Solution, float], ...] = ()

    @property
    def water_kg_kg(self) -> float:
        """Kilograms of solution added per kilogram of material."""
        return sum(g for _, g in self.added) / self.material_g

    def known_charge(self, ph: float) -> float:
        """Charge of the water and of everything added, in mol per kg of material, were the pH ``ph``."""
        total = (1.0 + self.water_kg_kg) * water_charge(ph)
        for solution, mass_g in self.added:
            total += solution.mol_kg * mass_g / self.material_g * solution.titrant.charge(ph)
        return total

    def known_buffering(self, ph: float) -> float:
        """Buffer value of the same, mol/kg per pH unit."""
        total = (1.0 + self.water_kg_kg) * water_buffering(ph)
        for solution, mass_g in self.added:
            total += solution.mol_kg * mass_g / self.material_g * solution.titrant.buffering(ph)
        return total


@dataclass(frozen=True)
class Stated:
    """What the formula says is dissolved: an acid or base, between two amounts in mol/kg of material."""

    what: Titrant
    low_mol_kg: float
    high_mol_kg: float


@dataclass(frozen=True)
class Batch:
    """One batch that would read as this one did: mol/kg of each of its parts, and the constant charge (mol/kg)."""

    amounts: tuple[float, ...]
    fixed_charge: float


class Parts:
    """What a batch may consist of: the sites, and what the formula states. Charge is linear in the amounts."""

    def __init__(self, stated: Sequence[Stated] = ()) -> None:
        self.stated = tuple(stated)
        self.empty_share = EMPTY_SHARE_STATED if stated else EMPTY_SHARE
        self.ranges = [(math.log(s.low_mol_kg * 0.9), math.log(s.high_mol_kg * 1.1)) for s in stated]
        self.count = len(SITES) + len(self.stated)

    def lost(self, ph: float) -> list[float]:
        """Protons each part has given away at a pH, per molecule."""
        sites = [1.0 / (1.0 + math.exp(LN10 * (pka - ph))) for pka in SITES]
        return sites + [s.what.top_charge - s.what.charge(ph) for s in self.stated]

    def buffering(self, ph: float) -> list[float]:
        """Buffer value of each part, per mol."""
        sites = [LN10 * a * (1.0 - a) for a in self.lost(ph)[: len(SITES)]]
        return sites + [s.what.buffering(ph) for s in self.stated]

    def amount(self, j: int, z: float) -> float:
        """mol/kg of part ``j`` for a place ``z`` (0..1) in the beliefs beforehand."""
        if j >= len(SITES):
            low, high = self.ranges[j - len(SITES)]
            return math.exp(low + (high - low) * z)
        if z < self.empty_share:
            return math.exp(LN_FAINT + (LN_LITTLE - LN_FAINT) * z / self.empty_share)
        return math.exp(LN_LITTLE + (LN_MUCH - LN_LITTLE) * (z - self.empty_share) / (1.0 - self.empty_share))

    def amounts(self, z: Sequence[float]) -> list[float]:
        """mol/kg of every part."""
        return [self.amount(j, x) for j, x in enumerate(z)]


def plausible_batches(readings: Sequence[Reading], stated: Sequence[Stated] = ()) -> tuple[Batch, ...]:
    """Batches that agree with the readings, drawn from what is plausible. Raises ValueError without a reading."""
    if not readings:
        raise ValueError("without a pH reading nothing can be said of a batch; measure it first")
    return _after(tuple(readings), tuple(stated))[1]


@lru_cache(maxsize=32)
def _after(
    readings: tuple[Reading, ...], stated: tuple[Stated, ...]
) -> tuple[tuple[tuple[float, ...], ...], tuple[Batch, ...]]:
    """Places (0..1 in the beliefs beforehand) and batches after these readings; each reading refines the last."""
    rng = random.Random(len(readings))
    parts = Parts(stated)
    balance = _Balance(readings, parts)
    if len(readings) == 1:
        places = [[rng.random() for _ in range(parts.count)] for _ in range(FIRST_DRAWS)]
    else:
        before = _Balance(readings[:-1], parts)
        earlier = _after(readings[:-1], stated)[0]
        gained = [balance.likely(z) - before.likely(z) for z in earlier]
        places = _drawn_again(earlier, gained, rng)
    batches = []
    for z in places:
        amounts = parts.amounts(z)
        charge, slope = balance.of(amounts)
        if len(readings) > 1:
            charge, slope = balance.moved(z, amounts, charge, slope, rng)
        batches.append(Batch(tuple(amounts), _fixed(charge, slope, rng)))
    return tuple(tuple(z) for z in places), tuple(batches)


def _drawn_again(places, gained, rng) -> list[list[float]]:
    """Systematic resampling in proportion to the likelihood."""
    top = max(gained)
    weights = [math.exp(g - top) for g in gained]
    step = sum(weights) / DRAWS
    mark, total, found = rng.random() * step, 0.0, []
    STAT.append((sum(weights) ** 2 / sum(w * w for w in weights)))
    for z, w in zip(places, weights, strict=True):
        total += w
        while mark < total and len(found) < DRAWS:
            found.append(list(z))
            mark += step
    while len(found) < DRAWS:
        found.append(list(found[-1]))
    return found


STAT = []


class _Balance:
    """The charge balance at every reading; everything is linear in the amounts, so one move costs a few sums."""

    def __init__(self, readings: Sequence[Reading], parts: Parts) -> None:
        self.parts = parts
        self.charged = [list(row) for row in zip(*(parts.lost(r.ph) for r in readings))]
        self.slopes = [list(row) for row in zip(*(parts.buffering(r.ph) for r in readings))]
        self.known = [r.known_charge(r.ph) for r in readings]
        self.buffering = [r.known_buffering(r.ph) for r in readings]

    def of(self, amounts: Sequence[float]) -> tuple[list[float], list[float]]:
        """Charge and buffer value at every reading, mol/kg."""
        charge = [q - sum(map(mul, amounts, column)) for q, column in zip(self.known, zip(*self.charged))]
        slope = [q + sum(map(mul, amounts, column)) for q, column in zip(self.buffering, zip(*self.slopes))]
        return charge, slope

    def likely(self, z: Sequence[float]) -> float:
        return _fit(*self.of(self.parts.amounts(z)))

    def moved(self, z, amounts, charge, slope, rng):
        """Metropolis moves on one draw, in place"""
        now = _fit(charge, slope)
        sites = len(SITES)
        for j in list(range(self.parts.count)) * SWEEPS:
            kind = rng.random()
            other = -1
            if kind < 0.5:
                zj = abs(z[j] + rng.gauss(0.0, STEP))
                zj = 2.0 - zj if zj > 1.0 else zj
            elif kind < 0.75:
                zj = rng.random()
            elif j >= sites:
                zj = rng.random()
            else:
                other = rng.randrange(sites)
                zj = z[other]
            cj = self.parts.amount(j, zj)
            d = cj - amounts[j]
            aj, bj = self.charged[j], self.slopes[j]
            if other < 0:
                new_charge = [q - d * a for q, a in zip(charge, aj)]
                new_slope = [s + d * b for s, b in zip(slope, bj)]
            else:
                ao, bo = self.charged[other], self.slopes[other]
                new_charge = [q - d * (a - o) for q, a, o in zip(charge, aj, ao)]
                new_slope = [s + d * (b - o) for s, b, o in zip(slope, bj, bo)]
            then = _fit(new_charge, new_slope)
            if then >= now or rng.random() < math.exp(then - now):
                if other >= 0:
                    z[other], amounts[other] = z[j], amounts[j]
                z[j], amounts[j] = zj, cj
                charge, slope, now = new_charge, new_slope, then
        return charge, slope


def _fixed(charge: Sequence[float], slope: Sequence[float], rng: random.Random) -> float:
    weights = [1.0 / (s * s) for s in slope]
    whole = sum(weights)
    return sum(map(mul, weights, charge)) / whole + rng.gauss(0.0, READING_PH) / math.sqrt(whole)


def _fit(charge: Sequence[float], slope: Sequence[float]) -> float:
    """Logarithm of the likelihood, the fixed charge integrated out (even over the true first pH)."""
    w0 = w1 = w2 = 0.0
    q0 = charge[0]
    for q, s in zip(charge, slope, strict=True):
        w = 1.0 / (s * s)
        q -= q0
        w0 += w
        w1 += w * q
        w2 += w * q * q
    return (w1 * w1 / w0 - w2) / (2 * READING_PH * READING_PH) - 0.5 * math.log(w0) - math.log(slope[0])
