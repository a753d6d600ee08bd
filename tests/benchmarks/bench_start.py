"""How much processor time a command takes to start: user and system seconds of whole processes, the least of several
runs, beside a Python that does nothing, in the same run. Every command reads a workshop in which one batch was rehearsed.

    python tests/benchmarks/bench_start.py [RUNS]
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

#: The most a command may take, in seconds: --help, and any other.
HELP_S, COMMAND_S = 0.3, 0.6
ENV = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY", "SDL_VIDEODRIVER")}


def cpu_s(words: list[str], runs: int) -> float:
    """The least processor time of ``runs`` processes."""
    best = float("inf")
    for _ in range(runs):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(
            [sys.executable, *words], capture_output=True, stdin=subprocess.DEVNULL, env=ENV, check=False
        )
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        took = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        best = min(best, took)
    return best


def commands(folder: Path) -> list[list[str]]:
    """The commands that look and end by themselves; what they are given is in the folder."""
    data = ["--data", str(folder)]
    listed = subprocess.run(
        [sys.executable, "-m", "benchapp.cli", "batches", *data],
        capture_output=True,
        text=True,
        env=ENV,
        check=True,
    )
    batch = next(word for word in listed.stdout.split() if "tide-pool-gel" in word and word[0].isdigit())
    return [
        ["--help"], ["lot", "--help"], ["batches", *data], ["due", *data], ["lot", "list", *data],
        ["person", "list", *data], ["trends", "tide-pool-gel", *data], ["trace", batch, *data],
        ["verify", *data], ["release", batch, *data], ["record", batch, *data],
        ["record", batch, "--as", "json", *data], ["compare", batch, batch, *data], ["competence", "show", *data],
        ["debrief", batch, *data], ["scenarios", *data], ["check", "tide-pool-gel"], ["plan", "tide-pool-gel"],
        ["resume", *data], ["listen", "--help"],
    ]  # fmt: skip


def main(runs: int = 5) -> None:
    """Print the table; a command that takes too long is marked."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        rehearse = ["rehearse", "tide-pool-gel", "--pace", "0", "--terminal", "--data", str(folder)]
        subprocess.run(
            [sys.executable, "-m", "benchapp.cli", *rehearse],
            stdin=subprocess.DEVNULL, capture_output=True, env=ENV, check=True,
        )  # fmt: skip
        floor = cpu_s(["-c", "pass"], runs)
        print(f"{floor:5.2f} s  python -c pass")
        for words in commands(folder):
            took = cpu_s(["-m", "benchapp.cli", *words], runs)
            limit = HELP_S if words == ["--help"] else COMMAND_S
            shown = " ".join(w for w in words if w not in ("--data", name))
            print(f"{took:5.2f} s  benchapp {shown}{f'   more than {limit} s' if took > limit else ''}")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:2]))
