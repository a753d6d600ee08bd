"""What is the least error with which anybody could foretell wax that melts, beside ours? Simulated; takes minutes.

    python tests/benchmarks/bench_best_possible.py [waits] [first seed] [place, in %] [pots] [runs]

A row for each of the two families of wax (``vessel_families``): the median error of a forecaster that knows how these
pots are drawn and by which laws they melt, believed to three tenths of a kelvin (``wax_posterior``), how often its 80 %
interval held, and the same of ours. Few pots or one run are too sure of themselves and no bound: they only show that it runs.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import fmean, median

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "calculations"))

import numpy as np
from family_trial import forecaster_for
from family_waits import Wait, waits
from wax_posterior import Readings, pooled, weighed

FAMILIES = ("wax phase in a bath", "wax phase on a plate")
MOVES = 6


def ours(wait: Wait, look_s: float) -> tuple[float, bool] | None:
    """Error in %, and whether the interval held; None where nothing was said."""
    forecaster = forecaster_for(wait)
    for at, temp in wait.readings:
        if at > look_s:
            break
        forecaster.push(at, temp)
    answer, true = forecaster.forecast(look_s), wait.reached_s - look_s
    if answer is None:
        return None
    return abs(answer.middle_s / true - 1.0) * 100.0, answer.early_s <= true <= answer.late_s


def main(count: int, first: int, place: float, each: int, runs: int) -> None:
    """Print the rows."""
    for family in FAMILIES:
        found = waits(family, count, first)
        readings = Readings(found, place)
        done = [weighed(readings, each, MOVES, np.random.default_rng(n)) for n in range(runs)]
        errors, held, own = [], 0, []
        for n, wait in enumerate(found):
            true = wait.reached_s - readings.looks_s[n]
            early, middle, late = pooled(done, n, (0.1, 0.5, 0.9))
            errors.append(abs(middle / true - 1.0) * 100.0)
            held += early <= true <= late
            said = ours(wait, readings.looks_s[n])
            own += [] if said is None else [said]
            print(
                f"    {true:.0f}: {middle:.0f} ({early:.0f} to {late:.0f}); ours off by {said and round(said[0])} %",
                flush=True,
            )
        print(
            f"{family}, {100 * place:.0f} %: best possible {median(errors):.0f} %, held {held} of {count}; "
            f"ours {median(e for e, _ in own):.0f} %, held {100 * fmean(h for _, h in own):.0f} % of {len(own)}",
            flush=True,
        )


if __name__ == "__main__":
    numbers = [int(a) for a in sys.argv[1:]] + [20, 5001, 75, 400, 2][len(sys.argv) - 1 :]
    main(numbers[0], numbers[1], numbers[2] / 100.0, numbers[3], numbers[4])
