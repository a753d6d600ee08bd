"""How fast a bench's chain gets to the server and to the others, on a server that syncs every commit to the disk.

``python tests/benchmarks/bench_replication.py [EVENTS [SECONDS [EVERY]]]``; without numbers 50,000 events, 20 s, and an event
of each bench every second. Beside each figure in the
same run: the floor (COPY of the same rows into a table without any guard), the rivals (INSERT of as many at a time, and one a
transaction), and for the arrival how long a NOTIFY alone takes.
"""

from __future__ import annotations

import itertools
import os
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "replication")]

import bench_store  # noqa: E402
import psycopg  # noqa: E402
from benches import TestBench, add  # noqa: E402
from postgres_cluster import Cluster, Database  # noqa: E402

from benchapp import events as ev  # noqa: E402
from benchapp.record.chain import GENESIS  # noqa: E402
from benchapp.record.stored_event import chained  # noqa: E402
from benchapp.record.tables import EVENT  # noqa: E402
from benchapp.replication.chain_row import BEGINNING, ChainHead, ChainRow  # noqa: E402
from benchapp.replication.exchange import Exchange  # noqa: E402
from benchapp.replication.member import MemberBench  # noqa: E402
from benchapp.replication.own_chain import own_head, own_rows  # noqa: E402
from benchapp.replication.preparing import prepare  # noqa: E402
from benchapp.replication.replicator import Replicator  # noqa: E402
from benchapp.replication.server import PART, Server  # noqa: E402
from benchapp.replication.server_address import server_address  # noqa: E402
from benchapp.replication.server_connection import connected  # noqa: E402

PLAIN = "create table public.{} (bench text, seq bigint, text text, prev text, hash text, primary key (bench, seq))"
#: Of the 50 benches so many are whole ones; the others only send, an event a second each.
WHOLE, SENDERS = 3, 47
ONE_BY_ONE = 2000


def timed(what: str, count: int, do: Callable[[], object]) -> None:
    """Do it, and print how long it took and how many a second that is."""
    began = time.perf_counter()
    do()
    took_s = time.perf_counter() - began
    print(f"  {what:62} {took_s:7.2f} s {count / took_s:10,.0f} events/s", flush=True)


def grow(bench: TestBench, count: int) -> None:
    """A journal of so many events, 1,000 a transaction."""
    for part in range(0, count, 1000):
        head, rows = own_head(bench.journal), []
        prev = head.hash
        for n in range(min(1000, count - part)):
            event = ev.TemperaturesLogged(
                at_s=float(part + n),
                step="04-heat",
                temps_c=(("pot", 61.5), ("beaker", 58.25)),
                source=ev.Source.MEASURED,
            )
            rows.append(
                chained(head.seq + n + 1, "20261128-lotion-E-1", part + n + 1, bench.wall(), event, prev)
            )
            prev = rows[-1]["hash"]
        with bench.journal.writing() as c:
            c.execute(EVENT.insert(), rows)


def backlog(database: Database, folder: Path, count: int) -> None:
    """A bench that was offline for a week."""
    east, west = (TestBench(folder / name, database.url(name)) for name in ("east", "west"))
    for bench in (east, west):
        bench.join()
    grow(east, count)
    rows = own_rows(east.journal, "x", 0, count)
    size = sum(len(row.text) for row in rows) / len(rows)
    print(f"a backlog of {count:,} events of {size:.0f} characters", flush=True)
    with psycopg.connect(database.superuser, autocommit=True) as c:
        for name in ("copied", "inserted", "one_by_one"):
            c.execute(PLAIN.format(name))
        timed("floor: COPY, one transaction, no guard", count, lambda: copied(c, rows))
        timed(
            f"rival: INSERT, {PART} a transaction, no guard",
            count,
            lambda: inserted(c, "inserted", rows, PART),
        )
        few = rows[:ONE_BY_ONE]
        timed(
            "rival: INSERT, one a transaction, no guard", len(few), lambda: inserted(c, "one_by_one", few, 1)
        )
    timed("ours: read from the journal, sent, each chained and checked", count, lambda: sent(east))
    timed("ours: received, each checked and kept in the file of the others", count, lambda: received(west))
    for bench in (east, west):
        bench.close()


