"""What has to go into a bottle so that it holds what its label says: 76/211/EEC and OIML R 87."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchapp.calculations.minimum_weight import COVERAGE, LEAST_SPREAD_DIVISIONS
from benchapp.foundation.band import Band, Target
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact

#: 76/211/EEC Annex I: (up to nominal g or ml, percent of nominal or None, fixed g or ml or None).
_TOLERABLE = (
    (50.0, 9.0, None), (100.0, None, 4.5), (200.0, 4.5, None), (300.0, None, 9.0), (500.0, 3.0, None),
    (1000.0, None, 15.0), (10_000.0, 1.5, None), (15_000.0, None, 150.0),
)  # fmt: skip


def tolerable_negative_error(nominal: float) -> float:
    """How far one pack may fall short, in the unit of ``nominal`` (g or ml).

    76/211/EEC Annex I 2.4: percentages are rounded up to the next 0.1. Raises ValueError below 5 g or ml.
    """
    if nominal < 5:
        raise ValueError(
            tr("{nominal:g} is under 5 g or ml, where the table does not apply", nominal=nominal)
        )
    for upto, percent, fixed in _TOLERABLE:
        if nominal <= upto:
            if fixed is not None:
                return fixed
            assert percent is not None
            return _up_to_tenth(nominal * percent / 100)
    return _up_to_tenth(nominal / 100)


def _up_to_tenth(value: float) -> float:
    return math.ceil(round(value * 10, 9)) / 10


def nominal_mass_g(nominal_ml: float, density_g_ml: float) -> float:
    """Mass of the declared volume at the density of 20 °C, in grams.

    Density and bottles weighed on the same scale share its air buoyancy, so that none is corrected for.
    """
    return nominal_ml * density_g_ml


def fill_target(nominal_g: float, readability_g: float) -> Target:
    """Target and limits of one bottle in grams: none below nominal, and no more given away than the error allowed.

    The target sits two divisions (or 0.3 %) above nominal, so that the mean holds the label (76/211/EEC
    Annex I 1.1: the mean may not be less than nominal). The margin above is common practice, no source.
    """
    target = nominal_g + max(2 * readability_g, 0.003 * nominal_g)
    high = nominal_g + max(6 * readability_g, 0.02 * nominal_g)
    low = math.ceil(exact(nominal_g / readability_g)) * readability_g
    high = math.floor(exact(high / readability_g)) * readability_g
    return Target(target, Band(low, high))


#: How much a thin emulsion expands, per kelvin (about that of water at 30 °C; common practice, no source).
EXPANSION_PER_K = 0.0003
#: Packs that may fall short by more than the tolerable error where all are examined (76/211/EEC Annex II, batches
#: under 100).
DEFECTIVE_SHARE = 0.05
#: Under so many packs whoever checks a batch examines all of it, from there on a sample (76/211/EEC Annex II).
ALL_EXAMINED_UNDER = 100
#: 76/211/EEC Annex II: (batch up to, packs examined, accepted with). The last row is from memory.
_REFERENCE = ((500, 50, 3), (3200, 80, 5), (10_000, 125, 7))
#: How surely a sample drawn from the batch should accept it (common practice, no source).
SURE = 0.95


def density_at_20_g_ml(density_g_ml: float, temp_c: float) -> float:
    """A density measured at ``temp_c`` brought to 20 °C, where declared volume counts. Linear expansion."""
    return density_g_ml * (1.0 + EXPANSION_PER_K * (temp_c - 20.0))


def scale_serves(readability_g: float, tolerable_g: float) -> bool:
    """Whether a scale tells contents well enough: its error is at most a fifth of the tolerable error (OIML R 87).

    A content is the difference of two readings; the error is that of both at two standard deviations, each of
    0.41 division (USP <41>).
    """
    error_g = COVERAGE * LEAST_SPREAD_DIVISIONS * readability_g * math.sqrt(2.0)
    return error_g <= tolerable_g / 5


@dataclass(frozen=True)
class FillJudgement:
    """All packs of a batch, judged. Numbers count from 1; ``refill_g`` is what to add to which."""

    mean_g: float
    mean_holds: bool
    short: tuple[int, ...]  # below nominal less the tolerable error
    unfit: tuple[int, ...]  # below nominal less twice that: may not be sold
    refill_g: dict[int, float]

    @property
    def passed(self) -> bool:
        """Whether the batch may leave as it stands."""
        return not self.refill_g


def judge_fill(
    net_g: Sequence[float], nominal_g: float, error_g: float | None = None, step_g: float = 0.01
) -> FillJudgement:
    """The packers' rules on packs that were all weighed: mean, few short, none far short (76/211/EEC Annex I 1).

    Where all are weighed the plain mean counts at any size of batch: it is the stricter for Annex II's mean test,
    which grants a sample its spread.

    ``error_g`` is the tolerable negative error in grams, for a volume its millilitres times density; else it
    follows from ``nominal_g``. What to refill: every unfit pack to nominal, short ones beyond ``may_be_short`` to
    nominal, then the lightest to nominal until the mean holds. ``step_g`` rounds additions up. Raises ValueError
    without packs.
    """
    if not net_g:
        raise ValueError(tr("no pack has been weighed yet"))
    allowed = tolerable_negative_error(nominal_g) if error_g is None else error_g
    packs = dict(enumerate(net_g, 1))
    mean = sum(net_g) / len(net_g)
    short = tuple(i for i, g in packs.items() if exact(g) < exact(nominal_g - allowed))
    unfit = tuple(i for i, g in packs.items() if exact(g) < exact(nominal_g - 2 * allowed))
    refill: dict[int, float] = {}
    lightest_first = sorted(packs, key=lambda i: packs[i])
    beyond = len(short) - may_be_short(len(packs))
    total = sum(net_g)
    for position, i in enumerate(lightest_first):
        needed = i in unfit or position < beyond or exact(total) < exact(nominal_g * len(packs))
        if not needed or packs[i] >= nominal_g:
            break
        refill[i] = _up_to(nominal_g - packs[i], step_g)
        total += refill[i]
    return FillJudgement(mean, exact(mean) >= exact(nominal_g), short, unfit, refill)


def _up_to(value: float, step: float) -> float:
    return round(math.ceil(round(value / step, 6)) * step, 6)


def may_be_short(packs: int) -> int:
    """How many of so many packs may lie below nominal less the tolerable error (76/211/EEC Annex II).

    Under 100 packs 5 %. From 100 on the reference test draws a sample: as many as it still accepts with ``SURE``
    probability (hypergeometric: drawn without putting back). More than 10,000 are to be judged as several
    batches; for them the number of one batch of 10,000 stands.
    """
    if packs < ALL_EXAMINED_UNDER:
        return int(DEFECTIVE_SHARE * packs)
    batch = min(packs, _REFERENCE[-1][0])
    _, drawn, accepted = next(row for row in _REFERENCE if batch <= row[0])
    short = accepted
    while _acceptance(batch, short + 1, drawn, accepted) >= SURE:
        short += 1
    return short


def _acceptance(batch: int, short: int, drawn: int, accepted: int) -> float:
    """The probability that a sample holds no more than ``accepted`` of the short packs."""
    ways = sum(math.comb(short, k) * math.comb(batch - short, drawn - k) for k in range(accepted + 1))
    return ways / math.comb(batch, drawn)
