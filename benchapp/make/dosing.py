"""What a make knows of its batch's pH, put to the sums: the next addition, and why there is none."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from benchapp import events as ev
from benchapp.calculations.ph_chemistry import Solution, solution_of
from benchapp.calculations.ph_dose import Suggestion, next_addition
from benchapp.calculations.ph_formula import stated_by
from benchapp.calculations.ph_parts import PhReading, Stated, reading_sd_ph, unanswered_g
from benchapp.calculations.ph_trial import answered, next_trial_addition
from benchapp.foundation.band import Band
from benchapp.foundation.language import tr
from benchapp.make.acts.base import Context
from benchapp.make.law import lines_of
from procedures.formula import FormulaLine


def solution_in(line: FormulaLine) -> Solution | None:
    """The acid or base a line's material is a solution of; None where it is not exactly one that is known."""
    return solution_of((s.inci, s.low_percent, s.high_percent) for s in line.material.composition)


@dataclass(frozen=True)
class AtHand:
    """What can be dosed: a line as it is bought, or ``dilution``, which holds the share ``share`` of it. ``solution`` is
    None where nobody has constants for it. ``cap_left_g`` grams may still go in."""

    line: FormulaLine
    solution: Solution | None
    cap_left_g: float
    dilution: str = ""
    share: float = 1.0

    @property
    def name(self) -> str:
        """What the maker picks up."""
        if not self.dilution or self.solution is None:
            return self.line.name
        return tr(
            "the dilution {dilution} ({percent:.2g} %)", dilution=self.dilution, percent=self.solution.percent
        )


class Dose(NamedTuple):
    """So many grams of what is at hand; more than ``most_g`` would be a risk."""

    of: AtHand
    grams: float
    most_g: float = math.inf


@dataclass(frozen=True)
class Dosing:
    """What is to be dosed: the batch in ``vessel`` towards ``band`` with what is ``at_hand``.

    ``least_g`` is the least the scale weighs well enough, ``trial_g`` the mass of a trial sample, both in grams;
    ``lines`` whatever may have gone in so far, the other way too.
    """

    step: str
    vessel: str
    band: Band
    at_hand: tuple[AtHand, ...]
    water_parts: float
    least_g: float
    trial_g: float
    lines: tuple[FormulaLine, ...]

    @property
    def dosed(self) -> dict[str, Solution]:
        """Of ``lines``, those that are known solutions: too much of the one still acts when the other follows."""
        return {line.key: s for line in self.lines if (s := solution_in(line)) is not None}

    @property
    def known(self) -> dict[str, Solution]:
        """The lines that are known solutions, as they are bought."""
        lines = {x.line.key: x.line for x in self.at_hand}
        return {key: s for key, line in lines.items() if (s := solution_in(line)) is not None}

    @property
    def usable(self) -> tuple[tuple[Solution, float], ...]:
        """Every known solution of which enough may go in to be weighed, and how much."""
        return tuple(
            (x.solution, x.cap_left_g)
            for x in self.at_hand
            if x.solution is not None and (not x.dilution or x.cap_left_g >= self.least_g)
        )


def suggestion(context: Context, dosing: Dosing) -> Suggestion | None:
    """The next addition to the batch; None before a reading or where no line is a known solution."""
    history, known = _history(context, dosing), dosing.known
    if not known or not history:
        return None
    stated = stated_by(lines_of(context.plan.procedure))
    band = (dosing.band.low, dosing.band.high)
    tried = () if trial_unanswered(context, dosing) else _tried(context, dosing)
    solutions, caps_g = zip(*dosing.usable, strict=True)
    return next_addition(history, band, solutions, dosing.least_g, caps_g, stated, tried)


def trial_unanswered(context: Context, dosing: Dosing) -> tuple[float, float] | None:
    """Of a trial sample that was read and did not answer: its pH, and the grams that are said to be in it. It is not
    reckoned with. None where there is no such sample."""
    trial, history = _tried(context, dosing), _history(context, dosing)
    if not trial or not history or answered(trial, history[0]):
        return None
    return trial[-1].ph, sum(grams for _, grams in trial[-1].added)


def batch_unanswered_g(context: Context, dosing: Dosing) -> float:
    """Grams that went into the batch since its pH moved last; 0 where it answered."""
    history = _history(context, dosing)
    return unanswered_g(history) if history else 0.0


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
    known = dosing.dosed
    readings = [e for e in context.state.phs if e.step == dosing.step]
    doses = sorted((w for key in known for w in context.state.weights.get(key, ())), key=lambda w: w.at_s)
    # Samples take a little of everything; a whole number of grams keeps one question one question.
    added_g = sum(w.diluted_g or w.net_g for w in doses)
    material_g = round(context.state.ledger.of(dosing.vessel).content_g - added_g)
    if material_g <= 0:
        return ()
    return tuple(
        PhReading(
            e.ph,
            material_g,
            tuple(_as_dosed(known[w.line], w) for w in doses if w.at_s <= e.at_s),
            dosing.water_parts,
            reading_sd_ph(e.step_ph),
        )
        for e in readings
    )


def _as_dosed(solution: Solution, dose: ev.WeightTaken) -> tuple[Solution, float]:
    """What really went in: the line itself, or grams of a dilution of it."""
    if not dose.diluted_g:
        return solution, dose.net_g
    share = dose.net_g / dose.diluted_g
    return Solution(solution.titrant, solution.percent * share), dose.diluted_g


def _tried(context: Context, dosing: Dosing) -> tuple[PhReading, ...]:
    """The trial sample's readings, each with what had been added to it by then."""
    known = dosing.dosed
    out: list[PhReading] = []
    added: list[tuple[Solution, float]] = []
    for event in context.state.trial:
        if isinstance(event, ev.TrialDosed):
            if event.line in known:
                added.append((known[event.line], event.mass_g))
        elif event.step == dosing.step:
            sd_ph = reading_sd_ph(event.step_ph)
            out.append(PhReading(event.ph, dosing.trial_g, tuple(added), dosing.water_parts, sd_ph))
    return tuple(out)
