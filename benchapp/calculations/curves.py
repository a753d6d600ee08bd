"""The shapes a forecast weighs against each other: rooms, shares of evaporation, baths and plates."""

from __future__ import annotations

from math import exp

from benchapp.calculations.fit import Shape
from benchapp.calculations.heat_loss import (
    VesselPrior,
    draughty_loss_w,
    dry_loss_w,
    drying_loss_w,
    warming_k_s,
)

TOP_C = 110.0
#: A table ends this far from the temperature it never reaches.
NEAR_K = 0.75
#: A thermometer on the wall is this far from the air around the vessel, one standard deviation (no source).
AMBIENT_SD_K = 1.5
#: A workshop nobody measured.
ROOM_C, ROOM_SD_K = 21.0, 3.0
_SPREAD = (-2.0, -1.0, 0.0, 1.0, 2.0)
#: How fast a surface dries against open water in still air, and how likely: from an oil or a lid to a draught.
DRYING_OPEN = ((0.03, 0.06), (0.3, 0.1), (0.6, 0.22), (1.0, 0.32), (1.5, 0.2), (2.3, 0.1))
DRYING_LID = ((0.03, 0.45), (0.15, 0.3), (0.4, 0.15), (1.0, 0.1))
DRYING_OIL = ((0.0, 0.8), (0.2, 0.2))
#: How often a bench stands in a draught that matters, and how it dries there (no source).
DRAUGHTY = 0.2
DRYING_DRAUGHT_OPEN = ((0.03, 0.25), (0.5, 0.35), (1.0, 0.4))
DRYING_DRAUGHT_LITTLE = ((0.03, 1.0),)
#: Where a bath or a plate would end up, in K above the target, and how likely (common practice, no source).
BATH_ABOVE = (
    (-10.0, 0.03), (-4.0, 0.04), (-1.0, 0.05), (1.0, 0.07), (2.5, 0.1), (4.5, 0.14), (7.0, 0.15), (11.0, 0.13),
    (17.0, 0.1), (30.0, 0.1), (80.0, 0.06), (300.0, 0.03),
)  # fmt: skip
#: How far a vessel lags behind a bath that rises, where that bath is set above the target, and how likely each is:
#: about a third of all baths are put on cold. A bath of three litres on a kilowatt rises so fast (no source).
BEHIND_K = ((5.0, 0.15), (15.0, 0.2), (40.0, 0.15))
RISES_TO = ((3.0, 0.2), (8.0, 0.4), (15.0, 0.25), (40.0, 0.15))
RISE_K_S = 0.07
PLATE_ABOVE = ((-3.0, 0.03), (5.0, 0.07), (15.0, 0.15), (40.0, 0.2), (100.0, 0.25), (300.0, 0.3))
COLD_BATHS_C = ((0.5, 0.2), (5.0, 0.15), (10.0, 0.2), (14.0, 0.15), (18.0, 0.15), (22.0, 0.1), (27.0, 0.05))
#: Constant transfer, and one by free convection that weakens as the difference shrinks.
POWERS = ((1.0, 0.5), (1.25, 0.5))


def cooling_shapes(prior: VesselPrior, ambient_c: float | None) -> list[Shape]:
    """Air around the vessel and share of drying, each in steps."""
    if prior.in_bath:
        return cold_bath_shapes(prior)
    centre, sd = (ROOM_C, ROOM_SD_K) if ambient_c is None else (ambient_c, AMBIENT_SD_K)
    dryings = DRYING_OIL if prior.water_share < 0.05 else DRYING_LID if prior.lid else DRYING_OPEN
    shapes: list[Shape] = []
    for step in _SPREAD:
        air = centre + 1.1 * step * sd
        weight = exp(-0.5 * (1.1 * step) ** 2)
        nodes = max(2, int(TOP_C - air - NEAR_K) + 1)
        at = [TOP_C - 0.5 * i for i in range(2 * nodes)]
        dry = [max(dry_loss_w(prior, t, air), 1e-9) / prior.heat_j_k for t in at]
        wet = [drying_loss_w(prior, t, air) / prior.heat_j_k for t in at]
        for drying, share in dryings:
            both = [d + drying * w for d, w in zip(dry, wet, strict=True)]
            pairs = list(zip(both[::2], both[1::2], strict=True))
            shapes.append(Shape(TOP_C, -1.0, pairs, weight * share * (1.0 - DRAUGHTY)))
        for drying, share in DRYING_DRAUGHT_OPEN if dryings is DRYING_OPEN else DRYING_DRAUGHT_LITTLE:
            blown = [max(draughty_loss_w(prior, t, air, drying), 1e-9) / prior.heat_j_k for t in at]
            pairs = list(zip(blown[::2], blown[1::2], strict=True))
            shapes.append(Shape(TOP_C, -1.0, pairs, weight * share * DRAUGHTY))
    return shapes


