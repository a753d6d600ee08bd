"""Twelve hours at the bench, played as fast as they go: one make after another in one process, four devices at 20 Hz.

Real ptys, real journal; the moment is drawn up at every look, as a screen would ask for it. Looked at each bench hour:
memory, threads, open files, what waits in queues, and how long a look takes. ``python tests/endurance/soak.py 12``.
"""

from __future__ import annotations

import dataclasses
import gc
import os
import statistics
import sys
import tempfile
import threading
import time
from dataclasses import dataclass
from pathlib import Path

from benchapp.record.journal import Journal
from benchapp.rehearsal.run import Rehearsal, rehearse
from benchapp.runtime.session_start import BatchOrder, begin, facts_of
from drivers.simulated import DEFAULT_DEVICES, PH_METER, SimulatedBench
from procedures.reading import read_procedure
from procedures.shelf import find

PERIOD_S = 0.05
#: Seconds of bench time between two looks where nothing moves: 20 lines of each device lie waiting by then.
LOOK_S = 1.0
PROCEDURES = ("tide-pool-gel", "oat-hand-lotion", "driftwood-conditioner")
#: So much of the run is warming up: what is remembered on purpose is full after the second batch whose pH was set.
WARM_SHARE = 0.5


@dataclass(frozen=True)
class Hour:
    """How things stood at the end of one bench hour."""

    hour: float
    memory_mb: float
    threads: int
    files: int
    waiting: int
    look_ms: float
    bytes_heard: int
    makes: int


def memory_mb() -> float:
    """What the process holds in memory now."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 2**20


class Soak:
    """Makes, one after another, until the hours are over."""

    def __init__(self, folder: Path, hours: float, look_every_s: float = 3600.0) -> None:
        self.folder, self.hours, self.look_every_s = folder, hours, look_every_s
        self.passed_s, self.makes, self.bytes_heard = 0.0, 0, 0
        self.looks: list[float] = []
        self.seen: list[Hour] = []

    def run(self) -> list[Hour]:
        """All of it."""
        journal = Journal(self.folder, lambda: "2026-03-01T09:00:00.000+01:00")
        while self.passed_s < self.hours * 3600.0:
            self._make(journal, PROCEDURES[self.makes % len(PROCEDURES)])
            self.makes += 1
        journal.close()
        return self.seen

    def _make(self, journal: Journal, key: str) -> None:
        recipe = read_procedure(find(key)).procedure
        devices = tuple(dataclasses.replace(d, period_s=PERIOD_S) for d in (*DEFAULT_DEVICES, PH_METER))
        with SimulatedBench(seed=self.makes, devices=devices) as bench:
            for device in devices:
                bench.model(device.name).steady_s = PERIOD_S
            facts = [facts_of(d) for d in bench.bench.devices]
            batch = f"soak-{self.makes}"
            session = begin(
                journal,
                BatchOrder(recipe, recipe.default_batch_g, facts, "Mara Lind", batch, rehearsal=True),
                lambda: bench.now_s,
            )
            rehearsal = rehearse(bench, session, self.makes)
            try:
                self._walk(rehearsal, bench)
            finally:
                rehearsal.close()

    def _walk(self, rehearsal: Rehearsal, bench: SimulatedBench) -> None:
        session, began_s = rehearsal.session, self.passed_s
        view = session.view()
        while not view.over and self.passed_s < self.hours * 3600.0:
            before = time.perf_counter()
            view = rehearsal.step()
            self.looks.append(time.perf_counter() - before)
            said = rehearsal.answers.at(view)
            if said is not None:
                session.put(said.given(session.clock(), view.prompt))
                view = session.view()
            self.passed_s = began_s + bench.now_s
            if self.passed_s >= self.look_every_s * (len(self.seen) + 1):
                self._note(rehearsal)
        self.bytes_heard += sum(d.bytes_received for d in rehearsal.devices)

    def _note(self, rehearsal: Rehearsal) -> None:
        gc.collect()
        self.seen.append(
            Hour(
                self.passed_s / 3600.0, memory_mb(), threading.active_count(), len(os.listdir("/proc/self/fd")),
                len(rehearsal.session._posted), 1e3 * statistics.median(self.looks), self.bytes_heard, self.makes,
            )
        )  # fmt: skip
        self.looks = []


def verdict(seen: list[Hour], grows_mb: float = 5.0) -> list[str]:
    """What should not be, after warming up."""
    warm = seen[round(WARM_SHARE * len(seen)) :]
    first, last = warm[0], warm[-1]
    out = []
    if last.memory_mb - first.memory_mb > grows_mb:
        out.append(f"memory grew from {first.memory_mb:.1f} to {last.memory_mb:.1f} MB")
    if last.threads > max(h.threads for h in warm[:2]):
        out.append(f"threads grew from {first.threads} to {last.threads}")
    if last.files > max(h.files for h in warm[:2]) + 2:
        out.append(f"open files grew from {first.files} to {last.files}")
    if max(h.waiting for h in warm) > 200:
        out.append("readings piled up")
    return out


def main() -> int:
    """The long run."""
    hours = float(sys.argv[1]) if len(sys.argv) > 1 else 12.0
    print("bench hour   MB  threads  files  waiting  median look ms  makes")
    with tempfile.TemporaryDirectory() as folder:
        soak = Soak(Path(folder), hours)
        soak.run()
    for h in soak.seen:
        print(
            f"{h.hour:10.1f} {h.memory_mb:5.1f} {h.threads:7} {h.files:6} {h.waiting:8} {h.look_ms:14.2f} {h.makes:6}"
        )
    found = verdict(soak.seen)
    print("\n".join(found) or "nothing grew")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
