"""The acidity of a batch, by charges: what is in it, what is dripped in, and the pH that follows.

Constants at 25 °C from the common tables of handbooks, from memory: citric acid 3.13, 4.76, 6.40; lactic acid 3.86;
arginine 9.0; water 14.0. What buffers the batch itself is invented. No activities: a real batch is off by a tenth or two.
"""

from __future__ import annotations

from dataclasses import dataclass, field

WATER_PK = 14.0


@dataclass(frozen=True)
class Solute:
    """What one gram of a solution brings: millimoles, the pK of each proton it can give, and the charge it has with all
    of them on."""

    mmol_g: float
    pks: tuple[float, ...] = ()
    charge: int = 0

    def charge_at(self, ph: float) -> float:
        """The mean charge of one molecule: each proton given off by its own share."""
        weights, given = [1.0], 0.0
        for pk in self.pks:
            given += ph - pk
            weights.append(10.0**given)
        protons = sum(n * w for n, w in enumerate(weights)) / sum(weights)
        return self.charge - protons


def solution(inci: str, percent: float) -> Solute:
    """A solution of one of the acids and bases of a bench, by mass percent."""
    molar, pks, charge = {
        "Citric Acid": (192.12, (3.13, 4.76, 6.40), 0),
        "Lactic Acid": (90.08, (3.86,), 0),
        "Sodium Hydroxide": (40.00, (), 1),  # a sodium ion; the hydroxide is water's own
        "Arginine": (174.20, (9.0,), 1),
    }[inci]
    return Solute(10.0 * percent / molar, pks, charge)


#: Invented: what a lotion holds of weak acids of its own, in millimoles a gram.
OWN = (Solute(0.010, (4.2,)), Solute(0.006, (6.1,)))


@dataclass
class Acidity:
    """A batch of ``mass_g`` grams that begins at ``ph``."""

    mass_g: float
    ph_at_first: float
    mmol: dict[Solute, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.mmol = {one: one.mmol_g * self.mass_g for one in OWN}
        self._ions = 0.0
        self._ions = -self._charge(self.ph_at_first, self.mass_g)  # salts enough for this pH

    def add(self, what: Solute, grams: float) -> None:
        """Drip so much of a solution in."""
        self.mmol[what] = self.mmol.get(what, 0.0) + what.mmol_g * grams
        self.mass_g += grams

    def ph(self, water_parts: float = 0.0) -> float:
        """The pH of a sample, in so many parts of water to one of batch, by halving."""
        low, high = 0.0, 14.0
        while high - low > 1e-6:
            middle = (low + high) / 2
            charge = self._charge(middle, self.mass_g * (1.0 + water_parts)) + self._ions
            low, high = (middle, high) if charge > 0 else (low, middle)
        return (low + high) / 2

    def _charge(self, ph: float, whole_g: float) -> float:
        """Millimoles of charge at that pH; falls with the pH."""
        water = (10.0**-ph - 10.0 ** (ph - WATER_PK)) * whole_g
        return water + sum(n * one.charge_at(ph) for one, n in self.mmol.items())