def cold_bath_shapes(prior: VesselPrior) -> list[Shape]:
    """A cold bath at a temperature nobody stated, from ice to what has been used before."""
    k_s = warming_k_s(prior, 51.0, 50.0)
    shapes: list[Shape] = []
    for bath_c, likely in COLD_BATHS_C:
        for power, share in POWERS:
            nodes = int(TOP_C - bath_c - NEAR_K) + 1

            def rate(t: float, bath_c: float = bath_c, power: float = power) -> float:
                return float(k_s * 40.0 * (max(t - bath_c, 0.0) / 40.0) ** power)

            shapes.append(Shape.of(TOP_C, -1.0, nodes, rate, likely * share))
    return shapes


def warming_shapes(prior: VesselPrior, start_c: float, target_c: float) -> list[Shape]:
    """Baths and plates, each as the temperature it would end at; all equally fast at the start."""
    first = warming_k_s(prior, start_c)
    low = start_c - 10.0
    shapes: list[Shape] = []
    for above, likely in BATH_ABOVE if prior.in_bath else PLATE_ABOVE:
        end_c = target_c + above
        if end_c < start_c + 2.0:
            continue
        for power, share in POWERS:
            nodes = max(2, int((min(end_c - NEAR_K * 0.4, TOP_C) - low) / 0.5) + 1)

            def rate(t: float, end_c: float = end_c, power: float = power) -> float:
                return float(first * (max(end_c - t, 0.0) / (end_c - start_c)) ** power)

            shapes.append(Shape.of(low, 0.5, nodes, rate, likely * share))
    return shapes + (rising_bath_shapes(start_c, target_c) if prior.in_bath else [])


def rising_bath_shapes(start_c: float, target_c: float) -> list[Shape]:
    """A bath put on cold together with the vessel: it rises steadily to its setting, the vessel behind it.

    Behind a steady rise r a first-order lag tau follows as T = r (t - tau (1 - exp(-t/tau))), so r tau behind in
    the end; once the bath stands, what is missing shrinks by the same tau.
    """
    low = start_c - 10.0
    shapes: list[Shape] = []
    for behind_k, likely in BEHIND_K:
        for above, share in RISES_TO:
            set_c = target_c + above
            nodes = max(2, int((min(set_c - NEAR_K * 0.4, TOP_C) - low) / 0.5) + 1)

            def rate(t: float, behind_k: float = behind_k, set_c: float = set_c) -> float:
                rising = max(0.05, _share_of_rise((t - start_c) / behind_k))
                return RISE_K_S * min(rising, max(set_c - t, 0.0) / behind_k)

            shapes.append(Shape.of(low, 0.5, nodes, rate, likely * share))
    return shapes


def _share_of_rise(behind: float) -> float:
    """1 - exp(-u) where u - 1 + exp(-u) = ``behind`` (temperature gained in units of the final lag), by Newton."""
    if behind <= 1e-6:
        return 0.0
    u = (2.0 * behind) ** 0.5 + behind / 3.0
    for _ in range(5):
        u -= (u - 1.0 + exp(-u) - behind) / (1.0 - exp(-u))
    return 1.0 - exp(-u)
