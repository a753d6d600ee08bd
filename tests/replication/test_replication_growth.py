"""What the desk of a workshop asks takes no longer where eight times as much was made: counted in steps of the database, not in seconds."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from benches import TestBench
from postgres_cluster import quick_folder
from sqlalchemy import event
from workshop_days import FINISHED, RELEASED, delivery, filled, in_hand, started, weight

from benchapp import events as ev
from benchapp.record.chain import GENESIS
from benchapp.record.stored_event import chained
from benchapp.replication.chain_row import BEGINNING, ChainHead, ChainRow
from benchapp.replication.member import MemberBench
from benchapp.replication.together import Together
from benchapp.service.approved_elsewhere import approved_elsewhere
from benchapp.service.desk import Desk

WALL = "2026-11-28T10:42:00.000+01:00"
BENCHES = ("east", "west")
MEMBERS = {name: MemberBench(name, name[0].upper(), 1, GENESIS) for name in (*BENCHES, "north")}
FEW, MANY = 25, 200
#: The database counts so many of its instructions as a step.
STEP = 10


class Received:
    """An office that received so many batches of two benches, each from a lot of its own now and then; the last three wait."""

    def __init__(self, batches: int) -> None:
        self.office = TestBench(quick_folder(), "postgresql://north@127.0.0.1/workshop")
        joined = ev.BenchJoined(at_s=0.0, bench="north", short="N", workshop="low-tide", first=1)
        self.office.journal.append(ev.WORKSHOP, [joined])
        self.office.others.keep_members(MEMBERS)
        self.heads: dict[str, ChainHead] = dict.fromkeys(BENCHES, BEGINNING)
        self.ends = dict(self.heads)
        self.fresh: dict[str, list[ChainRow]] = {bench: [] for bench in BENCHES}
        self.counts: dict[tuple[str, str], int] = {}
        for bench in BENCHES:
            self.come(
                bench,
                ev.WORKSHOP,
                ev.BenchJoined(at_s=0.0, bench=bench, short=bench[0].upper(), workshop="low-tide", first=1),
            )
        self.come(
            "east",
            ev.WORKSHOP,
            ev.MasterApproved(
                at_s=0.0,
                procedure="oat-hand-lotion",
                version=1,
                sha256="0" * 64,
                text="",
                reason="",
                by="Mara Lind",
            ),
        )
        for n in range(batches):
            self.made(BENCHES[n % 2], n, decided=n < batches - 3)
        self.made("west", batches, over=False)
        self.together: Together = self.office.know()
        self.look()

    def come(self, bench: str, batch: str, *events: ev.Event) -> None:
        """Events of a bench are received."""
        head = self.ends[bench]
        for one in events:
            n = self.counts[bench, batch] = self.counts.get((bench, batch), 0) + 1
            row = chained(head.seq + 1, batch, n, WALL, one, head.hash)
            head = self.ends[bench] = ChainHead(row["seq"], row["hash"])
            self.fresh[bench].append(ChainRow(bench, row["seq"], row["text"], row["prev"], row["hash"]))

    def look(self) -> None:
        """What came is received, and looked at."""
        self.heads, refused = self.office.others.take(self.heads, self.fresh)
        assert not refused
        self.fresh = {bench: [] for bench in BENCHES}
        self.together.look()

    def seal(self, bench: str) -> None:
        """A bench seals the other's head."""
        other = next(name for name in BENCHES if name != bench)
        head = ev.ReceivedHead(other, self.ends[other].seq, self.ends[other].hash)
        self.come(bench, ev.WORKSHOP, ev.HeadsReceived(at_s=0.0, heads=(head,)))

    def made(self, bench: str, n: int, decided: bool = False, over: bool = True) -> None:
        """A batch from a lot that lasts for ten, with the heads of the other sealed after it."""
        short = bench[0].upper()
        batch, lot = f"20261128-lotion-{short}-{n}", f"{short}-oil-{n // 10}"
        if n % 10 < 2:
            self.come(bench, ev.WORKSHOP, delivery(lot))
            if n >= 10:
                used = ev.LotJudged(
                    at_s=0.0, lot=f"{short}-oil-{n // 10 - 1}", state="used up", reason="", by="Mara Lind"
                )
                self.come(bench, ev.WORKSHOP, used)
        self.come(
            bench, batch, started(batch), in_hand(lot, "sunflower-oil"), weight(lot, 10.0, "sunflower-oil")
        )
        if over:
            self.come(bench, batch, filled(1), FINISHED)
        if decided:
            self.come(bench, batch, RELEASED)
        self.seal(bench)


