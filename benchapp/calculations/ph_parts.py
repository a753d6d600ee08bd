"""What a batch may hold, and what was read and added: the charge balance that readings and additions must keep.

Whatever is dissolved acts like a sum of simple weak acids (a polyprotic acid too, to a good approximation), so what
the formula does not state is a row of sites, one each half pH unit, with an unknown amount at each.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchapp.calculations.ph_chemistry import LN10, Solution, Titrant, water_buffering, water_charge

#: Where the sites stand.
SITES = tuple(1.75 + 0.5 * i for i in range(20))
#: Beforehand: a site is as good as empty this often, ...
EMPTY_SHARE, EMPTY_SHARE_STATED = 0.7, 0.88
#: How far the pKa of something stated may be off in the product (salt, oil, the table).
PKA_SHIFTS = (-0.15, 0.0, 0.15)
#: ... with amounts (natural logarithm of mol/kg) spread evenly from faint to little, and else from little to much.
LN_FAINT, LN_LITTLE, LN_MUCH = math.log(1e-9), math.log(2e-4), math.log(6e-2)


#: Standard deviation of one reading of a meter, a little more than a bench meter's own 0.03 (common practice).
METER_SD_PH = 0.035
#: Of a strip, in its steps: rounding alone is 1/√12, and colours are judged by eye (no source).
STRIP_SD_STEPS = 0.4

#: A pH has moved where two readings of it differ by more than so many of their standard deviations: one step of a strip is
#: a move, within one it is none.
MOVED_SD = 1.5


def reading_sd_ph(step_ph: float) -> float:
    """Standard deviation of a reading from a strip in steps of ``step_ph``; 0: from a meter."""
    return max(STRIP_SD_STEPS * step_ph, METER_SD_PH)


@dataclass(frozen=True)
class PhReading:
    """A pH at rest, and what had been added by then: (solution, g) into ``material_g`` grams as first made.

    A trial sample and the batch share one list of readings: it is the same material. ``water_parts`` of water
    to one of product were stirred into what the probe stands in, 0 for a plain sample. ``sd_ph`` is how far a reading
    is off, as a standard deviation.
    """

    ph: float
    material_g: float
    added: tuple[tuple[Solution, float], ...] = ()
    water_parts: float = 0.0
    sd_ph: float = METER_SD_PH

    @property
    def water_kg_kg(self) -> float:
        """Kilograms of solution and of diluting water per kilogram of material."""
        return self.water_parts + (1.0 + self.water_parts) * sum(g for _, g in self.added) / self.material_g

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


def has_moved(before: PhReading, now: PhReading) -> bool:
    """Whether two readings differ by more than readings of the same do."""
    return abs(now.ph - before.ph) > MOVED_SD * math.hypot(before.sd_ph, now.sd_ph)


def unanswered_g(readings: Sequence[PhReading]) -> float:
    """Grams that went in since the pH of a batch moved last; 0 where it answered to the latest, or nothing went in."""
    now, since_g = readings[-1], 0.0
    for then in reversed(readings[:-1]):
        if has_moved(then, now):
            break
        since_g = sum(g for _, g in now.added) - sum(g for _, g in then.added)
    return max(since_g, 0.0)


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
    """What a batch may consist of: the sites, and what the formula states, of that each at a few shifts of pKa.

    A place (0..1) says where a part stands in the beliefs beforehand; charge is linear in the amounts, one for
    each column: every site, then every shift of everything stated, of which one at a time holds anything.
    """

    def __init__(self, stated: Sequence[Stated] = ()) -> None:
        self.empty_share = EMPTY_SHARE_STATED if stated else EMPTY_SHARE
        self.ranges = [(math.log(s.low_mol_kg * 0.9), math.log(s.high_mol_kg * 1.1)) for s in stated]
        self.shifted = [s.what.shifted(by) for s in stated for by in PKA_SHIFTS]
        self.count = len(SITES) + len(stated)

    def lost(self, ph: float) -> list[float]:
        """Protons given away at a pH, per molecule, column by column."""
        sites = [1.0 / (1.0 + math.exp(LN10 * (pka - ph))) for pka in SITES]
        return sites + [t.top_charge - t.charge(ph) for t in self.shifted]

    def buffering(self, ph: float) -> list[float]:
        """Buffer value per mol, column by column."""
        sites = [LN10 * a * (1.0 - a) for a in self.lost(ph)[: len(SITES)]]
        return sites + [t.buffering(ph) for t in self.shifted]

    def at(self, part: int, place: float) -> tuple[int, float]:
        """Column and mol/kg of a part at a place."""
        if part >= len(SITES):
            shift, place = divmod(place * len(PKA_SHIFTS), 1.0)
            low, high = self.ranges[part - len(SITES)]
            column = len(SITES) + (part - len(SITES)) * len(PKA_SHIFTS) + min(int(shift), len(PKA_SHIFTS) - 1)
            return column, math.exp(low + (high - low) * place)
        if place < self.empty_share:
            return part, math.exp(LN_FAINT + (LN_LITTLE - LN_FAINT) * place / self.empty_share)
        place = (place - self.empty_share) / (1.0 - self.empty_share)
        return part, math.exp(LN_LITTLE + (LN_MUCH - LN_LITTLE) * place)

    def amounts(self, held: Sequence[tuple[int, float]]) -> list[float]:
        """mol/kg of every column from what the parts hold."""
        amounts = [0.0] * (len(SITES) + len(self.shifted))
        for column, amount in held:
            amounts[column] = amount
        return amounts
