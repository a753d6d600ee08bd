"""A trial sample, titrated before the batch: it shows how the batch will answer, and is destroyed."""

from __future__ import annotations

from collections.abc import Sequence

from benchapp.calculations.ph_batch import plausible_batches
from benchapp.calculations.ph_chemistry import Solution
from benchapp.calculations.ph_dose import Suggestion, fitting_solutions, forecast_ph, needed_g
from benchapp.calculations.ph_parts import Parts, PhReading, Stated, has_moved
from benchapp.foundation.language import tr

#: A trial sample ends after so many additions.
TRIAL_ADDITIONS = 6


def next_trial_addition(
    start: PhReading,
    trial: Sequence[PhReading],
    band: tuple[float, float],
    solutions: Sequence[Solution],
    least_g: float,
    sample_g: float,
    stated: Sequence[Stated] = (),
) -> Suggestion:
    """What to add next to a trial sample of ``sample_g`` grams: it is titrated right through the band.

    Nothing is lost when it goes too far, so the steps are bold: halfway while far off, then near edge, middle,
    far edge. The hindrance says when it has done its work.
    """
    low, high = band
    lowering = start.ph > high
    now = trial[-1] if trial else PhReading(start.ph, sample_g)
    beyond = now.ph <= low if lowering else now.ph >= high
    if beyond or len(trial) >= TRIAL_ADDITIONS:
        return Suggestion(None, 0.0, hindrance=tr("the trial is complete"))
    fitting = fitting_solutions(solutions, lowers=lowering)
    if not fitting:
        return Suggestion(None, 0.0, hindrance=tr("no solution at hand moves the pH that way"))
    batches, parts = plausible_batches([start, *trial], stated), Parts(stated)
    aim = _trial_aim(now.ph, low, high, lowering)
    for chosen in fitting:
        amounts = sorted(needed_g(parts, batches, now, chosen, aim))
        mass_g = amounts[len(amounts) * 2 // 5]
        if mass_g >= least_g:
            break
    mass_g = max(mass_g, least_g)
    return Suggestion(chosen, mass_g, 0.0, *forecast_ph(parts, batches, now, chosen, mass_g))


def answered(trial: Sequence[PhReading], start: PhReading) -> bool:
    """Whether a trial sample has answered to what was put into it: its pH moved from ``start``, the way its additions go, by
    more than two readings may differ. One that has not tells of no batch: a batch that strong, and a sample into which
    nothing was stirred, read alike, and only one of the two is dangerous to believe."""
    if not trial:
        return False
    last = trial[-1]
    lowers = sum(grams if s.lowers else -grams for s, grams in last.added) > 0.0
    moved = start.ph - last.ph if lowers else last.ph - start.ph
    return moved > 0.0 and has_moved(start, last)


def _trial_aim(ph: float, low: float, high: float, lowering: bool) -> float:
    stops = (high, (low + high) / 2, low - 0.1) if lowering else (low, (low + high) / 2, high + 0.1)
    off = abs(ph - stops[0])
    if off > 0.6 and not low <= ph <= high:
        return (ph + stops[1]) / 2
    return next((x for x in stops if (ph - x if lowering else x - ph) > 0.08), stops[-1])
