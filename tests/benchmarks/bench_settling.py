"""Still or not, over simulated pours, beside three simpler rules. Simulated figures.

    python tests/benchmarks/bench_settling.py [pours [first seed in draughts]]

"median" and "99 %" are seconds from the instant the noiseless display stays within half a division of its rest until
the filter says still. "> 1 d" counts pours whose verdict then was more than a division off; "shown" those where the
two numbers on the display, then and at rest, are more than a division apart. "early" counts pours called still at any
reading after the hand let go while more than a division from the rest to come (a drop still to fall, a thread still
running); "taken" those that were so for the two seconds after which a make takes the weight.

On the other bench (``draughty_pours``, ``other_air``), of a thirtieth as many: seconds until still, 99 %; until taken, median and
95 %; then how many were at any moment more than a division and a half off with the dwell over ("ever far"), were so when
taken, were not taken within 13 s, "explained" those of them for which the filter said that it sways; "as means" those
taken as the mean of a sway, of these so far off, and off by more than was said. Below stands
what nobody could help who knew all of the draught but what it presses just now.
"""

from __future__ import annotations

import sys
import time
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "calculations"))

import other_air
from draughty_pours import DraughtyPour, pour
from settling_rivals import FiveEqual, OwnFlag, TwoDivisionsOneSecond
from settling_trial import DRAUGHTY_HEAD, HEAD, least_taken_far, least_untaken, run, run_draughty

from benchapp.calculations.settling import Stillness

ALL = {
    "ours, without the flag": (Stillness, False),
    "ours, with the flag": (Stillness, True),
    "the scale's own flag": (OwnFlag, True),
    "five equal readings": (FiveEqual, False),
    "max - min <= 2 d over 1 s": (TwoDivisionsOneSecond, False),
}
AIRS = {
    "without a draught": lambda seed: pour(seed, draught=False),
    "gusts that wander": lambda seed: pour(seed, draught=True),
    **{kind: partial(other_air.pour, kind=kind) for kind in other_air.KINDS},
}
OURS = {name: ALL[name] for name in list(ALL)[:2]}


def cost_us(rate_hz: float, moving: bool) -> float:
    """Microseconds for one push, at rest or while pouring."""
    still = Stillness(0.1)
    n = 200_000
    values = [round((0.37 * k if moving else 100.0 + 0.04 * (k % 3)) / 0.1) * 0.1 for k in range(n)]
    began = time.perf_counter()
    for k, value in enumerate(values):
        still.push(k / rate_hz, value, None)
    return (time.perf_counter() - began) / n * 1e6


def bound(poured: list[DraughtyPour]) -> None:
    """Print what nobody could help."""
    for watched_s in (3.0, 5.0, 13.0):
        least, but_the_worst = (least_taken_far(poured, watched_s, refused) for refused in (0.0, 0.01))
        print(
            f"who knows the draught takes {watched_s:g} s after the hand let go {least:.0f}, refusing 1 %: {but_the_worst:.0f}"
        )
    for chance in (0.1, 0.01):
        far, untaken = least_untaken(poured, chance)
        print(f"as soon as that is sure but for {chance:g}: {far:.1f} too far off, {untaken} never")


def in_peace(count: int) -> None:
    """Print the tables of the first generator."""
    print(f"simulated, 10 Hz, drips until 1.2 s after the hand let go\n{HEAD}")
    for name, trial in run(ALL, count, seed=41).items():
        print(trial.row(name))
        if name in OURS:
            print(f"    early, by what was going on: {trial.kinds}")
    part = max(count // 10, 200)
    for title, rate, drips in (
        ("20 Hz", 20.0, 1.2),
        ("5 Hz", 5.0, 1.2),
        ("10 Hz, drips until 3 s", 10.0, 3.0),
    ):
        print(f"simulated, {title}")
        for name, trial in run(OURS, part, seed=42, rate_hz=rate, drip_until_s=drips).items():
            print(trial.row(name))


def in_draughts(count: int, first: int) -> None:
    """Print the tables of the other bench."""
    makes = {name: make for name, (make, flagged) in ALL.items() if not flagged}
    for title, made in AIRS.items():
        print(f"simulated, the other bench, 10 Hz, {title}\n{DRAUGHTY_HEAD}")
        for name, found in run_draughty(makes, map(made, range(first, first + count))).items():
            print(found.row(name))
    bound([pour(seed, draught=True) for seed in range(first, first + count)])


def main(count: int, first: int) -> None:
    """Print all of it."""
    in_peace(count)
    in_draughts(max(count // 30, 200), first)
    for rate in (10.0, 20.0):
        print(
            f"{rate:g} Hz: {cost_us(rate, False):.2f} us a push at rest, {cost_us(rate, True):.2f} us while pouring"
        )


if __name__ == "__main__":
    count, first = (sys.argv[1:] + ["30000", "20001"][len(sys.argv) - 1 :])[:2]
    main(int(count), int(first))
