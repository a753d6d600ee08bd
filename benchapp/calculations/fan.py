"""A forecast as it is drawn: between which temperatures the batch will be, from now until it is there."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import inf

from benchapp.calculations.arrival import Arrival
from benchapp.calculations.fit import Ensemble
from benchapp.calculations.unevenness import Unevenness

Fan = tuple[tuple[float, float, float], ...]


Span = Callable[[Arrival, float, Unevenness], tuple[float, float, float]]


def fan_of(
    ensemble: Ensemble,
    now_s: float,
    now_c: float,
    steps: int,
    span_s: Span,
    at_target: tuple[float, float, float],
) -> Fan:
    """(seconds from now, lowest °C, highest °C) of the 80 % interval at ``steps`` temperatures up to the target;
    ``span_s`` tells the early, middle and late seconds of an arrival so long after the last point, and ``at_target`` are those of the
    last of them."""
    gone_s = now_s - ensemble.at_s
    temps = [now_c + (ensemble.target_c - now_c) * i / steps for i in range(steps + 1)]
    spans = [*(span_s(ensemble.arrival(c), gone_s, ensemble.uneven) for c in temps[1:-1]), at_target]
    soon = [0.0, *(early for early, _, _ in spans)]
    late = [0.0, *(late for _, _, late in spans)]
    times = sorted({*soon, *(t for t in late if t < inf)})
    sides = [sorted((_at(t, soon, temps), _at(t, late, temps))) for t in times]
    return tuple((t, low, high) for t, (low, high) in zip(times, sides, strict=True))


def _at(time_s: float, times_s: list[float], temps_c: list[float]) -> float:
    """Temperature at a time, straight between points; the last one after them."""
    for (t0, c0), (t1, c1) in pairwise(zip(times_s, temps_c, strict=True)):
        if time_s < t1:
            return c0 + (c1 - c0) * (time_s - t0) / (t1 - t0) if t0 <= time_s and t1 < inf else c0
    return temps_c[-1]
