"""The smallest mass a scale weighs well enough, which scale takes which weighing, and what to do where none can."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact

#: USP <41>: the smallest spread that counts, in divisions, for a scale that repeats itself perfectly.
LEAST_SPREAD_DIVISIONS = 0.41
#: USP <41>: twice the standard deviation against the mass.
COVERAGE = 2.0
#: Strengths a premix is made in, percent, the strongest first: plain numbers to write on a bottle.
STRENGTHS_PERCENT = (50.0, 25.0, 20.0, 10.0, 5.0, 2.0, 1.0)
#: So much more of a premix is made than is weighed out of it: some stays in the boat (common practice, no source).
SPARE = 1.15
#: Of the capacity, so much may stand on a scale, vessel included: a hand leaning on it needs the rest.
USABLE_CAPACITY = 0.95
#: What an empty boat weighs, in grams (common practice, no source).
BOAT_G = 5.0


@dataclass(frozen=True, slots=True)
class ScaleFacts:
    """One scale: step of its display and capacity in grams."""

    name: str
    readability_g: float
    capacity_g: float | None = None

    def carries(self, gross_g: float) -> bool:
        """Whether so many grams, vessel included, may stand on it."""
        return self.capacity_g is None or gross_g <= USABLE_CAPACITY * self.capacity_g


def least_weight_g(readability_g: float, tolerance_percent: float) -> float:
    """The smallest net mass in grams that a scale weighs within ``tolerance_percent``.

    USP <41>, repeatability: 2 s / m <= 0.10 %, with s the standard deviation of ten weighings of one mass, never taken as less
    than 0.41 d; here with the maker's tolerance in place of 0.10 %, and s 0.41 d, since nobody weighs one mass ten times at a
    bench. Raises ValueError for a readability or a tolerance not above 0.
    """
    if not readability_g > 0 or not tolerance_percent > 0:
        raise ValueError(
            tr(
                "a display of {readability_g} g and a tolerance of {tolerance_percent} % must be above 0",
                readability_g=readability_g,
                tolerance_percent=tolerance_percent,
            )
        )
    return COVERAGE * LEAST_SPREAD_DIVISIONS * readability_g / (tolerance_percent / 100)


def choose_scale(
    target_g: float,
    tolerance_percent: float,
    vessel_g: float,
    scales: Sequence[ScaleFacts],
) -> tuple[ScaleFacts | None, bool]:
    """The scale for one weighing of ``target_g`` grams, and whether it has to go through a boat.

    Straight into the vessel (``vessel_g`` grams with what is in it) where a scale carries it and weighs the
    target well enough, the one with the coarsest display first: the pot stays where it stands. Else in a boat
    on a finer one. (None, False) where no scale will do.
    """
    by_display = sorted(scales, key=lambda scale: scale.readability_g, reverse=True)
    good = [s for s in by_display if least_weight_g(s.readability_g, tolerance_percent) <= target_g]
    for gross, boat in ((vessel_g + target_g, False), (BOAT_G + target_g, True)):
        for scale in good:
            if scale.carries(gross):
                return scale, boat
    return None, False


@dataclass(frozen=True, slots=True)
class FinerScale:
    """A display this fine or finer would do, in grams."""

    readability_g: float


@dataclass(frozen=True, slots=True)
class BiggerBatch:
    """From this batch size in grams on, the scale at hand will do."""

    batch_g: float


@dataclass(frozen=True, slots=True)
class PremixWay:
    """Thin the material in something the formula holds anyway, and weigh more of that.

    Stir ``material_g`` grams into ``carrier_g`` grams: that is ``strength_percent``. Weigh ``dose_g`` grams of it in
    place of the material, and only ``carrier_left_g`` grams of the carrier itself. ``spare_g`` grams are left over.
    """

    strength_percent: float
    material_g: float
    carrier_g: float
    dose_g: float
    carrier_left_g: float
    spare_g: float


def ways_out(
    target_g: float,
    tolerance_percent: float,
    batch_g: float,
    largest_batch_g: float,
    scale: ScaleFacts,
    carrier_target_g: float = 0.0,
) -> tuple[FinerScale | BiggerBatch | PremixWay, ...]:
    """What can be done where ``scale`` cannot weigh ``target_g`` grams within the tolerance; () where it can.

    A finer display, a bigger batch (where ``largest_batch_g`` allows), or a premix in a carrier of which the
    formula holds ``carrier_target_g`` grams (0: there is none), by USP <41> as in ``least_weight_g``.
    """
    if not target_g > 0:
        raise ValueError(tr("the target is {target_g} g; it has to be more than 0 g", target_g=target_g))
    least = least_weight_g(scale.readability_g, tolerance_percent)
    if least <= target_g:
        return ()
    out: list[FinerScale | BiggerBatch | PremixWay] = [FinerScale(_display_for(target_g, tolerance_percent))]
    bigger = math.ceil(round(batch_g * least / target_g, 6))
    if bigger <= largest_batch_g:
        out.append(BiggerBatch(float(bigger)))
    premix = make_premix(target_g, least, scale.readability_g, carrier_target_g)
    return (*out, premix) if premix else tuple(out)


def _display_for(target_g: float, tolerance_percent: float) -> float:
    """The coarsest display step of the 1, 2, 5 row that weighs the target well enough, in grams."""
    most = target_g * tolerance_percent / 100 / (COVERAGE * LEAST_SPREAD_DIVISIONS)
    decade = 10.0 ** math.floor(math.log10(most))
    return next(exact(k * decade) for k in (5, 2, 1, 0.5) if exact(k * decade) <= exact(most))


def make_premix(
    target_g: float, least_g: float, readability_g: float, carrier_target_g: float
) -> PremixWay | None:
    """The strongest premix that is as good as a single weighing of ``least_g``; None where there is none.

    Three weighings instead of one: each at least √3 times ``least_g``, so that their errors together are no larger. All
    masses in grams, in whole divisions of ``readability_g``; the carrier in the dose may not be more than the
    formula's ``carrier_target_g``. Plain proportion: dose = target / strength, rounded to the display.
    """
    least_each = math.sqrt(3.0) * least_g
    for strength in STRENGTHS_PERCENT:
        share = strength / 100
        dose = _steps(target_g / share, readability_g)
        left = _steps(carrier_target_g - dose * (1 - share), readability_g)
        if dose < least_each or left < 0:
            continue
        material = _steps(max(least_each, SPARE * dose * share), readability_g, up=True)
        carrier = _steps(material * (1 - share) / share, readability_g)
        if carrier >= least_each and left > 0:
            return PremixWay(strength, material, carrier, dose, left, round(material + carrier - dose, 6))
    return None


def _steps(value_g: float, readability_g: float, *, up: bool = False) -> float:
    count = round(value_g / readability_g, 6)
    return round((math.ceil(count) if up else round(count)) * readability_g, 6)
