"""Forecasts over simulated vessels: how far off, and how often the 80 % interval holds, beside simpler rules.

Run: python tests/benchmarks/forecast_vessels.py [vessels] [first seed]
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from math import inf, log
from pathlib import Path
from statistics import median

if __name__ == "__main__":
    sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

from simulated_vessels import Curve, draw_cooling, draw_warming

from benchapp.calculations.forecast import Forecaster
from benchapp.calculations.heat_loss import VesselPrior

PLACES = (0.25, 0.5, 0.75)
Seen = list[tuple[float, float]]


def forecaster_for(curve: Curve) -> Forecaster:
    """As it is told."""
    prior = VesselPrior(
        curve.told_mass_g, curve.told_water, curve.told_diameter_mm, curve.told_lid, curve.in_bath
    )
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


def table(kind: str, count: int, first: int) -> None:
    """Print one table."""
    tallies = judge(draw(kind, count, first))
    print(
        f"\n{kind}: {count} simulated vessels from seed {first}; error in % of what remains, median (90th percentile)"
    )
    print(
        "at    ours           straight line   Newton          interval holds  early/late/silent  width of what remains"
    )
    for q, t in tallies.items():
        cells = []
        for who in ("ours", *RIVALS):
            errors = sorted(t.errors.get(who, [inf]))
            cells.append(f"{median(errors):5.1f} ({errors[int(0.9 * len(errors))]:5.1f})")
        print(
            f"{q:4.2f}  {'  '.join(cells)}  {100 * t.share:5.1f} %  {t.before}/{t.after}/{t.silent}  {median(t.widths):.2f}"
        )
    inside = sum(t.inside for t in tallies.values())
    spoken = sum(t.inside + t.before + t.after for t in tallies.values())
    print(f"all three together: {100 * inside / spoken:.1f} %")


if __name__ == "__main__":
    number = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    seed = int(sys.argv[2]) if len(sys.argv) > 2 else 1
    kinds = sys.argv[3:] or ["cool", "heat"]
    for what in kinds:
        table(what, number, seed)
