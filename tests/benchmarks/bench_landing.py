"""Where a pour lands when "stop" comes from the forecast, and when it comes from the display. Simulated figures.

    python tests/benchmarks/bench_landing.py [benches]

Each bench is one hand on one scale making eight pours. The reaction is lognormal with the median printed.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "calculations"))

from landing_trial import run


def main(count: int) -> None:
    """Print the tables."""
    for reaction_s in (0.25, 0.20, 0.35):
        found = run(count, 51, reaction_s)
        base = found["display reads the target"].median_abs_share()
        print(f"simulated, {count} benches of eight pours at 10 Hz, median reaction {reaction_s:.2f} s")
        print(f"{'':28s} {'pours':>6s} {'median error':>16s} {'of rival':>9s} {'median signed':>20s}")
        for name, x in found.items():
            share, divisions = 100 * x.median_abs_share(), x.median_abs_divisions()
            print(
                f"{name:28s} {len(x.error_g):6d} {share:7.2f} % {divisions:5.1f} d {share / 100 / base:9.2f}"
                f" {x.bias_percent():+10.3f} % {x.bias_divisions():+6.2f} d"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
