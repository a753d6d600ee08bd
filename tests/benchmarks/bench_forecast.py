"""When will it have cooled, or warmed? Over simulated vessels, beside two simpler rules. Simulated figures.

    python tests/benchmarks/bench_forecast.py [vessels] [first seed] [cool] [heat]

Errors are in % of the time that really remained, as median and 90th percentile, at a quarter, a half and three
quarters of each wait. "holds" is how often the 80 % interval contained the truth; "early" and "late" count the vessels
that were done before or after it, "silent" those for which nothing was said. "width" is that of the interval, in parts
of what remained.
"""

from __future__ import annotations

import sys
from math import inf
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1] / "calculations"))

from forecast_trial import RIVALS, draw, judge


def table(kind: str, count: int, first: int) -> None:
    """Print one table."""
    tallies = judge(draw(kind, count, first))
    print(f"\n{kind}: {count} simulated vessels from seed {first}")
    print(
        f"{'at':5}" + "".join(f"{who:19}" for who in ("ours", *RIVALS)) + "holds    early/late/silent  width"
    )
    for place, tally in tallies.items():
        row = f"{place:4.2f} "
        for who in ("ours", *RIVALS):
            errors = sorted(tally.errors.get(who, [inf]))
            row += f"{median(errors):5.1f} ({errors[int(0.9 * len(errors))]:5.1f})      "
        counts = f"{tally.before}/{tally.after}/{tally.silent}"
        print(f"{row}{100 * tally.share:5.1f} %  {counts:17}  {median(tally.widths):.2f}")
    inside = sum(t.inside for t in tallies.values())
    spoken = sum(t.inside + t.before + t.after for t in tallies.values())
    print(f"all three places together: {100 * inside / spoken:.1f} %")


if __name__ == "__main__":
    words = [a for a in sys.argv[1:] if not a.isdigit()]
    numbers = [int(a) for a in sys.argv[1:] if a.isdigit()]
    for what in words or ["cool", "heat"]:
        table(what, numbers[0] if numbers else 500, numbers[1] if len(numbers) > 1 else 1)
