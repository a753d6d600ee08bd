"""What a make knows of its batch's pH, put to the sums: the next addition, and why there is none."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.calculations.ph_chemistry import Solution, solution_of
from benchapp.calculations.ph_dose import Suggestion, next_addition
from benchapp.calculations.ph_formula import stated_by
from benchapp.calculations.ph_parts import Reading
from benchapp.make.acts.base import Sight
from benchapp.make.law import lines_of
from procedures.model import Band, FormulaLine


def solution_in(line: FormulaLine) -> Solution | None:
    """The acid or base a line's material is a solution of; None where it is not exactly one that is known."""
    return solution_of((s.inci, s.low_percent, s.high_percent) for s in line.material.composition)


def suggestion(
    sight: Sight,
    step: str,
    vessel: str,
    band: Band,
    lines: tuple[FormulaLine, ...],
    water_parts: float,
    least_g: float,
    cap_left_g: float,
) -> Suggestion | None:
    """The next addition for the batch in ``vessel``; None before a reading or where no line is a known solution.

    ``least_g`` is the least the scale weighs well enough, ``cap_left_g`` what the method still allows, in grams.
    """
    known = {x.key: s for x in lines if (s := solution_in(x)) is not None}
    readings = [e for e in sight.state.phs if e.step == step]
    if not known or not readings:
        return None
    doses = sorted((w for key in known for w in sight.state.weights.get(key, ())), key=lambda w: w.at_s)
    # Samples take a little of everything; a whole number of grams keeps one question one question.
    material_g = round(sight.state.ledger.of(vessel).content_g - sum(w.net_g for w in doses))
    if material_g <= 0:
        return None
    history = [_reading(e, doses, known, material_g, water_parts) for e in readings]
    stated = stated_by(lines_of(sight.plan.procedure))
    return next_addition(history, (band.low, band.high), tuple(known.values()), least_g, cap_left_g, stated)


def _reading(
    taken: ev.PhTaken,
    doses: list[ev.WeightTaken],
    known: dict[str, Solution],
    material_g: float,
    water_parts: float,
) -> Reading:
    added = tuple((known[w.line], w.net_g) for w in doses if w.at_s <= taken.at_s)
    return Reading(taken.ph, material_g, added, water_parts)
