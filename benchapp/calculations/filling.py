"""What has to go into a bottle so that it holds what its label says: 76/211/EEC and OIML R 87."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import stdev

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
        raise ValueError(f"{nominal:g} is under 5 g or ml, where the table does not apply")
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


def fill_band_g(nominal_g: float, readability_g: float) -> tuple[float, float, float]:
    """Target and limits of one bottle in grams: none below nominal, and no more given away than the error allowed.

    The target sits two divisions (or 0.3 %) above nominal, so that the mean holds the label (76/211/EEC
    Annex I 1.1: the mean may not be less than nominal). The margin above is common practice, no source.
    """
    target = nominal_g + max(2 * readability_g, 0.003 * nominal_g)
    high = nominal_g + max(6 * readability_g, 0.02 * nominal_g)
    low = math.ceil(round(nominal_g / readability_g, 6)) * readability_g
    return tuple(round(x, 4) for x in (target, low, high))  # type: ignore[return-value]


#: How much a thin emulsion expands, per kelvin (about that of water at 30 °C; common practice, no source).
EXPANSION_PER_K = 0.0003
#: Packs that may fall short by more than the tolerable error, of those examined (76/211/EEC Annex II, batches
#: under 100): 5 %.
DEFECTIVE_SHARE = 0.05
#: Under so many packs every one is weighed and the plain mean counts (76/211/EEC Annex II).
ALL_WEIGHED_UNDER = 100
#: 76/211/EEC Annex II: (batch up to, packs examined, accepted with, refused from). The last row is from memory.
_REFERENCE = ((500, 50, 3, 4), (3200, 80, 5, 6), (10_000, 125, 7, 8))
#: Annex II mean test, t(0.995)/sqrt(n) for n packs.
_MEAN_FACTOR = {20: 0.640, 30: 0.503, 50: 0.379}


def density_at_20_g_ml(density_g_ml: float, temp_c: float, expansion_per_k: float = EXPANSION_PER_K) -> float:
    """A density measured at ``temp_c`` brought to 20 °C, where declared volume counts. Linear expansion."""
    return density_g_ml * (1.0 + expansion_per_k * (temp_c - 20.0))


def scale_serves(error_g: float, nominal_g: float) -> bool:
    """Whether a scale's error is small enough: a fifth of the tolerable error (OIML R 87)."""
    return error_g <= tolerable_negative_error(nominal_g) / 5


@dataclass(frozen=True)
class FillJudgement:
    """All packs of a batch under 100, judged. Numbers count from 1; ``refill_g`` is what to add to which."""

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

    ``error_g`` is the tolerable negative error in grams, for a volume its millilitres times density; else it
    follows from ``nominal_g``. What to refill: every unfit pack to nominal, short ones beyond 5 % to nominal,
    then the lightest to nominal until the mean holds. ``step_g`` rounds additions up. Raises ValueError
    without packs or for 100 or more, where samples are drawn instead (see ``reference_test``).
    """
    if not net_g:
        raise ValueError("no pack has been weighed yet")
    if len(net_g) >= ALL_WEIGHED_UNDER:
        raise ValueError(
            f"{len(net_g)} packs: from {ALL_WEIGHED_UNDER} on samples are judged, not every pack"
        )
    allowed = tolerable_negative_error(nominal_g) if error_g is None else error_g
    packs = dict(enumerate(net_g, 1))
    mean = sum(net_g) / len(net_g)
    short = tuple(i for i, g in packs.items() if g < nominal_g - allowed - 1e-9)
    unfit = tuple(i for i, g in packs.items() if g < nominal_g - 2 * allowed - 1e-9)
    refill: dict[int, float] = {}
    lightest_first = sorted(packs, key=lambda i: packs[i])
    may_be_short = int(DEFECTIVE_SHARE * len(packs))
    beyond = len(short) - may_be_short
    total = sum(net_g)
    for position, i in enumerate(lightest_first):
        needed = i in unfit or position < beyond or total < nominal_g * len(packs) - 1e-9
        if not needed or packs[i] >= nominal_g:
            break
        refill[i] = _up_to(nominal_g - packs[i], step_g)
        total += refill[i]
    return FillJudgement(mean, mean >= nominal_g - 1e-9, short, unfit, refill)


def _up_to(value: float, step: float) -> float:
    return round(math.ceil(round(value / step, 6)) * step, 6)


def running_mean_g(net_g: Sequence[float]) -> tuple[float, ...]:
    """The mean after each pack."""
    means, total = [], 0.0
    for count, mass in enumerate(net_g, 1):
        total += mass
        means.append(total / count)
    return tuple(means)


def reference_test(batch_packs: int, short: int) -> bool:
    """Whether a batch of ``batch_packs`` passes with ``short`` packs below nominal less the tolerable error.

    76/211/EEC Annex II, non-destructive single sampling; under 100 packs all are examined and 5 % may be short.
    Raises ValueError for more than 10,000 packs.
    """
    if batch_packs < ALL_WEIGHED_UNDER:
        return short <= DEFECTIVE_SHARE * batch_packs
    return short <= _plan(batch_packs)[2]


def reference_sample(batch_packs: int) -> int:
    """How many packs are examined for the reference test."""
    return batch_packs if batch_packs < ALL_WEIGHED_UNDER else _plan(batch_packs)[1]


def _plan(batch_packs: int) -> tuple[int, int, int, int]:
    for row in _REFERENCE:
        if batch_packs <= row[0]:
            return row
    raise ValueError(f"{batch_packs} packs: the table ends at 10,000; judge it as several batches")


def mean_test(sample_g: Sequence[float], nominal_g: float) -> bool:
    """76/211/EEC Annex II: mean at least nominal - factor·s; samples of 20, 30 or 50 packs.

    Raises ValueError for another size: the factors are those of the directive only.
    """
    if len(sample_g) not in _MEAN_FACTOR:
        raise ValueError(f"the mean test takes 20, 30 or 50 packs, not {len(sample_g)}")
    mean = sum(sample_g) / len(sample_g)
    return mean >= nominal_g - _MEAN_FACTOR[len(sample_g)] * stdev(sample_g)
