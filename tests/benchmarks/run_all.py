"""All benchmarks in one command, each in a process of its own, each with its rival or floor beside it.

``python tests/benchmarks/run_all.py`` takes some minutes; ``--long`` takes the full counts and most of an hour.
Take the figures on a quiet machine; what was seen last stands in docs/performance.md and docs/sums_*.md.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).parent
#: Each benchmark with its arguments: short, long.
RUNS: tuple[tuple[str, list[str], list[str]], ...] = (
    ("bench_bytes.py", [], []),
    ("bench_make.py", [], []),
    ("bench_start.py", ["3"], ["7"]),
    ("bench_pdf.py", [], []),
    ("bench_screen.py", ["start"], ["start"]),
    ("bench_screen.py", ["wire"], ["wire"]),
    ("bench_screen.py", ["make"], ["make"]),
    ("bench_store.py", ["{scratch}", "200", "1000"], ["{scratch}", "1000", "5000", "20000"]),
    ("bench_settling.py", ["1000"], ["30000"]),
    ("bench_landing.py", ["200"], ["2000"]),
    ("bench_forecast.py", ["60"], ["500"]),
    ("bench_families.py", ["3"], ["40"]),
    ("bench_kitchen.py", ["5"], ["60"]),
    ("bench_until_done.py", ["3"], ["7"]),
    ("bench_best_possible.py", ["3", "5001", "75", "60", "1"], ["20"]),
    ("bench_ph.py", ["40"], ["1000"]),
    ("bench_aside.py", ["1"], []),
    ("bench_bustle.py", ["200", "300"], []),
    ("bench_replication.py", ["5000", "5"], ["50000", "600"]),
    ("bench_replication.py", ["5000", "5", "1", "0.25"], ["20000", "15", "1", "0.5", "0.25", "0.125"]),
    ("bench_office.py", ["20000"], ["100000", "2000000"]),
    ("bench_newcomer.py", ["20000"], ["2000000"]),
)


def main() -> int:
    """Run them in turn; what one prints is shown as it comes."""
    import tempfile

    long = "--long" in sys.argv[1:]
    failed: list[str] = []
    env = {**os.environ, "PYTHONPATH": str(HERE.parents[1])}
    with tempfile.TemporaryDirectory() as scratch:
        for file, short_args, long_args in RUNS:
            args = [a.format(scratch=scratch) for a in (long_args if long else short_args)]
            print(f"\n== {file} {' '.join(args)}".replace(scratch, "FOLDER"), flush=True)
            if subprocess.run([sys.executable, str(HERE / file), *args], env=env, check=False).returncode:
                failed.append(file)
    print(f"\n{len(RUNS)} benchmarks, {len(failed)} failed {' '.join(failed)}".rstrip())
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
