"""How far a weight may be from its target, in percent of it. Common practice, no source."""

from __future__ import annotations

from .model import FormulaLine, Role

#: What decides safety, smell or thickness in small shares is held closer than what fills the pot.
BY_ROLE: dict[Role, float] = {
    "water": 1.0,
    "humectant": 2.0,
    "oil": 2.0,
    "butter": 2.0,
    "wax": 2.0,
    "emulsifier": 2.0,
    "conditioner": 2.0,
    "thickener": 2.0,
    "gum": 2.0,
    "preservative": 2.0,
    "active": 2.0,
    "antioxidant": 5.0,
    "chelator": 5.0,
    "fragrance": 2.0,
    "acid": 2.0,
    "base": 2.0,
    "colour": 2.0,
    "other": 2.0,
}


def tolerance_percent(line: FormulaLine) -> float:
    """The line's own tolerance where the file gives one, else its role's; percent of the target weight."""
    return line.tolerance_percent if line.tolerance_percent is not None else BY_ROLE[line.material.role]


def smallest_weighing_g(line: FormulaLine, readability_g: float) -> float:
    """The least weight of a line that a scale of this readability shows within the line's tolerance.

    USP <41>: twice the standard deviation, taken as at least 0.41 of the readability, may be no more of the
    weight than the tolerance. At 1 % that is 82 times the readability.
    """
    return 2 * 0.41 * readability_g / (tolerance_percent(line) / 100.0)
