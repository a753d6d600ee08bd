"""Forecasts over simulated vessels, beside a straight line and Newton's law: how far off, and does the interval hold."""

from __future__ import annotations

from collections.abc import Callable
from math import inf, log

from simulated_vessels import Curve, draw_cooling, draw_warming

from benchapp.calculations.forecast import Forecaster
from benchapp.calculations.heat_loss import VesselPrior

PLACES = (0.25, 0.5, 0.75)
Seen = list[tuple[float, float]]


def forecaster_for(curve: Curve) -> Forecaster:
    """As it is told."""
    prior = VesselPrior(curve.told_mass_g, curve.told_water, curve.told_diameter_mm, in_bath=curve.in_bath)
    return Forecaster(curve.kind, curve.target_c, prior, curve.told_ambient_c)  # type: ignore[arg-type]


def start_of(curve: Curve) -> float:
    """When the wait begins: the highest reading of the first three minutes where it cools."""
    early = [r for r in curve.readings if r[0] <= 180.0]
    return max(early, key=lambda r: r[1])[0] if curve.kind == "cool" else 0.0


def straight_line(curve: Curve, seen: Seen, now_s: float) -> float | None:
    """The mean pace so far, drawn on."""
    (t0, c0), (t1, c1) = seen[0], seen[-1]
    if t1 <= t0:
        return None
    pace = (c1 - c0) / (t1 - t0)
    return (curve.target_c - c1) / pace if pace * (curve.target_c - c1) > 0.0 else None


def newton(curve: Curve, seen: Seen, now_s: float) -> float | None:
    """Newton's law towards the room (or 10 K above the target for a bath), with the mean constant so far."""
    room = (curve.told_ambient_c or 21.0) if curve.kind == "cool" else curve.target_c + 10.0
    (t0, c0), (t1, c1) = seen[0], seen[-1]
    ratio = (c0 - room) / (c1 - room)
    if t1 <= t0 or ratio <= 1.0 or (c1 - room) / (curve.target_c - room) <= 0.0:
        return None
    return log((c1 - room) / (curve.target_c - room)) / (log(ratio) / (t1 - t0))


RIVALS: dict[str, Callable[[Curve, Seen, float], float | None]] = {
    "straight line": straight_line,
    "Newton": newton,
}


class Tally:
    """Errors in % of what remained, and how the interval fared."""

    def __init__(self) -> None:
        self.errors: dict[str, list[float]] = {}
        self.inside = self.before = self.after = self.silent = 0
        self.widths: list[float] = []

    def error(self, who: str, middle: float | None, true_s: float) -> None:
        off = inf if middle is None else abs(middle - true_s) / true_s * 100.0
        self.errors.setdefault(who, []).append(off)

    @property
    def share(self) -> float:
        spoken = self.inside + self.before + self.after
        return self.inside / spoken if spoken else 0.0


def judge(curves: list[Curve]) -> dict[float, Tally]:
    """Every curve at a quarter, a half and three quarters of its time."""
    tallies = {q: Tally() for q in PLACES}
    for curve in curves:
        forecaster, begun = forecaster_for(curve), start_of(curve)
        marks = [(q, begun + q * (curve.reached_s - begun)) for q in PLACES]
        seen: Seen = []
        for at, temp in curve.readings:
            while marks and at > marks[0][1]:
                q, now = marks.pop(0)
                true = curve.reached_s - now
                tally = tallies[q]
                for name, rival in RIVALS.items():
                    tally.error(name, rival(curve, seen, now), true)
                answer = forecaster.forecast(now)
                if answer is None:
                    tally.silent += 1
                    continue
                tally.error("ours", answer.middle_s, true)
                tally.widths.append((answer.late_s - answer.early_s) / true)
                if true < answer.early_s:
                    tally.before += 1
                elif true > answer.late_s:
                    tally.after += 1
                else:
                    tally.inside += 1
            forecaster.push(at, temp)
            if at >= begun:
                seen.append((at, temp))
    return tallies


def draw(kind: str, count: int, first: int) -> list[Curve]:
    """The first ``count`` curves that get there and take two minutes at least."""
    curves: list[Curve] = []
    seed = first
    while len(curves) < count:
        curve = draw_cooling(seed) if kind == "cool" else draw_warming(seed)
        if curve is not None and curve.reached_s - start_of(curve) > 120.0:
            curves.append(curve)
        seed += 1
    return curves
