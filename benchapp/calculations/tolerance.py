"""How far a weighing may be off, from what the ingredient does and from what the law allows."""

from __future__ import annotations

import math
from dataclasses import dataclass

from benchapp.foundation.band import Band, lower_limit
from benchapp.foundation.language import tr
from benchapp.foundation.numbers import exact

#: Percent of the target either way, by role. Common practice, no source: tight where the effect or the law is.
BY_ROLE_PERCENT = {
    "water": 1.0, "humectant": 2.0, "oil": 2.0, "butter": 2.0, "wax": 2.0, "emulsifier": 2.0, "conditioner": 2.0,
    "thickener": 2.0, "gum": 2.0, "preservative": 2.0, "active": 2.0, "antioxidant": 5.0, "chelator": 5.0,
    "fragrance": 2.0, "acid": 2.0, "base": 2.0, "colour": 2.0, "other": 2.0,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class WeighingBand:
    """What a weighing may come to rest at, in grams, limits included.

    ``refused`` says why this scale is too coarse for it, "" where it will do. A refused scale's band is one
    division either way where no law sets a ceiling, and is never widened where one does. None holds nothing.
    """

    band: Band
    refused: str = ""


def tolerance_percent_of(role: str, stated_percent: float | None = None) -> float:
    """Percent of its target by which an ingredient may be off either way: as stated, or its role's.

    Raises KeyError for a role that is none.
    """
    return BY_ROLE_PERCENT[role] if stated_percent is None else stated_percent


def weighing_band(
    target_g: float,
    role: str,
    readability_g: float,
    tolerance_percent: float | None = None,
    ceiling_g: float | None = None,
) -> WeighingBand:
    """The band of one weighing in grams on a display of ``readability_g`` grams.

    The margin is the stated tolerance or the role's, in percent of the target. The upper limit never passes
    ``ceiling_g``, nor the last number the display can show below it. A display whose division is coarser than
    the margin on either side is refused. Raises ValueError for a target above its ceiling: no band can hold both.
    """
    percent = tolerance_percent_of(role, tolerance_percent)
    if ceiling_g is not None and exact(target_g) > exact(ceiling_g):
        raise ValueError(
            tr(
                "the target of {target_g:g} g is above the ceiling of {ceiling_g:g} g; lower its share",
                target_g=target_g,
                ceiling_g=ceiling_g,
            )
        )
    margin = exact(target_g * percent / 100)
    refused = ""
    if margin < exact(readability_g):
        refused = tr(
            "{target_g:g} g with ± {percent:g} % on a display of {readability_g:g} g is too coarse",
            target_g=target_g,
            percent=percent,
            readability_g=readability_g,
        )
    if refused and ceiling_g is None:
        margin = readability_g
    high = target_g + margin
    if ceiling_g is not None and high > ceiling_g:
        high = max(_last_below(ceiling_g, readability_g), target_g)
    return WeighingBand(Band(lower_limit(target_g, margin, readability_g), high), refused)


def _last_below(ceiling_g: float, readability_g: float) -> float:
    """The largest number of the display, in grams, that is not above the ceiling."""
    return exact(math.floor(exact(ceiling_g / readability_g)) * readability_g)
