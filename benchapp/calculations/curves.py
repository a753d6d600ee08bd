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
DRAUGHTY = 0.3
DRYING_DRAUGHT_OPEN = ((0.03, 0.25), (0.5, 0.35), (1.0, 0.4))
DRYING_DRAUGHT_LITTLE = ((0.03, 1.0),)
#: Where a bath or a plate would end up, in K above the target, and how likely (common practice, no source). The
#: highest stand for a bath that is itself still warming at full power.
BATH_ABOVE = (
    (-10.0, 0.03), (-4.0, 0.04), (-1.0, 0.05), (1.0, 0.07), (2.5, 0.1), (4.5, 0.14), (7.0, 0.15), (11.0, 0.13),
    (17.0, 0.1), (30.0, 0.1), (80.0, 0.06), (300.0, 0.03),
)  # fmt: skip
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
    return shapes
