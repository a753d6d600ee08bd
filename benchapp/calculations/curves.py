"""The shapes a forecast weighs against each other: rooms, shares of evaporation, baths and plates, what melts or sets."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, exp, floor, log

from benchapp.calculations.heat_loss import (
    VesselPrior,
    draughty_loss_w,
    dry_loss_w,
    drying_loss_w,
    warming_k_s,
)
from benchapp.calculations.hot_bath import ahead_of, below
from benchapp.calculations.melting import ICED, MELTS, SETS, Guesses, slowed_by
from benchapp.calculations.shape import Shape

TOP_C = 110.0
#: A table ends this far from the temperature it never reaches.
NEAR_K = 0.75
#: And reaches so far beyond where a wait begins and ends.
BEYOND_K = 8.0
#: Two drives whose slowing differs by less than this (natural logarithm) are one.
ALIKE = 0.09
#: Where something melts, that says more than how the heat comes.
ALIKE_SETTING, ALIKE_MELTING = 0.18, 0.8
#: A thermometer on the wall is this far from the air around the vessel, one standard deviation (no source).
AMBIENT_SD_K = 1.5
#: A workshop nobody measured.
ROOM_C, ROOM_SD_K = 21.0, 3.0
_SPREAD = (-2.0, -1.0, 0.0, 1.0, 2.0)
#: How fast a surface dries against open water in still air, and how likely: from an oil or a lid to a draught.
DRYING_OPEN = ((0.03, 0.1), (0.4, 0.22), (0.9, 0.4), (1.8, 0.28))
DRYING_OIL = ((0.0, 0.8), (0.2, 0.2))
#: How often a bench stands in a draught that matters, and how it dries there (no source).
DRAUGHTY = 0.2
DRYING_DRAUGHT_OPEN = ((0.03, 0.3), (0.8, 0.7))
DRYING_DRAUGHT_LITTLE = ((0.03, 1.0),)
#: Where a bath or a plate would end up, in K above the target, and how likely (common practice, no source).
BATH_ABOVE = (
    (-10.0, 0.03), (-3.0, 0.05), (1.0, 0.08), (3.0, 0.15), (6.0, 0.2), (10.0, 0.2), (17.0, 0.12), (50.0, 0.1),
    (200.0, 0.07),
)  # fmt: skip
#: How far a vessel lags behind a bath that rises, where that bath is set above the target, and how likely each is:
#: about a third of all baths are put on cold. A bath of three litres on a kilowatt rises so fast (no source).
BEHIND_K = ((5.0, 0.15), (15.0, 0.2), (40.0, 0.15))
RISES_TO = ((5.0, 0.45), (12.0, 0.4), (40.0, 0.15))
#: Nobody sets a bath below what is to melt in it: then the ones that never get there are this much less likely.
SELDOM = 0.2
#: That somebody has turned the dial since, or it is another bath, against what was told (no source).
MISTOLD = 0.5
RISE_K_S = 0.07
PLATE_ABOVE = ((-3.0, 0.03), (12.0, 0.15), (50.0, 0.42), (300.0, 0.4))
#: How many kelvin a vessel gains while a plate put on cold comes up to its pace, and how likely (no source).
PLATE_LAGS_K = ((0.0, 0.25), (4.0, 0.4), (14.0, 0.35))
COLD_BATHS_C = ((0.5, 0.2), (5.0, 0.15), (10.0, 0.2), (14.0, 0.15), (18.0, 0.15), (22.0, 0.1), (27.0, 0.05))
#: Constant transfer, and one that weakens as the difference shrinks: free convection, or contents that thicken.
POWERS = ((1.0, 0.55), (1.3, 0.3), (1.9, 0.15))

#: An earlier make as (seconds, °C) in order of time; and how far its pace may differ from today's (relative sd).
Past = Sequence[tuple[float, float]]
PAST_PACE_SD = 0.2
#: An earlier make counts if it ended no further from today's target than this, in K.
NEARLY_K = 2.0

#: A rate in K/s at each temperature of a table, and how likely.
Drive = tuple[Sequence[float], float]


class CoursePoints:
    """The temperatures at which a family of shapes is tabled: nodes and halves, from a start to an end."""

    def __init__(self, start_c: float, end_c: float, step_c: float) -> None:
        nodes = max(2, int((end_c - start_c) / step_c) + 1)
        self.start_c, self.step_c = start_c, step_c
        self.at_c = [start_c + 0.5 * step_c * i for i in range(2 * nodes)]

    def alike_as_one(self, drives: Sequence[Drive], alike: float) -> list[Drive]:
        """Those that slow down by nearly as much on the way are taken together, since only shapes matter."""
        groups: dict[int | None, list[Drive]] = {}
        margin = 2 * int(BEYOND_K / abs(self.step_c))
        near, far = min(margin, len(self.at_c) - 1), max(len(self.at_c) - margin, 0)
        for rates, likely in drives:
            key = round(log(rates[far] / rates[near]) / alike) if rates[far] > 0.0 < rates[near] else None
            groups.setdefault(key, []).append((rates, likely))
        return [_together(group, near) for group in groups.values()]

    def shapes(self, drives: Sequence[Drive], prior: VesselPrior, guesses: Guesses) -> list[Shape]:
        """Each drive, slowed in each way; a shape ends where its rate has gone."""
        slowed = slowed_by(prior, self.at_c, guesses)
        made: list[Shape] = []
        for rates, likely in drives:
            for factors, share in slowed:
                pairs: list[tuple[float, float]] = []
                for i in range(0, len(rates) - 1, 2):
                    if rates[i] <= 0.0:
                        break
                    half = rates[i + 1] if rates[i + 1] > 0.0 else rates[i]
                    pairs.append((rates[i] * factors[i], half * factors[i + 1]))
                if pairs:
                    made.append(Shape(self.start_c, self.step_c, pairs, likely * share))
        return made


def _together(group: Sequence[Drive], near: int) -> Drive:
    """One drive for several alike: the mean of each, taken as fast at the beginning as all of them are on average."""
    whole = sum(likely for _, likely in group)
    pace = exp(sum(likely * log(max(rates[near], 1e-12)) for rates, likely in group) / whole)
    parts = [(rates, likely / whole * pace / max(rates[near], 1e-12)) for rates, likely in group]
    return [sum(part[i] * w for part, w in parts) for i in range(len(group[0][0]))], whole


def past_shapes(past: Sequence[Past], start_c: float, target_c: float) -> list[Shape]:
    """How the same procedure in the same size went before: shape and pace of each earlier make."""
    way = 1.0 if target_c > start_c else -1.0
    found: list[Shape] = []
    for curve in past:
        rates = _rates_of(curve, way)
        low, high = min(rates, default=0), max(rates, default=0)
        first, last = (low, high) if way > 0.0 else (high, low)
        if not rates or way * (first - start_c) > BEYOND_K or way * (last - target_c) < -NEARLY_K:
            continue
        pairs = [(rates[c], rates[c]) for c in range(first, last + int(way), int(way))]
        outer = max(0, int(way * (first - start_c)) + 1 + int(BEYOND_K))
        pairs = [pairs[0]] * outer + pairs + [pairs[-1]] * int(BEYOND_K)
        found.append(Shape(first - way * outer, way, pairs, 1.0 / len(past), PAST_PACE_SD))
    return found


def _rates_of(curve: Past, way: float) -> dict[int, float]:
    """K/s at each whole °C that it went through, over two kelvin; without gaps."""
    times: dict[int, float] = {}
    for (t0, c0), (t1, c1) in pairwise(curve):
        for c in range(ceil(min(c0, c1)), floor(max(c0, c1)) + 1):
            if way * (c1 - c0) > 0.0:
                times.setdefault(c, t0 + (t1 - t0) * (c - c0) / (c1 - c0))
    return {
        c: 2.0 / (times[c + 1] - times[c - 1]) * way
        for c in times
        if c - 1 in times and c + 1 in times and way * (times[c + 1] - times[c - 1]) > 0.0
    }


def cooling_shapes(
    prior: VesselPrior, ambient_c: float | None, start_c: float, target_c: float
) -> list[Shape]:
    """Air around the vessel and share of drying, each in steps."""
    table = _falling(start_c, target_c)
    if prior.in_bath:
        return table.shapes(_cold_baths(table, prior), prior, ICED)
    centre, sd = (ROOM_C, ROOM_SD_K) if ambient_c is None else (ambient_c, AMBIENT_SD_K)
    drives: list[Drive] = []
    for step in _SPREAD:
        air = centre + 1.1 * step * sd
        drives += [
            (rates, exp(-0.5 * (1.1 * step) ** 2) * share) for rates, share in _in_air(table, prior, air)
        ]
    return table.shapes(table.alike_as_one(drives, ALIKE_SETTING if prior.melts else ALIKE), prior, SETS)


def _falling(start_c: float, target_c: float) -> CoursePoints:
    """From a little above where it begins (a probe may still warm up) to a little below where it ends."""
    return CoursePoints(min(TOP_C, max(start_c, target_c + BEYOND_K) + BEYOND_K), target_c - BEYOND_K, -1.0)


def _in_air(table: CoursePoints, prior: VesselPrior, air_c: float) -> list[Drive]:
    dryings = DRYING_OIL if prior.water_share < 0.05 else DRYING_OPEN
    draughty = DRYING_DRAUGHT_OPEN if dryings is DRYING_OPEN else DRYING_DRAUGHT_LITTLE
    heat, at = prior.heat_j_k, [t for t in table.at_c if t > air_c + NEAR_K]
    dry = [dry_loss_w(prior, t, air_c) for t in at]
    wet = [drying_loss_w(prior, t, air_c) for t in at]
    gone = [0.0] * (len(table.at_c) - len(at))
    drives: list[Drive] = [
        ([(d + drying * w) / heat for d, w in zip(dry, wet, strict=True)] + gone, share * (1.0 - DRAUGHTY))
        for drying, share in dryings
    ]
    for drying, share in draughty:
        blown = [draughty_loss_w(prior, t, air_c, drying) / heat for t in at]
        drives.append((blown + gone, share * DRAUGHTY))
    return drives


def ice_shapes(prior: VesselPrior, start_c: float, target_c: float) -> list[Shape]:
    """What a vessel follows that was put into something cold."""
    table = _falling(start_c, target_c)
    return table.shapes(_cold_baths(table, prior), prior, ICED)


def _cold_baths(table: CoursePoints, prior: VesselPrior) -> list[Drive]:
    """A cold bath at a temperature nobody stated, from ice to what has been used before."""
    k_s = warming_k_s(prior, 51.0, 50.0)
    return [
        ([k_s * 40.0 * (_over(t, bath_c) / 40.0) ** power for t in table.at_c], likely * share)
        for bath_c, likely in COLD_BATHS_C
        for power, share in POWERS
    ]


def _over(temp_c: float, bath_c: float) -> float:
    return temp_c - bath_c if temp_c - bath_c > NEAR_K else 0.0


def warming_shapes(prior: VesselPrior, start_c: float, target_c: float) -> list[Shape]:
    """Baths and plates, each as the temperature it would end at; all equally fast at the start."""
    table = CoursePoints(start_c - 10.0, min(TOP_C, target_c + BEYOND_K), 1.0)
    first = warming_k_s(prior, start_c)
    drives: list[Drive] = []
    lags = ((0.0, 1.0),) if prior.in_bath else PLATE_LAGS_K
    for above, likely in BATH_ABOVE if prior.in_bath else PLATE_ABOVE:
        end_c = target_c + above
        if end_c < start_c + 2.0:
            continue
        for lag_k, lags_so in lags:
            rates = [
                first * _risen(t, start_c, lag_k) * below(t, end_c) / (end_c - start_c) for t in table.at_c
            ]
            drives.append((rates, likely * lags_so * (SELDOM if above < 0.0 and prior.melts else 1.0)))
    if prior.in_bath:
        drives += _rising_baths(table, start_c, target_c)
    if prior.bath is not None:
        drives = _told_bath(drives, table, start_c, prior)
    if prior.melts:
        drives = table.alike_as_one(drives, ALIKE_MELTING)
    return table.shapes(drives, prior, MELTS)


def _risen(temp_c: float, start_c: float, lag_k: float) -> float:
    return 1.0 if lag_k <= 0.0 else max(0.08, share_of_rise((temp_c - start_c) / lag_k))


def _rising_baths(table: CoursePoints, start_c: float, target_c: float) -> list[Drive]:
    """A bath put on cold together with the vessel: it rises steadily to its setting, the vessel behind it."""
    return [
        (
            [RISE_K_S * k / lag_k for k in ahead_of(table.at_c, start_c, target_c + above, 0.0, lag_k)],
            likely * share,
        )
        for lag_k, likely in BEHIND_K
        for above, share in RISES_TO
    ]


def _told_bath(
    untold: Sequence[Drive], table: CoursePoints, start_c: float, prior: VesselPrior
) -> list[Drive]:
    """The bath as it was told, and as any other."""
    assert prior.bath is not None
    k_s, whole = warming_k_s(prior, start_c, start_c + 1.0), sum(likely for _, likely in untold)
    told = [([k_s * k for k in ahead], so) for ahead, so in prior.bath.ahead_k(table.at_c, start_c)]
    return told + [(rates, MISTOLD * likely / whole) for rates, likely in untold]


def share_of_rise(behind: float) -> float:
    """1 - exp(-u) where u - 1 + exp(-u) = ``behind`` (temperature gained in units of the final lag), by Newton."""
    if behind <= 1e-6:
        return 0.0
    u = (2.0 * behind) ** 0.5 + behind / 3.0
    for _ in range(5):
        u -= (u - 1.0 + exp(-u) - behind) / (1.0 - exp(-u))
    return 1.0 - exp(-u)
