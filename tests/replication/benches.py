"""Benches of the demo workshop "Low Tide Bench", each with its journal and its file of the others' chains."""

from __future__ import annotations

from pathlib import Path

from postgres_cluster import Database

from benchapp import events as ev
from benchapp.record import stock
from benchapp.record.journal import Journal
from benchapp.record.workshop import Workshop
from benchapp.replication.contact import Contact
from benchapp.replication.joining import join, send_last
from benchapp.replication.others import RECEIVED, OthersFile
from benchapp.replication.own_chain import own_rows
from benchapp.replication.preparing import NewBench, add_bench
from benchapp.replication.replicator import Intervals, Replicator, exchange_once
from benchapp.replication.seals import bench_of
from benchapp.replication.server import Server
from benchapp.replication.server_address import ServerAddress, server_address
from benchapp.replication.server_connection import connected
from benchapp.replication.together import Together

#: A batch of the lotion, made on the bench east.
BATCH = "20261128-lotion-E-1"


class Wall:
    """A wall clock that a test sets."""

    def __init__(self, now: str = "2026-11-28T10:42:00.000+01:00") -> None:
        self.now = now

    def __call__(self) -> str:
        return self.now


class Quick(Intervals):
    """As the program, but it asks and tries again at once."""

    look_s = 0.02
    ask_s = 0.2
    again_s = 0.05
    refused_again_s = 0.05


class TestBench:
    """One bench. ``url``: where it finds the server, as the bench it was added as."""

    __test__ = False

    def __init__(self, folder: Path, url: str) -> None:
        self.folder, self.wall = folder, Wall()
        self.address: ServerAddress = server_address(url)
        self.journal = Journal(folder, self.wall)
        self.others = OthersFile(folder)

    def close(self) -> None:
        """Let go of its files."""
        self.journal.close()
        self.others.close()

    def join(self) -> int:
        """Become a bench of the workshop."""
        with connected(self.address) as c:
            return join(self.journal, Server(c))

    def sync(self) -> Contact:
        """Exchange everything there is."""
        return exchange_once(self.journal, self.others, self.address)

    def send(self) -> None:
        """Only send."""
        with connected(self.address) as c:
            send_last(self.journal, Server(c))

    def know(self) -> Together:
        """Let its journal answer with what the others know."""
        together = Together(self.journal, self.others, bench_of(self.journal))
        self.journal.elsewhere, self.journal.all_chains = together, together.everywhere
        return together

    def replicator(self) -> Replicator:
        """The thread that does so by itself."""
        return Replicator(self.journal, self.others, self.address, pace=Quick())

    def note(self, *equipment: str) -> None:
        """Write something down, an event each."""
        planned = [
            ev.CarePlanned(at_s=0.0, equipment=e, task="cleaning", every_days=7, by="Mara Lind")
            for e in equipment
        ]
        self.journal.append(ev.WORKSHOP, planned)

    def own(self) -> list[str]:
        """The texts of its own chain."""
        return [row.text for row in own_rows(self.journal, "", 0, 1_000_000)]

    def received(self, bench: str) -> list[str]:
        """The texts of another's chain as it was received here."""
        return [row.text for row in self.others.rows(bench, 0, 1_000_000)]

    def everything(self) -> int:
        """How many events of others are here."""
        with self.others.reading() as c:
            return len(c.execute(RECEIVED.select()).all())


def on_server(database: Database, bench: str) -> list[str]:
    """The texts of a bench's chain on the server."""
    query = "select text from workshop.event where bench = %s order by seq"
    return [row[0] for row in database.execute(query, database.role(bench))]


def add(database: Database, bench: str, short: str, replaces: str = "") -> None:
    """One more bench."""
    with connected(server_address(database.owner)) as owner:
        add_bench(owner, NewBench(database.role(bench), short, replaces and database.role(replaces)))


def exchanged(*benches: TestBench) -> None:
    """Everybody sends, and then everybody has received."""
    for bench in (*benches, *benches[:-1]):
        bench.sync()


def left(bench: TestBench, lot: str) -> float:
    """What a bench knows to be left of a lot, in its unit."""
    return Workshop(bench.journal).lots().lots[lot].left


def judge(bench: TestBench, lot: str, state: str) -> None:
    """A releaser's word about a lot, on one bench."""
    stock.about_lot(
        Workshop(bench.journal), ev.LotJudged(at_s=0.0, lot=lot, state=state, reason="rancid", by="Mara Lind")
    )


def against(bench: TestBench) -> tuple[str, ...]:
    """What speaks against releasing that batch, on one bench."""
    return Workshop(bench.journal).against_elsewhere(BATCH)
