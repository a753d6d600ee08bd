"""How soon is a lid noticed, by ours and by who knows the very vessel? Simulated.

    python tests/benchmarks/bench_lid.py [vessels] [first seed]

In time: within 60 s, or when the probe is three times its scatter off its course. Falsely: in the same vessels left alone.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1]))
sys.path.insert(0, str(Path(__file__).parents[1] / "calculations"))

from family_trial import NOTICED_S, judge
from family_waits import waits
from known_vessel import falsely_said, noticed_late_s


def main(count: int, first: int) -> None:
    """Print the lines."""
    found = waits("lid put on or taken off", count, first)
    ours, false = judge(found), falsely_said(found)
    print(f"ours: {ours.in_time} of {count} in time, median {median(ours.late_s):.0f} s, falsely {false}")
    for so_many in (false, 0):
        late = noticed_late_s(found, so_many)
        allowed = [max(NOTICED_S, (w.plain_s or 0.0) - (w.changed_s or 0.0)) for w in found]
        in_time = sum(s <= a for s, a in zip(late, allowed, strict=True))
        print(f"who knows the vessel: {in_time} of {count}, median {median(late):.0f} s, falsely {so_many}")


if __name__ == "__main__":
    numbers = [int(a) for a in sys.argv[1:]] + [60, 5001][len(sys.argv) - 1 :]
    main(numbers[0], numbers[1])
