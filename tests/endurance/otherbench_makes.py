"""Whole makes on the independent bench, one after the other: ``python tests/endurance/otherbench_makes.py 20 [first seed]``.

Each of the shipped procedures in turn, with noise, moving air on the pans, digits of 0.1, 0.5 and 1 °C and probes lifted to
stir, and a pH that is off in every other make. What the record says is held against what truly happened. Nothing of the product's
simulation is used.
"""

from __future__ import annotations

import sys
import tempfile
from collections import Counter
from pathlib import Path
from random import Random

sys.path.append(str(Path(__file__).parents[1]))

from otherbench.whole_make import PROCEDURES, Disturbances, WholeMake, make

DIGITS = (0.1, 0.1, 0.5, 1.0)
LIFTS_S = (0.0, 240.0, 600.0)
PH_OFF = (0.0, 0.0, 0.6, -0.5)


def one(folder: Path, seed: int) -> WholeMake:
    """A make with what chance brings."""
    random = Random(f"{seed}/whole make")
    digit_k, lifts_s = random.choice(DIGITS), random.choice(LIFTS_S)
    disturbed = Disturbances(digit_k, lifts_s, random.choice(PH_OFF), draughts=True)
    return make(folder, PROCEDURES[seed % len(PROCEDURES)], seed, disturbed)


def main(makes: int, first: int = 1) -> None:
    """Print each make that was not as it should be, then the sums."""
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(first, first + makes):
            found.append(one(Path(folder), seed))
            last = found[-1]
            print(
                f"{last.key} {seed}: {last.outcome}, {last.worst_divisions:.1f} divisions, {last.worst_k:.2f} K",
                flush=True,
            )
            for said in (*last.questions, *last.deviations):
                print(f"  {last.key} {seed}: {said}", flush=True)
    asked = Counter(q for f in found for q in f.questions)
    ends = Counter(f.outcome for f in found)
    print(f"{makes} makes: {dict(ends)}, {sum(f.bench_s for f in found) / 3600:.0f} hours at the bench")
    print(f"  questions nobody needed: {sum(asked.values()) / makes:.3f} a make {dict(asked)}")
    worst = max(found, key=lambda f: f.worst_divisions)
    print(
        f"  worst weighing: {worst.worst_divisions:.1f} divisions ({worst.key} {worst.seed}: {worst.worst_line})"
    )
    for digit_k in sorted(set(DIGITS)):
        some = [f for f in found if f.digit_k == digit_k]
        if some:
            warm = max(some, key=lambda f: f.worst_k)
            print(
                f"  worst temperature, digits of {digit_k:g} K: {warm.worst_k:.2f} K ({warm.key} {warm.seed}: {warm.worst_where})"
            )
    print(f"  worst yield: {max(f.yield_off_percent for f in found):.2f} % off")


if __name__ == "__main__":
    main(*(int(x) for x in sys.argv[1:]))
