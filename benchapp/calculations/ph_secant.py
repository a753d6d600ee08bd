"""How much acid or base to add next, from this batch's own response."""

from __future__ import annotations

from collections.abc import Sequence

#: Of the addition that a straight line asks for, so much is given: a buffer bends away from the line.
CAUTION_SHARE = 0.7
#: The first addition, when nothing is known of the batch yet, as a share of what is allowed in total.
FIRST_SHARE = 0.1


def next_dose_g(
    readings: Sequence[tuple[float, float]], target_ph: float, cap_left_g: float, least_g: float
) -> float:
    """Grams of the solution to add next; 0.0 where the cap leaves less than the scale can weigh.

    ``readings`` are (grams added so far, pH) in order, the first before any addition. With two or more, the
    last two give the response (secant); plain arithmetic, no source. ``least_g`` is the smallest mass the
    scale weighs well enough.
    """
    if cap_left_g < least_g or not readings:
        return 0.0
    dose = FIRST_SHARE * (cap_left_g + readings[-1][0])
    if len(readings) > 1:
        (m0, p0), (m1, p1) = readings[-2], readings[-1]
        if m1 > m0 and abs(p1 - p0) > 0.02:
            slope = (p1 - p0) / (m1 - m0)
            dose = CAUTION_SHARE * (target_ph - p1) / slope
    return min(max(dose, least_g), cap_left_g)