def copied(c: psycopg.Connection, rows: Sequence[ChainRow]) -> None:
    """The floor."""
    with c.cursor().copy("copy public.copied from stdin") as copy:
        for row in rows:
            copy.write_row(row)


def inserted(c: psycopg.Connection, table: str, rows: Sequence[ChainRow], part: int) -> None:
    """A rival."""
    words = f"insert into public.{table} values (%s, %s, %s, %s, %s)"
    for start in range(0, len(rows), part):
        with c.transaction():
            c.cursor().executemany(words, rows[start : start + part])


def sent(bench: TestBench) -> None:
    """What the replicator does, without its pauses."""
    with connected(bench.address) as c:
        exchange = Exchange(bench.journal, bench.others, Server(c))
        while exchange.send():
            pass


def received(bench: TestBench) -> None:
    """Likewise."""
    with connected(bench.address) as c:
        exchange = Exchange(bench.journal, bench.others, Server(c))
        while exchange.receive():
            pass


# --- what all of them know ---------------------------------------------------------------------------------


def known(folder: Path, count: int) -> None:
    """A bench that received so many events of another: everything gathered at once, and once more after one weighing."""
    bench = TestBench(folder / "north", "postgresql://north@127.0.0.1/workshop")
    bench.journal.append(
        ev.WORKSHOP, [ev.BenchJoined(at_s=0.0, bench="north", short="N", workshop="low-tide", first=1)]
    )
    bench.others.keep_members({n: MemberBench(n, n[0].upper(), 1, GENESIS) for n in ("north", "east")})
    chain = [
        ChainRow("east", r["seq"], r["text"], r["prev"], r["hash"]) for r in bench_store.rows(count // 100)
    ]
    head = {"east": BEGINNING}
    for start in range(0, len(chain), PART):
        head, _ = bench.others.take(head, {"east": chain[start : start + PART]})
    together, last = bench.know(), chain[-1]
    timed("everything known of them, gathered for the first time", len(chain), together.look)
    draw = bench_store._weighing(0)
    row = chained(last.seq + 1, bench_store.name_of(0), 1000, "", draw, last.hash)
    head, _ = bench.others.take(
        head, {"east": [ChainRow("east", row["seq"], row["text"], row["prev"], row["hash"])]}
    )
    timed("the same after one weighing more", 1, together.look)
    timed("the book of lots, nothing new", 1, lambda: together.lots({}))
    bench.close()


# --- arrival -----------------------------------------------------------------------------------------------


class Arrivals:
    """When each event was handed to the server, and when each bench had it on its disk."""

    def __init__(self) -> None:
        self.sent: dict[tuple[str, int], float] = {}
        self.waits: list[float] = []

    def watch(self, bench: TestBench) -> None:
        """Note whatever this bench receives from now on."""
        take = bench.others.take

        def taking(
            heads: Mapping[str, ChainHead], came: Mapping[str, Sequence[ChainRow]]
        ) -> tuple[dict[str, ChainHead], dict[str, str]]:
            found = take(heads, came)
            now = time.perf_counter()
            self.waits += [
                now - self.sent[key]
                for rows in came.values()
                for r in rows
                if (key := (r.bench, r.seq)) in self.sent
            ]
            return found

        bench.others.take = taking  # type: ignore[method-assign]


def arrival(database: Database, folder: Path, seconds: float, every_s: float) -> None:
    """Fifty benches, an event each in so many seconds."""
    arrivals, over = Arrivals(), threading.Event()
    whole = [TestBench(folder / f"w{n}", database.url(f"w{n}")) for n in range(WHOLE)]
    for bench in whole:
        bench.join()
        arrivals.watch(bench)
    running = [Replicator(b.journal, b.others, b.address) for b in whole]
    senders = [
        threading.Thread(target=send_on, args=(database, n, every_s, (arrivals, over)))
        for n in range(SENDERS)
    ]
    for one in (*running, *senders):
        one.start()
    cpu_s, began = time.process_time(), time.perf_counter()
    for n in itertools.count():
        if over.wait(every_s) or time.perf_counter() - began > seconds:
            break
        for bench in whole:
            bench.note(f"event {n}")
    over.set()
    for thread in senders:
        thread.join()
    used = (time.process_time() - cpu_s) / (time.perf_counter() - began)
    for one in running:
        one.stop()
    waits = sorted(arrivals.waits)
    p50, p99 = statistics.median(waits), waits[int(len(waits) * 0.99)]
    print(
        f"{WHOLE + SENDERS} benches, an event each in {every_s:g} s, {seconds:.0f} s: {len(waits):,} arrivals, p50 {1000 * p50:.1f} ms, "
        f"p99 {1000 * p99:.1f} ms, longest {1000 * waits[-1]:.1f} ms; {used:.2f} of a processor for all of them but the server",
        flush=True,
    )
    for bench in whole:
        bench.close()


def send_on(database: Database, number: int, every_s: float, to: tuple[Arrivals, threading.Event]) -> None:
    """A bench that only sends, each time at a moment of its own."""
    arrivals, over = to
    name = f"s{number}"
    with connected(server_address(database.url(name))) as c:
        server = Server(c)
        prev, bench = "0" * 64, server.role
        over.wait(every_s * number / SENDERS)
        for seq in itertools.count(1):
            row = chained(seq, "b", seq, "", ev.Watched(at_s=float(seq), step="06-cool"), prev)
            prev = row["hash"]
            arrivals.sent[bench, seq] = time.perf_counter()
            server.add([ChainRow(bench, seq, row["text"], row["prev"], prev)])
            if over.wait(every_s):
                return


def notify_alone(database: Database) -> None:
    """The floor of the arrival: how long a hint takes."""
    waits: list[float] = []
    with (
        psycopg.connect(database.superuser, autocommit=True) as there,
        psycopg.connect(database.superuser, autocommit=True) as here,
    ):
        here.execute("listen floor")
        for _ in range(200):
            began = time.perf_counter()
            there.execute("notify floor")
            next(here.notifies(timeout=5, stop_after=1))
            waits.append(time.perf_counter() - began)
    waits.sort()
    print(
        f"floor: a NOTIFY alone, p50 {1000 * waits[100]:.2f} ms, p99 {1000 * waits[197]:.2f} ms", flush=True
    )


def main(words: list[str]) -> None:
    """Both, on one server."""
    count = int(words[0]) if words else 50_000
    seconds = float(words[1]) if len(words) > 1 else 20.0
    every_s = float(words[2]) if len(words) > 2 else 1.0
    programs = sorted(Path("/usr/lib/postgresql").glob("*/bin"))
    if not programs:
        print("left out: PostgreSQL is not installed here (sudo apt install postgresql)")
        return
    cluster = Cluster(programs[-1], (), Path(tempfile.mkdtemp(prefix="workshop-")))
    with tempfile.TemporaryDirectory() as scratch:
        try:
            cluster.make()
            database = cluster.new_database()
            with connected(server_address(database.owner)) as owner:
                prepare(owner)
            names = ["east", "west", *(f"w{n}" for n in range(WHOLE)), *(f"s{n}" for n in range(SENDERS))]
            for number, name in enumerate(names):
                add(database, name, f"{chr(ord('A') + number // 26)}{chr(ord('A') + number % 26)}")
            print(f"load average {os.getloadavg()[0]:.1f}")
            backlog(database, Path(scratch), count)
            known(Path(scratch), count)
            notify_alone(database)
            arrival(database, Path(scratch), seconds, every_s)
            print(f"load average {os.getloadavg()[0]:.1f}")
        finally:
            cluster.gone()


if __name__ == "__main__":
    main(sys.argv[1:])
