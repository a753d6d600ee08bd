"""What the office asks of all benches, on a machine that received so many events of them: ``python tests/benchmarks/bench_office.py [EVENTS ...]``.

Beside each figure the same question of the journal of one bench that wrote as much itself.
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "replication")]

import bench_store  # noqa: E402
from benches import TestBench  # noqa: E402

from benchapp import events as ev  # noqa: E402
from benchapp.record.chain import GENESIS  # noqa: E402
from benchapp.record.journal import Journal  # noqa: E402
from benchapp.record.masters import versions_in  # noqa: E402
from benchapp.record.tables import EVENT  # noqa: E402
from benchapp.replication.chain_row import BEGINNING, ChainRow  # noqa: E402
from benchapp.replication.member import MemberBench  # noqa: E402
from benchapp.replication.server import PART  # noqa: E402
from benchapp.service.desk import Desk  # noqa: E402

TIMES = 5


def asked(journal: Journal) -> dict[str, Callable[[], object]]:
    """The questions, each of a desk that is opened for it as a page does."""
    batch = bench_store.name_of(3)
    first = Desk(journal).records.journal.stored(batch)
    lot = next(e.lot for s in first if isinstance(e := s.event, ev.WeightTaken) and e.lot)
    return {
        "the newest 200 batches": lambda: journal.batches(200),
        "what waits for a decision": lambda: journal.waiting(),
        "one batch, every event": lambda: journal.stored(batch),
        "a container back to its lots": lambda: Desk(journal).trace(f"{batch}"),
        f"a lot forward ({lot})": lambda: Desk(journal).trace(lot),
        "versions of a procedure": lambda: versions_in(journal, "oat-hand-lotion"),
    }


def measured(what: Callable[[], object]) -> float:
    """The middle of some rounds, in milliseconds."""
    took = []
    for _ in range(TIMES):
        began = time.perf_counter()
        what()
        took.append(1000 * (time.perf_counter() - began))
    return statistics.median(took)


def run(folder: Path, count: int) -> None:
    """A journal that wrote so many events, and a machine that received them."""
    rows = list(bench_store.rows(count // 100))
    own = Journal(folder / "own", lambda: "2026-11-28T10:42:00.000+01:00")
    with own.writing() as c:
        for start in range(0, len(rows), 5000):
            c.execute(EVENT.insert(), rows[start : start + 5000])
    own.rebuild_indexes()
    office = TestBench(folder / "office", "postgresql://north@127.0.0.1/workshop")
    office.journal.append(
        ev.WORKSHOP, [ev.BenchJoined(at_s=0.0, bench="north", short="N", workshop="low-tide", first=1)]
    )
    office.others.keep_members({n: MemberBench(n, n[0].upper(), 1, GENESIS) for n in ("north", "east")})
    chain = [ChainRow("east", r["seq"], r["text"], r["prev"], r["hash"]) for r in rows]
    head = {"east": BEGINNING}
    for start in range(0, len(chain), PART):
        head, _ = office.others.take(head, {"east": chain[start : start + PART]})
    together, began = office.know(), time.perf_counter()
    together.look()
    print(
        f"{len(chain)} events, gathered in {time.perf_counter() - began:.1f} s, load {os.getloadavg()[0]:.1f}"
    )
    print(f"  {'nothing new: the look before each question':48} {measured(together.look):8.1f} ms")
    everywhere = together.everywhere()
    alone = asked(own)
    for name, ask in asked(everywhere).items():
        print(
            f"  {name:48} {measured(ask):8.1f} ms   one bench's own {measured(alone[name]):8.1f} ms",
            flush=True,
        )
    benches = Desk(everywhere)
    print(f"  {'all benches':48} {measured(benches.benches):8.1f} ms")
    together.close()
    office.close()
    own.close()


if __name__ == "__main__":
    for events in [int(word) for word in sys.argv[1:]] or [50_000, 200_000]:
        with tempfile.TemporaryDirectory() as scratch:
            run(Path(scratch), events)
