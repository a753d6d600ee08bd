"""How far a weighing may be off, from what the ingredient does and from what the law allows."""

from __future__ import annotations

#: Percent of the target either way, by role. Common practice, no source: tight where the effect or the law is.
BY_ROLE_PERCENT = {
    "water": 1.0, "humectant": 2.0, "oil": 1.5, "butter": 1.5, "wax": 1.5, "emulsifier": 1.5, "conditioner": 1.5,
    "thickener": 1.5, "gum": 1.5, "preservative": 1.0, "active": 1.0, "antioxidant": 2.0, "chelator": 2.0,
    "fragrance": 2.0, "acid": 1.0, "base": 1.0, "colour": 2.0, "other": 2.0,
}  # fmt: skip
#: With fewer divisions than this either way the display itself is too coarse for the margin.
LEAST_DIVISIONS = 1.0


def weighing_band(
    target_g: float,
    role: str,
    readability_g: float,
    tolerance_percent: float | None = None,
    ceiling_g: float | None = None,
) -> tuple[float, float, str]:
    """Lower and upper limit in grams, and a warning ("" if none), for a target in grams.

    The margin is the stated tolerance or the role's, but never under one division of the display; the upper
    limit never passes ``ceiling_g``. The warning says when the display is coarser than the margin asked for.
    """
    percent = BY_ROLE_PERCENT[role] if tolerance_percent is None else tolerance_percent
    wanted = target_g * percent / 100
    least = LEAST_DIVISIONS * readability_g
    warning = ""
    if wanted < least:
        warning = f"{target_g:g} g with ± {percent:g} % on a display of {readability_g:g} g is too coarse"
    margin = max(wanted, least)
    high = target_g + margin
    if ceiling_g is not None and ceiling_g >= target_g:
        high = min(high, ceiling_g)
    return max(target_g - margin, 0.0), high, warning
