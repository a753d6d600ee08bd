"""How much acid or base to add next, from this batch's own response, never past the far edge of its band."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from benchapp.calculations.ph_batch import FIRST_DRAWS, plausible_batches
from benchapp.calculations.ph_chemistry import Solution, water_charge
from benchapp.calculations.ph_parts import Batch, Parts, PhReading, Stated, unanswered_g
from benchapp.foundation.language import tr

#: Chance, at the first addition, that it carries the batch past the far edge.
FIRST_RISK = 0.0015
#: Later: so much of the smallest amount that carries any of the plausible batches there; the larger share
#: where they agree with each other.
LATER_SHARE, AGREED_SHARE = 0.85, 0.92
#: A reading so many of its standard deviations inside the edge will still read inside, ...
INSIDE_SD = 12 / 7
#: ... as far as the band is wide enough for that.
INSIDE_MOST_SHARE = 0.4
#: Amounts tried between the smallest useful and the largest safe one.
TRIED = 40
#: Outside these nothing is suggested and no forecast is made: what is meant for skin seldom lies there, and a digit was more likely mixed up (common
#: practice, no source). Depilatories and lye do, and are not what this sum is for.
LEAST_PH, MOST_PH = 2.0, 12.0
#: Batches counted for the chance to land inside.
COUNTED = 400


@dataclass(frozen=True)
class Suggestion:
    """The next addition. ``mass_g`` is 0 where ``hindrance`` says why there is none.

    ``in_band`` is the chance (0..1) that the batch then reads within its band; ``ph_low`` to ``ph_high`` is
    where it will read with 80 % probability; more than ``most_g`` could carry it past the far edge. ``dilute_to_percent`` is the strength that would do where every
    solution at hand is too strong for the scale, else 0.
    """

    solution: Solution | None
    mass_g: float
    in_band: float = 0.0
    ph_low: float = math.nan
    ph_high: float = math.nan
    hindrance: str = ""
    dilute_to_percent: float = 0.0
    most_g: float = math.inf


def next_addition(
    readings: Sequence[PhReading],
    band: tuple[float, float],
    solutions: Sequence[Solution],
    least_g: float,
    cap_left_g: float | Sequence[float],
    stated: Sequence[Stated] = (),
    trial: Sequence[PhReading] = (),
) -> Suggestion:
    """What to add next so that the batch comes into ``band`` soon and never past its far edge.

    ``readings`` of the batch in order, ``trial`` those of a sample taken from it before any addition.
    ``solutions`` at hand; the strongest is chosen that needs at least ``least_g`` grams, the least the scale
    weighs well. ``cap_left_g`` grams may still be added, of any of them or, where there are as many figures, of each.
    ``stated`` is what the formula says is dissolved.
    Raises ValueError without a reading or with a band upside down. The same question is answered from memory, so
    a screen may ask at every tick.
    """
    caps = (cap_left_g,) * len(solutions) if isinstance(cap_left_g, int | float) else tuple(cap_left_g)
    return _next_addition(tuple(readings), band, tuple(solutions), least_g, caps, tuple(stated), tuple(trial))


@lru_cache(maxsize=64)
def _next_addition(
    readings: tuple[PhReading, ...],
    band: tuple[float, float],
    solutions: tuple[Solution, ...],
    least_g: float,
    caps_left_g: tuple[float, ...],
    stated: tuple[Stated, ...],
    trial: tuple[PhReading, ...],
) -> Suggestion:
    low, high = _right_way_up(band)
    now = readings[-1]
    if not LEAST_PH <= now.ph <= MOST_PH:
        return Suggestion(
            None, 0.0, hindrance=tr("pH {ph:g} is hardly that of a batch; measure again", ph=now.ph)
        )
    evidence = [*readings[:1], *trial, *readings[1:]]
    batches = plausible_batches(evidence, stated)
    if low <= now.ph <= high:
        return Suggestion(None, 0.0, 1.0, hindrance=tr("the pH is right"))
    fitting = fitting_solutions(solutions, lowers=now.ph > high)
    if not fitting:
        return Suggestion(None, 0.0, hindrance=tr("no solution at hand moves the pH that way"))
    parts = Parts(stated)
    chosen, mass_g, safe_g, in_band = _choose(parts, batches, now, band, fitting, least_g)
    if safe_g < least_g:
        return _too_strong(chosen, safe_g, least_g, tried=bool(now.added or trial))
    cap_left_g = next(c for s, c in zip(solutions, caps_left_g, strict=True) if s == chosen)
    if cap_left_g < least_g:
        return Suggestion(chosen, 0.0, hindrance=tr("the method allows no more to be added"))
    # What did not answer may not be stirred in yet: no more than as much again, whatever the batch seems to bear.
    if again_g := unanswered_g(readings):
        cap_left_g = min(cap_left_g, max(again_g, least_g))
    mass_g = min(max(mass_g, least_g), cap_left_g)
    where = forecast_ph(parts, batches, now, chosen, mass_g)
    return Suggestion(chosen, mass_g, in_band(mass_g), *where, most_g=max(min(safe_g, cap_left_g), mass_g))


def _right_way_up(band: tuple[float, float]) -> tuple[float, float]:
    low, high = band
    if not low < high:
        raise ValueError(
            tr(
                "the pH band {low:g} to {high:g} is upside down; write the smaller limit first",
                low=low,
                high=high,
            )
        )
    return band


def _too_strong(chosen: Solution, safe_g: float, least_g: float, *, tried: bool) -> Suggestion:
    """Of a solution of which less is safe than can be weighed: thinned, that would do; or nothing, where it would not."""
    thin = _down_to_one_digit(chosen.percent * safe_g / least_g)
    if thin:
        why = tr(
            "{least_g:g} g of {percent:g} % could carry it too far; dilute it to {thin:g} %",
            least_g=least_g,
            percent=chosen.percent,
            thin=thin,
        )
        return Suggestion(chosen, 0.0, hindrance=why, dilute_to_percent=thin)
    why = (
        tr("any addition could carry it too far; measure again")
        if tried
        else tr("any addition could carry it too far; measure again, or try it on a sample")
    )
    return Suggestion(chosen, 0.0, hindrance=why)


def fitting_solutions(solutions: Sequence[Solution], *, lowers: bool) -> list[Solution]:
    """Those that move the pH the right way, the strongest first."""
    return sorted((s for s in solutions if s.lowers == lowers), key=lambda s: -s.percent)


def _choose(
    parts: Parts,
    batches: Sequence[Batch],
    now: PhReading,
    band: tuple[float, float],
    fitting: Sequence[Solution],
    least_g: float,
) -> tuple[Solution, float, float, Callable[[float], float]]:
    """The strongest solution of which enough is needed, its best and its safe grams, and the chance by grams."""
    low, high = band
    lowering = now.ph > high
    inside = min(INSIDE_SD * now.sd_ph, INSIDE_MOST_SHARE * (high - low))
    near_ph, inner_ph, far_ph = (
        (high - inside, low + inside, low) if lowering else (low + inside, high - inside, high)
    )
    chosen = fitting[0]
    while True:
        far = needed_g(parts, batches, now, chosen, far_ph)
        safe_g = _safe_g(far, first=len(batches) == FIRST_DRAWS)
        counted = batches[:COUNTED]
        near, inner = (needed_g(parts, counted, now, chosen, ph) for ph in (near_ph, inner_ph))
        pairs = list(zip(near, inner, strict=True))

        def in_band(mass_g: float, pairs: list[tuple[float, float]] = pairs) -> float:
            return sum(1 for a, b in pairs if a <= mass_g <= b) / len(pairs)

        mass_g = _best_g(sorted(near)[len(near) // 20], safe_g, in_band)
        weaker = [s for s in fitting if s.percent < chosen.percent]
        if mass_g >= least_g or not weaker:
            return chosen, mass_g, safe_g, in_band
        # Grams go about with the inverse of the strength: straight to the solution that will do.
        enough = [s for s in weaker if mass_g * chosen.percent / s.percent >= least_g]
        chosen = enough[0] if enough else weaker[-1]


def needed_g(
    parts: Parts, batches: Sequence[Batch], now: PhReading, solution: Solution, ph: float
) -> list[float]:
    """Grams of ``solution`` that would bring each of the batches to ``ph``, from the charge balance.

    Infinite where the solution cannot reach that pH.
    """
    lost = parts.lost(ph)
    per_kg = solution.mol_kg * solution.titrant.charge(ph) + (1.0 + now.water_parts) * water_charge(ph)
    if (per_kg < 0.0) != solution.lowers:
        return [math.inf] * len(batches)
    known = now.known_charge(ph)
    return [
        now.material_g * (b.fixed_charge - known + sum(map(float.__mul__, b.amounts, lost))) / per_kg
        for b in batches
    ]


def _down_to_one_digit(value: float) -> float:
    """A strength somebody can weigh out: one digit, never above ``value``."""
    if value <= 0.0:
        return 0.0
    unit = 10.0 ** math.floor(math.log10(value))
    return float(f"{math.floor(value / unit) * unit:.1g}")


def _safe_g(far_g: Sequence[float], *, first: bool) -> float:
    """The amount that stays short of the far edge with the chance we allow ourselves."""
    ordered = sorted(far_g)
    if first:
        return max(ordered[int(FIRST_RISK * len(ordered))], 0.0)
    agreement = ordered[0] / ordered[len(ordered) // 2] if ordered[0] > 0.0 else 0.0
    return max(min(max(agreement, LATER_SHARE), AGREED_SHARE) * ordered[0], 0.0)


def _best_g(useful_g: float, safe_g: float, in_band: Callable[[float], float]) -> float:
    """The grams up to ``safe_g`` with the best chance of landing inside; the middle of those as good."""
    if safe_g <= 0.0:
        return 0.0
    least = max(min(useful_g, safe_g), safe_g / 50.0)
    tried = [least * (safe_g / least) ** (i / TRIED) for i in range(TRIED + 1)]
    hits = [in_band(mass_g) for mass_g in tried]
    if max(hits) <= 0.5:
        return safe_g
    good = [mass_g for hit, mass_g in zip(hits, tried, strict=True) if hit >= max(hits) - 0.01]
    return math.sqrt(good[0] * good[-1])


def forecast_ph(
    parts: Parts, batches: Sequence[Batch], now: PhReading, solution: Solution, mass_g: float
) -> tuple[float, float]:
    """Tenth and ninetieth percentile of the pH after the addition, from a part of the batches."""
    then = replace(now, added=(*now.added, (solution, mass_g)))
    some = batches[:: max(len(batches) // 40, 1)]
    found = []
    grid = [i / 20 for i in range(round(20 * LEAST_PH), round(20 * MOST_PH) + 1)]
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
    return found[len(found) // 10], found[len(found) * 9 // 10]


def _between(
    left: tuple[float, float, list[float]], right: tuple[float, float, list[float]], b: Batch
) -> float:
    """pH between two grid points where the charge balances, by a straight line; that of the nearer where it is neither."""
    q0, q1 = (
        known - sum(map(float.__mul__, b.amounts, lost)) - b.fixed_charge for _, known, lost in (left, right)
    )
    return left[0] + (right[0] - left[0]) * min(max(q0 / (q0 - q1), 0.0), 1.0) if q0 > q1 else left[0]
