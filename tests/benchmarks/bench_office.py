"""What the office asks of all benches, on a machine that received so many events of ten of them:
``python tests/benchmarks/bench_office.py [--keep FOLDER] [EVENTS ...]``. With ``--keep`` the machine stays there and is only asked the next time.

Ten benches make in turn, each seals the heads of the others after each batch, and draws on lots that one of them received. Their chains are kept and
gathered by the product's own code. Each question is asked of a desk that is opened for it, as a page does; the middle of five.
"""

from __future__ import annotations

import argparse
import os
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "replication")]

import bench_store  # noqa: E402
from benches import TestBench  # noqa: E402

from benchapp import events as ev  # noqa: E402
from benchapp.record.chain import GENESIS  # noqa: E402
from benchapp.record.journal import Journal  # noqa: E402
from benchapp.record.stored_event import chained  # noqa: E402
from benchapp.replication.chain_row import BEGINNING, ChainHead, ChainRow  # noqa: E402
from benchapp.replication.member import MemberBench  # noqa: E402
from benchapp.replication.server import PART  # noqa: E402
from benchapp.replication.together import Together  # noqa: E402
from benchapp.service.approved_elsewhere import approved_elsewhere  # noqa: E402
from benchapp.service.desk import Desk  # noqa: E402
from benchapp.service.open_matters import open_matters  # noqa: E402

TIMES, BENCHES, WAITING = 5, 10, 20
#: The makes that are under way have come so far.
UNDER_WAY = 40
NAMES = tuple(f"bench{n}" for n in range(BENCHES))
MEMBERS = {
    "north": MemberBench("north", "N", 1, GENESIS),
    **{name: MemberBench(name, "ABCDEFGHIJ"[n], 1, GENESIS) for n, name in enumerate(NAMES)},
}


class Chain:
    """The chain of one bench as it grows."""

    def __init__(self, bench: str) -> None:
        self.bench, self.head, self.workshop_n = bench, ChainHead(0, GENESIS), 0
        self.fresh: list[ChainRow] = []

    def write(self, batch: str, n: int, wall: str, event: ev.Event) -> None:
        """One event more."""
        row = chained(self.head.seq + 1, batch, n, wall, event, self.head.hash)
        self.head = ChainHead(row["seq"], row["hash"])
        self.fresh.append(ChainRow(self.bench, row["seq"], row["text"], row["prev"], row["hash"]))

    def note(self, wall: str, *events: ev.Event) -> None:
        """What belongs to no batch."""
        for event in events:
            self.workshop_n += 1
            self.write(ev.WORKSHOP, self.workshop_n, wall, event)


def grown(chains: dict[str, Chain], batches: int) -> Iterator[None]:
    """The chains a batch longer each time; the last makes are under way, those before wait for a decision."""
    dice = random.Random(bench_store.SEED)
    for chain in chains.values():
        member = MEMBERS[chain.bench]
        joined = ev.BenchJoined(at_s=0.0, bench=chain.bench, short=member.short, workshop="low-tide", first=1)
        chain.note(bench_store.wall_of(0), joined)
    for number in range(batches):
        wall, chain = bench_store.wall_of(number), chains[NAMES[number % BENCHES]]
        if not number:
            chain.note(wall, approved())
        chain.note(wall, *bench_store.deliveries(number))
        made = bench_store.batch_events(number, dice, number >= batches - WAITING - BENCHES)
        for n, event in enumerate(made[: UNDER_WAY if number >= batches - BENCHES else None], 1):
            chain.write(bench_store.name_of(number), n, wall, event)
        others = (one for one in chains.values() if one is not chain)
        heads = tuple(ev.ReceivedHead(one.bench, one.head.seq, one.head.hash) for one in others)
        chain.note(wall, ev.HeadsReceived(at_s=0.0, heads=heads))
        yield


def approved() -> ev.MasterApproved:
    """The first version of what they all make."""
    lotion = bench_store.LOTION
    return ev.MasterApproved(
        at_s=0.0, procedure=lotion.key, version=1, sha256=lotion.sha256, text=lotion.text, reason="", by="Mara Lind"
    )  # fmt: skip


class Office:
    """The machine that received it all."""

    def __init__(self, folder: Path, batches: int) -> None:
        self.batches = batches
        self.bench = TestBench(folder, "postgresql://north@127.0.0.1/workshop")
        self.bench.wall.now = bench_store.wall_of(batches)
        self.heads = {name: self.bench.others.head(name) or BEGINNING for name in NAMES}

    def build(self) -> None:
        """Receive everything."""
        if any(head.seq for head in self.heads.values()):
            return
        self.bench.journal.append(
            ev.WORKSHOP, [ev.BenchJoined(at_s=0.0, bench="north", short="N", workshop="low-tide", first=1)]
        )
        self.bench.others.keep_members(MEMBERS)
        chains = {name: Chain(name) for name in NAMES}
        for _ in grown(chains, self.batches):
            for name, chain in chains.items():
                if len(chain.fresh) >= PART:
                    self.take(name, chain.fresh)
                    chain.fresh = []
        for name, chain in chains.items():
            self.take(name, chain.fresh)

    def take(self, bench: str, rows: list[ChainRow]) -> None:
        """Keep the next part of a chain."""
        self.heads, refused = self.bench.others.take(self.heads, {bench: rows})
        assert not refused, refused

    def more(self, bench: str, batch: str, event: ev.Event) -> None:
        """One event more of a bench, received."""
        chain = Chain(bench)
        chain.head = self.heads[bench]
        last = max((s.n for s in self.bench.journal.everywhere.stored(batch)), default=0) % 10**7
        chain.write(batch, last + 1, self.bench.wall(), event)
        self.take(bench, chain.fresh)


