"""How much acid or base to add next, from this batch's own response, never past the far edge of its band."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchapp.calculations.ph_batch import Batch, Parts, Reading, Stated, plausible_batches
from benchapp.calculations.ph_chemistry import Solution, water_charge

#: Chance, at the first addition, that it carries the batch past the far edge.
FIRST_RISK = 0.0025
#: Later: so much of the smallest amount that carries any of the plausible batches there; the larger share
#: where they agree with each other.
LATER_SHARE, AGREED_SHARE = 0.8, 0.92
#: A reading this far inside the edge will still read inside (two standard deviations of a reading).
INSIDE_PH = 0.06
#: Amounts tried between the smallest useful and the largest safe one.
TRIED = 40
#: A trial sample ends after so many additions.
TRIAL_ADDITIONS = 6


@dataclass(frozen=True)
class Suggestion:
    """The next addition. ``mass_g`` is 0 where ``hindrance`` says why there is none.

    ``in_band`` is the chance (0..1) that the batch then reads within its band; ``ph_low`` to ``ph_high`` is
    where it will read with 80 % probability.
    """

    solution: Solution | None
    mass_g: float
    in_band: float = 0.0
    ph_low: float = math.nan
    ph_expected: float = math.nan
    ph_high: float = math.nan
    hindrance: str = ""


def next_addition(
    readings: Sequence[Reading],
    band: tuple[float, float],
    solutions: Sequence[Solution],
    least_g: float,
    cap_left_g: float,
    stated: Sequence[Stated] = (),
    trial: Sequence[Reading] = (),
) -> Suggestion:
    """What to add next so that the batch comes into ``band`` soon and never past its far edge.

    ``readings`` of the batch in order, ``trial`` those of a sample taken from it before any addition.
    ``solutions`` at hand; the strongest is chosen that needs at least ``least_g`` grams, the least the scale
    weighs well. ``cap_left_g`` grams may still be added. ``stated`` is what the formula says is dissolved.
    Raises ValueError without a reading or with a band upside down.
    """
    low, high = band
    if not low < high:
        raise ValueError(f"the pH band {low:g} to {high:g} is upside down; write the smaller limit first")
    evidence = [*readings[:1], *trial, *readings[1:]]
    batches = plausible_batches(evidence, stated)
    now = readings[-1]
    if low <= now.ph <= high:
        return Suggestion(None, 0.0, 1.0, hindrance="the pH is in its band")
    lowering = now.ph > high
    edges = (
        (high - INSIDE_PH, low + INSIDE_PH, low) if lowering else (low + INSIDE_PH, high - INSIDE_PH, high)
    )
    fitting = sorted((s for s in solutions if s.lowers == lowering), key=lambda s: -s.percent)
    if not fitting:
        return Suggestion(
            None, 0.0, hindrance=f"no solution at hand {'lowers' if lowering else 'raises'} the pH"
        )
    parts = Parts(stated)
    chosen, mass_g, safe_g = fitting[-1], 0.0, 0.0
    for chosen in fitting:
        near, inner, far = (needed_g(parts, batches, now, chosen, edge) for edge in edges)
        safe_g = _safe_g(far, first=len(evidence) == 1)
        mass_g = _best_g(near, inner, safe_g)
        if mass_g >= least_g:
            break
    if safe_g < least_g:
        weaker = chosen.percent * safe_g / least_g
        why = f"{least_g:g} g of the {chosen.percent:g} % solution could carry it past the band; dilute to {weaker:.2g} %"
        return Suggestion(chosen, 0.0, hindrance=why)
    if cap_left_g < least_g:
        return Suggestion(chosen, 0.0, hindrance="the method allows no more to be added")
    mass_g = min(max(mass_g, least_g), cap_left_g)
    hit = sum(1 for a, b in zip(near, inner, strict=True) if a <= mass_g <= b) / len(near)
    return Suggestion(chosen, mass_g, hit, *_forecast(parts, batches, now, chosen, mass_g))


def next_trial_addition(
    start: Reading,
    trial: Sequence[Reading],
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
    now = trial[-1] if trial else Reading(start.ph, sample_g)
    beyond = now.ph <= low if lowering else now.ph >= high
    if beyond or len(trial) >= TRIAL_ADDITIONS:
        return Suggestion(None, 0.0, hindrance="the trial is complete")
    fitting = sorted((s for s in solutions if s.lowers == lowering), key=lambda s: -s.percent)
    if not fitting:
        return Suggestion(
            None, 0.0, hindrance=f"no solution at hand {'lowers' if lowering else 'raises'} the pH"
        )
    batches, parts = plausible_batches([start, *trial], stated), Parts(stated)
    aim = _trial_aim(now.ph, low, high, lowering)
    for chosen in fitting:
        amounts = sorted(needed_g(parts, batches, now, chosen, aim))
        mass_g = amounts[len(amounts) * 2 // 5]
        if mass_g >= least_g:
            break
    mass_g = max(mass_g, least_g)
    return Suggestion(chosen, mass_g, 0.0, *_forecast(parts, batches, now, chosen, mass_g))


def _trial_aim(ph: float, low: float, high: float, lowering: bool) -> float:
    stops = (high, (low + high) / 2, low - 0.1) if lowering else (low, (low + high) / 2, high + 0.1)
    off = abs(ph - stops[0])
    if off > 0.6 and not low <= ph <= high:
        return (ph + stops[1]) / 2
    return next((x for x in stops if (ph - x if lowering else x - ph) > 0.08), stops[-1])


def needed_g(
    parts: Parts, batches: Sequence[Batch], now: Reading, solution: Solution, ph: float
) -> list[float]:
    """Grams of ``solution`` that would bring each of the batches to ``ph``, from the charge balance.

    Infinite where the solution cannot reach that pH.
    """
    lost = parts.lost(ph)
    per_kg = solution.mol_kg * solution.titrant.charge(ph) + water_charge(ph)
    if (per_kg < 0.0) != solution.lowers:
        return [math.inf] * len(batches)
    known = now.known_charge(ph)
    return [
        now.material_g * (b.fixed_charge - known + sum(map(float.__mul__, b.amounts, lost))) / per_kg
        for b in batches
    ]


def _safe_g(far_g: Sequence[float], *, first: bool) -> float:
    """The amount that stays short of the far edge with the chance we allow ourselves."""
    ordered = sorted(far_g)
    if first:
        return max(ordered[int(FIRST_RISK * len(ordered))], 0.0)
    agreement = ordered[0] / ordered[len(ordered) // 2] if ordered[0] > 0.0 else 0.0
    return max(min(max(agreement, LATER_SHARE), AGREED_SHARE) * ordered[0], 0.0)


def _best_g(near_g: Sequence[float], inner_g: Sequence[float], safe_g: float) -> float:
    """The amount up to ``safe_g`` with the best chance of landing inside; the middle of those as good."""
    if safe_g <= 0.0:
        return 0.0
    least = max(min(sorted(near_g)[len(near_g) // 20], safe_g), safe_g / 50.0)
    tried = [least * (safe_g / least) ** (i / TRIED) for i in range(TRIED + 1)]
    pairs = list(zip(near_g, inner_g, strict=True))
    hits = [sum(1 for a, b in pairs if a <= mass_g <= b) / len(pairs) for mass_g in tried]
    if max(hits) <= 0.5:
        return safe_g
    good = [mass_g for hit, mass_g in zip(hits, tried, strict=True) if hit >= max(hits) - 0.01]
    return math.sqrt(good[0] * good[-1])


def _forecast(
    parts: Parts, batches: Sequence[Batch], now: Reading, solution: Solution, mass_g: float
) -> tuple[float, float, float]:
    """Tenth, fiftieth and ninetieth percentile of the pH after the addition, from a part of the batches."""
    then = Reading(now.ph, now.material_g, (*now.added, (solution, mass_g)))
    some = batches[:: max(len(batches) // 40, 1)]
    found = []
    grid = [i / 20 for i in range(40, 241)]
    curve = [(ph, then.known_charge(ph), parts.lost(ph)) for ph in grid]
    for b in some:
        low, high = 0, len(grid) - 1
        while high - low > 1:
            middle = (low + high) // 2
            _, known, lost = curve[middle]
            if known - sum(map(float.__mul__, b.amounts, lost)) > b.fixed_charge:
                low = middle
            else:
                high = middle
        found.append(_between(curve[low], curve[high], b))
    found.sort()
    return found[len(found) // 10], found[len(found) // 2], found[len(found) * 9 // 10]


def _between(
    left: tuple[float, float, list[float]], right: tuple[float, float, list[float]], b: Batch
) -> float:
    """pH between two grid points where the charge balances, by a straight line."""
    q0, q1 = (
        known - sum(map(float.__mul__, b.amounts, lost)) - b.fixed_charge for _, known, lost in (left, right)
    )
    return left[0] + (right[0] - left[0]) * q0 / (q0 - q1) if q0 > q1 else left[0]
