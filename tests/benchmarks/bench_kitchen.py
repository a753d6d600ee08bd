"""Cooling in the other bench's kitchen, where draughts come and go and displays are coarse. Simulated figures.

    python tests/benchmarks/bench_kitchen.py [waits] [first seed]

Median error in % of what remained at a quarter, a half and three quarters (silence counts as endless); how often, at looks
15 s apart after a quarter, the 80 % interval held, the end came before it and after it; how many looks were silent; and at how
many what was said was wrong by three times its interval, ten seconds apart.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from math import inf
from pathlib import Path
from random import Random
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1]))

from otherbench.thermal import Kitchen

from benchapp.calculations.forecast import Forecaster
from benchapp.calculations.heat_loss import VesselPrior

PLACES, LOOK_S, SLACK_S = (0.25, 0.5, 0.75), 15.0, 10.0


@dataclass(frozen=True)
class Cooling:
    """One wait until the display is below ``target_c``, and what a forecaster is told of it."""

    target_c: float
    prior: VesselPrior
    readings: list[tuple[float, float]]

    @property
    def end_s(self) -> float:
        return self.readings[-1][0]


def cooling(seed: int) -> Cooling:
    """A pot of 150 to 900 g from about 73 °C, stirred always or now and then; its display in steps of 0.1 to 1 K."""
    rng, kitchen = Random(f"kitchen/{seed}"), Kitchen(seed)
    mass_g, width_m = rng.choice((150.0, 300.0, 500.0, 900.0)), rng.uniform(0.07, 0.12)
    pot = kitchen.pot(mass_g, width_m, rng.uniform(68.0, 78.0))
    pot.dries = rng.choice((1.0, 1.0, 0.7))
    stirs_s = rng.choice((0, 60, 180))
    noise_k, digit_k = rng.choice((0.01, 0.03, 0.06)), rng.choice((0.1, 0.1, 0.1, 0.5, 1.0))
    probe = kitchen.probe(pot, noise_k=noise_k, digit_k=digit_k, lag_s=rng.uniform(2.0, 8.0))
    target_c = rng.choice((40.0, 45.0))
    told_mm = 1000.0 * width_m if Random(seed).random() < 0.5 else None
    readings: list[tuple[float, float]] = []
    while not readings or readings[-1][1] >= target_c:
        pot.stirred = not stirs_s or kitchen.now_s % stirs_s < 20.0
        kitchen.step()
        kitchen.step()
        readings.append((kitchen.now_s, probe.shows(kitchen.rng)))
    return Cooling(target_c, VesselPrior(mass_g, 0.8, told_mm), readings)


def main(count: int, first: int) -> None:
    """Print the figures."""
    errors: dict[float, list[float]] = {q: [] for q in PLACES}
    held = before = after = silent = wrong = 0
    for wait in map(cooling, range(first, first + count)):
        forecaster = Forecaster("cool", wait.target_c, wait.prior, shown=True)
        marks = [(q, q * wait.end_s) for q in PLACES]
        for at_s, temp_c in wait.readings:
            forecaster.push(at_s, temp_c)
            left_s, said = wait.end_s - at_s, forecaster.forecast(at_s)
            if marks and at_s >= marks[0][1]:
                off = inf if said is None else 100.0 * abs(said.middle_s / left_s - 1.0)
                errors[marks.pop(0)[0]].append(off)
            if at_s % LOOK_S or not PLACES[0] * wait.end_s <= at_s < wait.end_s:
                continue
            if said is None:
                silent += 1
                continue
            held += said.early_s <= left_s <= said.late_s
            before += left_s < said.early_s
            after += left_s > said.late_s
            wrong += left_s > 3.0 * (said.late_s + SLACK_S) or said.early_s - SLACK_S > 3.0 * left_s
    spoken = held + before + after
    print(
        f"{count} waits: {', '.join(f'{median(off):.0f} %' for off in errors.values())}; held {100 * held / spoken:.1f} %, "
        f"before {100 * before / spoken:.1f} %, after {100 * after / spoken:.1f} %; silent {100 * silent / (spoken + silent):.1f} %; "
        f"wrong by three times at {wrong} of {spoken}"
    )


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:]]
    main(numbers[0] if numbers else 60, numbers[1] if len(numbers) > 1 else 1)
