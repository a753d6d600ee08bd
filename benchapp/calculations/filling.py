"""What has to go into a bottle so that it holds what its label says."""

from __future__ import annotations

import math

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
    """Mass of the declared volume at the density measured, in grams."""
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
