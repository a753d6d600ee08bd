"""Charge and pH: what an acid or base of known constants carries at a pH, and the solutions a bench keeps."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from benchapp.foundation.language import tr_noop

LN10 = math.log(10.0)
#: Ion product of water at 25 °C, as pK (CRC Handbook: 13.995).
WATER_PK = 13.995


@dataclass(frozen=True)
class Titrant:
    """An acid or base that adjusts: stepwise pKa at 25 °C, charge when fully protonated, g/mol.

    A strong base has no pKa and charge +1, a strong acid none and charge -1.
    """

    name: str
    pka: tuple[float, ...]
    top_charge: int
    molar_mass_g_mol: float

    def charge(self, ph: float) -> float:
        """Mean charge of one molecule at a pH (law of mass action, activity coefficients one)."""
        weight, total, lost = 1.0, 1.0, 0.0
        for step, pka in enumerate(self.pka, start=1):
            weight *= 10.0 ** (ph - pka)
            total += weight
            lost += step * weight
        return self.top_charge - lost / total

    def shifted(self, by: float) -> Titrant:
        """The same with every pKa ``by`` higher."""
        return replace(self, pka=tuple(pka + by for pka in self.pka))

    def buffering(self, ph: float) -> float:
        """How fast the charge falls with pH, per pH unit: Van Slyke's buffer value of 1 mol."""
        return (self.charge(ph - 0.01) - self.charge(ph + 0.01)) / 0.02


#: By INCI name, lower case. pKa 25 °C: citric, lactic from published tables (docs/sums.md); the rest from
#: memory, good to about 0.1, which the estimate of the batch's own buffering absorbs.
TITRANTS = {
    "citric acid": Titrant(tr_noop("citric acid"), (3.13, 4.76, 6.40), 0, 192.124),
    "lactic acid": Titrant(tr_noop("lactic acid"), (3.857,), 0, 90.078),
    "sodium hydroxide": Titrant(tr_noop("sodium hydroxide"), (), 1, 39.997),
    "potassium hydroxide": Titrant(tr_noop("potassium hydroxide"), (), 1, 56.106),
    "arginine": Titrant("arginine", (1.82, 8.99, 12.5), 2, 174.204),
    "triethanolamine": Titrant("triethanolamine", (7.76,), 1, 149.190),
    "tromethamine": Titrant("tromethamine", (8.07,), 1, 121.136),
    "gluconic acid": Titrant(tr_noop("gluconic acid"), (3.70,), 0, 196.156),
}


@dataclass(frozen=True)
class Solution:
    """A titrant in water, in percent by mass."""

    titrant: Titrant
    percent: float

    @cached_property
    def mol_kg(self) -> float:
        """Moles of titrant in a kilogram of solution."""
        return self.percent * 10.0 / self.titrant.molar_mass_g_mol

    @property
    def lowers(self) -> bool:
        """Whether it brings pH down (it carries negative charge at pH 7)."""
        return self.titrant.charge(7.0) < 0.0


def solution_of(parts: Iterable[tuple[str, float, float]]) -> Solution | None:
    """The solution in a material of (INCI name, low percent, high percent); None without exactly one known acid or base."""
    found = [
        (TITRANTS[n.casefold()], (lo + hi) / 2) for n, lo, hi in parts if n.casefold() in TITRANTS and hi > 0
    ]
    return Solution(*found[0]) if len(found) == 1 else None


def water_charge(ph: float) -> float:
    """Hydrogen less hydroxide ions in mol/kg."""
    return math.exp(-LN10 * ph) - math.exp(LN10 * (ph - WATER_PK))


def water_buffering(ph: float) -> float:
    """Van Slyke's buffer value of water itself, mol/kg per pH unit."""
    return LN10 * (math.exp(-LN10 * ph) + math.exp(LN10 * (ph - WATER_PK)))
