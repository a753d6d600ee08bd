"""Charge balance against the library pHcalc: pure solutions, titrants, and the random phases of the comparison.

pHcalc 0.2.0 calls np.cumproduct, which NumPy 2 no longer has; the fixture gives it back.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from benchapp.calculations.ph_chemistry import TITRANTS, Solution
from benchapp.calculations.ph_parts import PhReading

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from water_phases import SODA, Phase, Solute, random_task

Solver = Callable[[list[tuple[tuple[float, ...], int, float]], float], float]


@pytest.fixture
def phcalc(monkeypatch: pytest.MonkeyPatch) -> Solver:
    """pH of (pKa, top charge, mol/kg) solutes and a net strong charge, as pHcalc finds it."""
    monkeypatch.setattr(np, "cumproduct", np.cumprod, raising=False)
    from pHcalc import Acid, Inert, System

    def solve(solutes: list[tuple[tuple[float, ...], int, float]], strong: float) -> float:
        parts: list[Any] = [Acid(pKa=list(pka), charge=top, conc=conc) for pka, top, conc in solutes if pka]
        if strong:
            parts.append(Inert(charge=1 if strong > 0 else -1, conc=abs(strong)))
        system = System(*parts)
        system.pHsolve(guess_est=True)
        return float(system.pH)

    return solve


# Ideal solutions (pHcalc, SciPy): citric 0.1 M 2.08, 0.01 M 2.62; lactic 0.1 M 2.44.
@pytest.mark.parametrize(("acid", "molar", "ph"), [("citric acid", 0.1, 2.08), ("citric acid", 0.01, 2.62), ("lactic acid", 0.1, 2.44)])  # fmt: skip
def test_pure_solutions(acid: str, molar: float, ph: float, phcalc: Solver) -> None:
    titrant = TITRANTS[acid]
    ours = Phase(1000.0, [(Solute(acid, titrant.pka, titrant.top_charge), molar)], 0.0).ph()
    assert ours == pytest.approx(ph, abs=0.005)
    assert ours == pytest.approx(phcalc([(titrant.pka, titrant.top_charge, molar)], 0.0), abs=0.01)


@pytest.mark.parametrize("seed", range(25))
def test_the_random_phases(seed: int, phcalc: Solver) -> None:
    phase = random_task(random.Random(seed)).phase
    theirs = phcalc([(s.pka, s.top, c) for s, c in phase.solutes], phase.strong)
    assert phase.ph() == pytest.approx(theirs, abs=0.01)


@pytest.mark.parametrize("seed", range(10))
def test_the_charge_of_additions(seed: int, phcalc: Solver) -> None:
    """What the estimator reckons with for a titrant is what pHcalc's charge balance makes of it."""
    rng = random.Random(seed)
    name = rng.choice(["citric acid", "lactic acid", "arginine", "triethanolamine"])
    titrant, strong = TITRANTS[name], rng.uniform(-0.02, 0.04)
    solution = Solution(titrant, 10.0)
    mass_g = rng.uniform(10.0, 40.0)
    moles = solution.mol_kg * mass_g / 1000.0 / (1.0 + mass_g / 1000.0)
    theirs = phcalc([(titrant.pka, titrant.top_charge, moles)], strong / (1.0 + mass_g / 1000.0))
    slope = PhReading(7.0, 1000.0, ((solution, mass_g),)).known_buffering(theirs)
    assert PhReading(7.0, 1000.0, ((solution, mass_g),)).known_charge(theirs) == pytest.approx(
        -strong, abs=0.01 * slope
    )


def test_soda_is_a_bare_charge() -> None:
    assert SODA.charge(3.0) == SODA.charge(12.0) == TITRANTS["sodium hydroxide"].charge(5.0) == 1