@pytest.fixture(scope="module")
def two() -> Iterator[tuple[Received, Received]]:
    """One that received little, and one that received eight times as much."""
    found = (Received(FEW), Received(MANY))
    yield found
    for one in found:
        one.together.close()
        one.office.close()


@contextmanager
def counting(*engines) -> Iterator[list[int]]:
    """How many steps the databases take meanwhile, on every connection they hand out."""
    steps = [0]

    def step() -> int:
        steps[0] += 1
        return 0

    def begun(connection, *_: object) -> None:
        connection.connection.dbapi_connection.set_progress_handler(step, STEP)

    for engine in engines:
        event.listen(engine, "begin", begun)
    try:
        yield steps
    finally:
        for engine in engines:
            event.remove(engine, "begin", begun)


def steps_of(one: Received, ask: Callable[[], object]) -> int:
    """What a question takes."""
    journal = one.together.everywhere()
    engines = (one.office.others.store.engine, one.office.journal.store.engine, journal._file.engine)
    ask()  # what is only done once
    with counting(*engines) as steps:
        ask()
    assert steps[0], "something was counted"
    return steps[0]


def weighing(one: Received) -> None:
    """A make goes on elsewhere, and the office looks."""
    batch = next(b.batch for b in one.together.everywhere().unfinished())
    one.come("west", batch, weight("W-oil-0", 1.0, "sunflower-oil"))
    one.look()


def decision(one: Received) -> None:
    """A batch is decided elsewhere, and the office looks."""
    batch = one.together.everywhere().waiting()[0].batch
    again = ev.BatchDecided(at_s=0.0, decision="rework", reason="thin", by="Mara Lind", role="releaser")
    one.seal("east")
    one.come("east", batch, again)
    one.look()


def began_anew(one: Received) -> None:
    """A program begins."""
    fresh = Together(one.office.journal, one.office.others, "north")
    fresh.everywhere()
    fresh.close()


QUESTIONS = {
    "a weighing more": weighing,
    "a decision more": decision,
    "a program begins": began_anew,
    "the newest batches": lambda one: one.together.everywhere().batches(10),
    "what is due": lambda one: Desk(one.together.everywhere()).due_list(),
    "a lot forward": lambda one: Desk(one.together.everywhere()).trace("E-oil-0"),
    "a batch back": lambda one: Desk(one.together.everywhere()).trace("20261128-lotion-E-2"),
    "its record": lambda one: (
        one.together.everywhere().by_kind("20261128-lotion-E-2").events(ev.BottleFilled)
    ),
    "what counts of its decisions": lambda one: one.together.decided("20261128-lotion-E-2"),
    "why it may not leave": lambda one: one.together.against("20261128-lotion-E-2", frozenset({"E-oil-0"})),
    "what was approved": lambda one: approved_elsewhere(one.together.everywhere()),
    "all benches": lambda one: Desk(one.together.everywhere()).benches(),
    "what does not go together": lambda one: one.together.conflicts(),
    "who may sign": lambda one: one.together.people(),
}


@pytest.mark.parametrize("what", QUESTIONS)
def test_eight_times_as_much_takes_no_longer(two, what):
    few, many = (steps_of(one, lambda one=one: QUESTIONS[what](one)) for one in two)
    assert many <= 1.35 * few + 60, f"{few} steps, and {many} where there is eight times as much"
