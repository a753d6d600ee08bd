"""When will it be there? Over families of vessels that melt, set, thicken and change, beside simpler rules. Simulated.

    python tests/benchmarks/bench_families.py [vessels of each] [first seed] [words of families] [told=bath] [told=heat] [told=earlier]

With "told=bath", what heats a bath and its dial, off by 1.5 K at the most, are told as well; with "told=heat" what each
gram takes to melt, off by 15 % (one standard deviation); with "told=earlier" the curve of one earlier make.

A row: at a quarter, a half and three quarters the median error in % of what remained, in brackets that of a straight
line through all readings, of Newton's law and of a straight line through the last five minutes, and how often the 80 %
interval held; how often it held over all looks (every 15 s, after a quarter of the wait); the share of these looks
that were answered with "can't tell yet". Where something changes, places are counted from the change, and the row ends
with the median seconds until it was noticed, how many of how many in time (within 60 s, or when the probe was three
times its scatter off its course), and the looks of the five minutes after that: silent, right, wrong.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "calculations"))

from family_trial import forecaster_for, judge
from family_waits import Wait, waits
from vessel_families import FAMILIES


def cost(found: list[Wait]) -> str:
    """Milliseconds: a reading on average, and the slowest reading, look and fan of the first wait."""
    wait = found[0]
    forecaster = forecaster_for(wait)
    slowest = {"reading": 0.0, "look": 0.0, "fan": 0.0}
    whole = 0.0
    for at, temp in wait.readings:
        began = time.process_time()
        forecaster.push(at, temp)
        took = time.process_time() - began
        whole += took
        slowest["reading"] = max(slowest["reading"], took)
        for name, act in (("look", forecaster.forecast), ("fan", forecaster.fan)):
            if at % 60.0 == 0.0:
                began = time.process_time()
                act(at)
                slowest[name] = max(slowest[name], time.process_time() - began)
    text = ", ".join(f"slowest {name} {1000 * s:.0f} ms" for name, s in slowest.items())
    return f"{1000 * whole / len(wait.readings):.2f} ms a reading, {text}"


def main(count: int, first: int, words: list[str]) -> None:
    """Print the table."""
    tells = [word.removeprefix("told=") for word in words if word.startswith("told=")]
    words = [word for word in words if not word.startswith("told=")]
    for family in FAMILIES:
        if not words or any(word in family for word in words):
            found = waits(family, count, first)
            print(judge(found, tells).row(family), cost(found), flush=True)


if __name__ == "__main__":
    numbers = [int(a) for a in sys.argv[1:] if a.isdigit()]
    main(numbers[0] if numbers else 40, numbers[1] if len(numbers) > 1 else 1,
         [a for a in sys.argv[1:] if not a.isdigit()])  # fmt: skip
