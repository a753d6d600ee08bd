"""What a pH solution that is too strong for its scale is diluted to: into the formula's own water."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.calculations.ph_dose import Suggestion
from benchapp.calculations.ph_formula import dilution_g
from benchapp.make.acts.dilution import DilutionPlan, part_target
from benchapp.make.dosing import AtHand, solution_in
from procedures.formula import FormulaLine

#: Grams of a weaker solution that are worth making at once, and the most (common practice, no source).
MAKE_G, MAKE_MOST_G = 50.0, 200.0
#: The solution in it should be at least so many divisions of its scale: a tenth off at worst.
SOLUTION_DIVISIONS = 10.0


def ph_dilution(
    found: Suggestion | None, at_hand: Sequence[AtHand], water: FormulaLine | None, division_g: float
) -> DilutionPlan | None:
    """What would do where every solution at hand is too strong for its scale; None where it need not, or cannot, be made."""
    if found is None or not found.dilute_to_percent or found.solution is None or water is None:
        return None
    line = next(x.line for x in at_hand if x.solution == found.solution)
    bought = solution_in(line)
    if bought is None or not found.dilute_to_percent < bought.percent:
        return None
    weighable = SOLUTION_DIVISIONS * division_g * bought.percent / found.dilute_to_percent
    grams = dilution_g(bought, found.dilute_to_percent, min(max(MAKE_G, weighable), MAKE_MOST_G))
    part, carrier = (part_target(g, division_g) for g in grams)
    return DilutionPlan(line, found.dilute_to_percent, part, water, carrier, (water, line))