def questions(journal: Journal, batches: int) -> dict[str, Callable[[], object]]:
    """What a desk is asked."""
    batch, lot = bench_store.name_of(batches // 2), bench_store.lot_of(bench_store.LINES[0], batches // 2)
    return {
        "the newest 200 batches": lambda: journal.batches(200),
        "what waits for a decision": lambda: journal.waiting(),
        "what is due": lambda: open_matters(Desk(journal)),
        "the book of lots": lambda: Desk(journal).stock_list(),
        "a lot forward": lambda: Desk(journal).trace(lot),
        "a container back to its lots": lambda: Desk(journal).trace(f"{batch}/7"),
        "a recall": lambda: Desk(journal).recall(lot),
        "trends of a procedure": lambda: Desk(journal).trend(bench_store.LOTION.key),
        "where a batch stands, to release it": lambda: Desk(journal).batch(batch),
        "one batch, every event": lambda: journal.stored(batch),
        "what was approved on other benches": lambda: approved_elsewhere(journal),
        "all benches: what is made now": lambda: Desk(journal).benches(),
        "what does not go together": lambda: journal.elsewhere.conflicts() if journal.elsewhere else (),
    }  # fmt: skip


def measured(what: Callable[[], object], before: Callable[[], object] = lambda: None) -> float:
    """The middle of some rounds, in milliseconds; ``before`` each round, not counted."""
    took = []
    for _ in range(TIMES):
        before()
        began = time.perf_counter()
        what()
        took.append(1000 * (time.perf_counter() - began))
    return statistics.median(took)


def said(what: str, ms: float) -> None:
    """A line."""
    print(f"  {what:56} {ms:9.1f} ms", flush=True)


def arriving(office: Office) -> Iterator[tuple[str, Callable[[], object]]]:
    """Events that come while the office is asked."""
    batch, waiting = (bench_store.name_of(office.batches - n) for n in (1, 15))
    maker = NAMES[(office.batches - 1) % BENCHES]
    lot = bench_store.lot_of(bench_store.LINES[0], office.batches - 1)
    judged = ev.LotJudged(at_s=0.0, lot=lot, state="usable", reason="seen", by="Mara Lind")
    decided = ev.BatchDecided(at_s=0.0, decision="rework", reason="thin", by="Mara Lind", role="releaser")
    heads = tuple(ev.ReceivedHead(b, h.seq, h.hash) for b, h in office.heads.items() if b != NAMES[1])
    weighed = next(
        s.event for s in office.bench.journal.everywhere.stored(batch) if isinstance(s.event, ev.WeightTaken)
    )
    yield "a weighing", lambda: office.more(maker, batch, weighed)
    yield "a lot judged", lambda: office.more(NAMES[0], ev.WORKSHOP, judged)
    yield "a decision", lambda: office.more(NAMES[3], waiting, decided)
    yield "heads sealed", lambda: office.more(NAMES[1], ev.WORKSHOP, ev.HeadsReceived(at_s=0.0, heads=heads))


def run(folder: Path, count: int) -> None:
    """The questions, on a machine that received so many events."""
    began = time.perf_counter()
    office = Office(folder, count // 102)
    office.build()
    events = sum(head.seq for head in office.heads.values())
    print(f"{events} events, written and received in {time.perf_counter() - began:.0f} s", flush=True)
    began = time.perf_counter()
    together = office.bench.know()
    together.look()
    print(f"  gathered in {time.perf_counter() - began:.1f} s; load {os.getloadavg()[0]:.1f}", flush=True)

    def begun_anew() -> None:
        one = Together(office.bench.journal, office.bench.others, "north")
        one.everywhere()
        one.close()

    said("the first look of a program that begins", measured(begun_anew))
    said("nothing new: the look before each question", measured(together.look))
    for name, ask in questions(together.everywhere(), office.batches).items():
        said(name, measured(ask))
    for name, come in arriving(office):
        said(f"the look after {name} more", measured(together.look, come))
    print(f"  load {os.getloadavg()[0]:.1f}")
    together.close()
    office.bench.close()


def main() -> None:
    """Each size in turn."""
    given = argparse.ArgumentParser(description=__doc__)
    given.add_argument("--keep", type=Path)
    given.add_argument("events", nargs="*", type=int)
    args = given.parse_args()
    for count in args.events or [50_000, 200_000]:
        if args.keep:
            run(args.keep / str(count), count)
            continue
        with tempfile.TemporaryDirectory() as scratch:
            run(Path(scratch), count)


if __name__ == "__main__":
    main()
