"""Random water phases for the pH comparison: mixed weak acids and bases, solved by their charge balance.

Written apart from the estimator and sharing nothing with it: this file knows moles and charge, the estimator
only readings and grams. Every figure drawn from it is simulated.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass, field

PKW = 13.995


@dataclass(frozen=True)
class Solute:
    """A weak acid or base: stepwise pKa at 25 °C and the charge of its most protonated form."""

    name: str
    pka: tuple[float, ...]
    top: int = 0

    def charge(self, ph: float) -> float:
        """Mean charge at a pH, from the fractions of all its forms."""
        forms = [1.0]
        for pka in self.pka:
            forms.append(forms[-1] * 10.0 ** (ph - pka))
        whole = sum(forms)
        return sum((self.top - lost) * share for lost, share in enumerate(forms)) / whole


#: What is found dissolved in lotions, gels and conditioners; constants from memory, good to about 0.1.
SHELF = (
    Solute("citric acid", (3.13, 4.76, 6.40)), Solute("lactic acid", (3.857,)), Solute("benzoic", (4.20,)),
    Solute("sorbic", (4.76,)), Solute("dehydroacetic", (5.27,)), Solute("gluconic", (3.70,)),
    Solute("levulinic", (4.64,)), Solute("anisic", (4.47,)), Solute("salicylic", (2.97,)),
    Solute("phosphoric", (2.15, 7.20, 12.35)), Solute("carbonic", (6.35, 10.33)), Solute("edta", (2.0, 2.67, 6.16, 10.26)),
    Solute("pyrrolidone carboxylic", (3.32,)), Solute("acrylic polymer", (4.5, 6.0)), Solute("fatty, in emulsion", (5.5,)),
    Solute("niacinamide", (3.35,), 1), Solute("glycine", (2.35, 9.78), 1), Solute("arginine", (1.82, 8.99, 12.5), 2),
    Solute("histidine", (1.8, 6.0, 9.2), 1), Solute("triethanolamine", (7.76,), 1), Solute("ammonia", (9.25,), 1),
    Solute("tromethamine", (8.07,), 1), Solute("boric", (9.24,)), Solute("amidoamine", (8.2,), 1),
)  # fmt: skip
CITRIC, LACTIC = SHELF[0], SHELF[1]
SODA = Solute("sodium hydroxide", (), 1)
ARGININE = SHELF[17]


@dataclass
class Phase:
    """One batch: mol per kg of batch as it stood at first, and what was added since, mol per kg of that."""

    batch_g: float
    solutes: list[tuple[Solute, float]]
    strong: float
    added: dict[str, tuple[Solute, float]] = field(default_factory=dict)
    water_kg: float = 0.0  # added per kg, with the solutions

    def charge(self, ph: float) -> float:
        """Net charge in mol per kg of the first batch; zero at the true pH."""
        total = self.strong + (1.0 + self.water_kg) * (10.0**-ph - 10.0 ** (ph - PKW))
        for solute, amount in self.solutes:
            total += amount * solute.charge(ph)
        for solute, amount in self.added.values():
            total += amount * solute.charge(ph)
        return total

    def ph(self) -> float:
        """The true pH, by regula falsi with bisection where it lags."""
        low, high = 0.0, 14.0
        for _ in range(40):
            middle = 0.5 * (low + high)
            if self.charge(middle) > 0.0:
                low = middle
            else:
                high = middle
        return 0.5 * (low + high)

    def add(self, solute: Solute, mol_kg: float, mass_g: float) -> None:
        """Stir in ``mass_g`` of a solution that holds ``mol_kg`` mol per kg of solution."""
        had = self.added.get(solute.name, (solute, 0.0))[1]
        self.added[solute.name] = (solute, had + mol_kg * mass_g / self.batch_g)
        self.water_kg += mass_g / self.batch_g

    def sample(self, mass_g: float) -> Phase:
        """A part of it, to be titrated by itself."""
        return Phase(mass_g, self.solutes, self.strong, dict(self.added), self.water_kg)


@dataclass(frozen=True)
class Task:
    """A phase, the band it has to come to and what may be added."""

    phase: Phase
    low: float
    high: float
    titrant: Solute


def random_task(rng: random.Random) -> Task:
    """Two to five solutes at 1 to 50 mmol/kg each, a fifth of them of unnamed pKa; a pH 0.3 to 3 off its band."""
    while True:
        solutes: list[tuple[Solute, float]] = []
        for _ in range(rng.randint(2, 5)):
            solute = rng.choice(SHELF)
            if rng.random() < 0.2:
                solute = Solute("unnamed", (rng.uniform(2.5, 10.5),), rng.choice((0, 1)))
            solutes.append((solute, 10.0 ** rng.uniform(-3.0, math.log10(0.05))))
        centre, width = rng.uniform(4.2, 6.5), rng.uniform(0.5, 1.0)
        low, high = centre - width / 2, centre + width / 2
        lower = rng.random() < 0.7
        start = high + rng.uniform(0.3, 3.0) if lower else low - rng.uniform(0.3, 3.0)
        if not 2.6 <= start <= 10.0:
            continue
        titrant = rng.choice((CITRIC, LACTIC)) if lower else rng.choice((SODA, ARGININE))
        phase = Phase(rng.choice((200.0, 300.0, 500.0, 800.0, 1000.0, 2000.0)), solutes, 0.0)
        phase.strong = -phase.charge(start)
        return Task(phase, low, high, titrant)
