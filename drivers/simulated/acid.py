"""pH from the charge balance of everything dissolved.

Dissociation constants are those at 25 °C; the ion product of water follows its temperature.
"""

from __future__ import annotations

from collections.abc import Mapping

from drivers.simulated.materials import Acid


def water_pk(temp_c: float) -> float:
    """pKw of water: a quadratic through 14.94, 13.995 and 13.02 at 0, 25 and 60 °C (from memory)."""
    return 14.94 - 0.04192 * temp_c + 0.0001648 * temp_c * temp_c


def mean_charge(acid: Acid, hydrogen: float) -> float:
    """Mean charge of one molecule of ``acid`` at a hydrogen ion concentration in mol/l."""
    weight, total, charge = 1.0, 1.0, float(acid.top_charge)
    for lost, pka in enumerate(acid.pka, start=1):
        weight *= 10.0**-pka / hydrogen
        total += weight
        charge += weight * (acid.top_charge - lost)
    return charge / total


def ph_of(acids: Mapping[Acid, float], strong: float, temp_c: float = 25.0) -> float:
    """pH of an ideal solution of ``acids`` and a net ``strong`` charge (sodium plus, chloride minus), mol/l.

    The charge balance falls as pH rises, so bisection finds its only root. Activity coefficients are one.
    """
    ion_product = 10.0 ** -water_pk(temp_c)
    low, high = -1.0, 15.0
    for _ in range(44):
        ph = 0.5 * (low + high)
        hydrogen = 10.0**-ph
        charge = strong + hydrogen - ion_product / hydrogen
        for acid, amount in acids.items():
            charge += amount * mean_charge(acid, hydrogen)
        if charge > 0.0:
            low = ph
        else:
            high = ph
    return 0.5 * (low + high)
