"""Ten thousand minutes of a busy bench and thousands of deliberate pushes, through the make itself. Simulated figures.

    python tests/benchmarks/bench_bustle.py [minutes] [pushes] [splashes] [seed]

"false" counts events by which a make would have gone on though nobody meant it to. Nothing was tried on hardware.
"""

from __future__ import annotations

import sys
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).parents[1] / "make"))
sys.path.insert(0, str(Path(__file__).parents[1] / "screens" / "input"))

from bustle import Pan, bustled, pushed
from busy_make import whole
from glass_trial import WATER, answered, pressed_by
from test_make_hands_free_bustle import asking, pouring

from procedures.reading import read_procedure
from procedures.shelf import find, shipped


def main(minutes: int, pushes: int, splashes: int, seed: int) -> None:
    """Print the figures."""
    beside = Pan(Random(seed))
    false = bustled(asking(), beside, minutes)
    print(f"simulated, {minutes} min beside a plain question, {sum(beside.counts.values())} happenings")
    print(f"    {beside.counts}")
    print(f"    false: {len(false)}")
    used = Pan(Random(seed + 1), resting_g=645.0, vessels=False)
    false = bustled(pouring(), used, minutes)
    print(
        f"simulated, {minutes} min on the scale of a pour that waits, {sum(used.counts.values())} happenings"
    )
    print(f"    false: {len(false)}")
    heard = pushed(asking(), Random(seed + 2), pushes)
    print(f"simulated, {pushes} times three deliberate pushes: {pushes - heard} missed or doubled "
          f"({100 * (pushes - heard) / pushes:.2f} %)")  # fmt: skip
    procedures = [read_procedure(find(key)).procedure for key in shipped()]
    left = whole(procedures, minutes, seed + 5)
    print(f"simulated, {left.minutes:.0f} min over every moment of {len(procedures)} makes, "
          f"{sum(left.counts.values())} happenings")  # fmt: skip
    print(f"    {dict(left.counts)}")
    print(
        f"    confirmed by nobody: {len(left.false)}; something else taken for a vessel: {len(left.placed)}"
    )
    for view, what in (*left.false, *left.placed):
        print(f"        {view}: {what}")
    for kind in WATER:
        came = pressed_by(kind, Random(f"{seed + 3} {kind}"), splashes)
        print(f"simulated, {splashes} times {kind} on the glass: {came['said']} said something to the make, "
              f"{came['picked']} picked something, {came['opened']} opened a sheet")  # fmt: skip
    answers, taps = answered(Random(seed + 4), splashes // 2)
    print(f"simulated, {splashes // 2} deliberate answers: {answers} missed or doubled "
          f"({200 * answers / splashes:.2f} %); as many taps: {taps} ({200 * taps / splashes:.2f} %)")  # fmt: skip


if __name__ == "__main__":
    given = [int(a) for a in sys.argv[1:]]
    main(*(given + [10_000, 3_000, 50_000, 2026][len(given) :]))
