"""What a make knows of its batch's pH, put to the sums: the next addition, and why there is none."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from benchapp import events as ev
from benchapp.calculations.ph_chemistry import Solution, solution_of
from benchapp.calculations.ph_dose import Suggestion, next_addition
from benchapp.calculations.ph_formula import stated_by
from benchapp.calculations.ph_parts import PhReading, Stated
from benchapp.calculations.ph_trial import next_trial_addition
from benchapp.foundation.band import Band
from benchapp.make.acts.base import Context
from benchapp.make.law import lines_of
from procedures.formula import FormulaLine


def solution_in(line: FormulaLine) -> Solution | None:
    """The acid or base a line's material is a solution of; None where it is not exactly one that is known."""
    return solution_of((s.inci, s.low_percent, s.high_percent) for s in line.material.composition)


@dataclass(frozen=True)
class Dosing:
    """What is to be dosed: the batch in ``vessel`` towards ``band`` with ``lines``.

    ``least_g`` is the least the scale weighs well enough, ``cap_left_g`` what the method still allows,
    ``trial_g`` the mass of a trial sample, all in grams.
    """

    step: str
    vessel: str
    band: Band
    lines: tuple[FormulaLine, ...]
    water_parts: float
    least_g: float
    cap_left_g: float
    trial_g: float

    @property
    def known(self) -> dict[str, Solution]:
        """The lines that are known solutions."""
        return {x.key: s for x in self.lines if (s := solution_in(x)) is not None}


def suggestion(context: Context, dosing: Dosing) -> Suggestion | None:
    """The next addition to the batch; None before a reading or where no line is a known solution."""
    history, known = _history(context, dosing), dosing.known
    if not known or not history:
        return None
    stated = stated_by(lines_of(context.plan.procedure))
    band = (dosing.band.low, dosing.band.high)
    tried = _tried(context, dosing)
    return next_addition(
        history, band, tuple(known.values()), dosing.least_g, dosing.cap_left_g, stated, tried
    )


def trial_suggestion(context: Context, dosing: Dosing) -> Suggestion | None:
    """The next addition to the trial sample; None before a reading or where no line is a known solution."""
    history, known = _history(context, dosing), dosing.known
    if not known or not history:
        return None
    stated = tuple(stated_by(lines_of(context.plan.procedure)))
    band = (dosing.band.low, dosing.band.high)
    return _trial(
        history[-1],
        _tried(context, dosing),
        band,
        tuple(known.values()),
        dosing.least_g,
        dosing.trial_g,
        stated,
    )


@lru_cache(maxsize=32)
def _trial(
    start: PhReading,
    trial: tuple[PhReading, ...],
    band: tuple[float, float],
    solutions: tuple[Solution, ...],
    least_g: float,
    sample_g: float,
    stated: tuple[Stated, ...],
) -> Suggestion:
    """The same question is answered from memory, so a screen may ask at every tick."""
    return next_trial_addition(start, trial, band, solutions, least_g, sample_g, stated)


def _history(context: Context, dosing: Dosing) -> tuple[PhReading, ...]:
    """The batch's readings in this step, each with what had been added by then."""
    known = dosing.known
    readings = [e for e in context.state.phs if e.step == dosing.step]
    doses = sorted((w for key in known for w in context.state.weights.get(key, ())), key=lambda w: w.at_s)
    # Samples take a little of everything; a whole number of grams keeps one question one question.
    material_g = round(context.state.ledger.of(dosing.vessel).content_g - sum(w.net_g for w in doses))
    if material_g <= 0:
        return ()
    return tuple(
        PhReading(
            e.ph,
            material_g,
            tuple((known[w.line], w.net_g) for w in doses if w.at_s <= e.at_s),
            dosing.water_parts,
        )
        for e in readings
    )


def _tried(context: Context, dosing: Dosing) -> tuple[PhReading, ...]:
    """The trial sample's readings, each with what had been added to it by then."""
    known = dosing.known
    out: list[PhReading] = []
    added: list[tuple[Solution, float]] = []
    for event in context.state.trial:
        if isinstance(event, ev.TrialDosed):
            if event.line in known:
                added.append((known[event.line], event.mass_g))
        elif event.step == dosing.step:
            out.append(PhReading(event.ph, dosing.trial_g, tuple(added), dosing.water_parts))
    return tuple(out)
