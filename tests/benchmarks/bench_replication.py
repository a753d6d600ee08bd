"""How fast a bench's chain gets to the server and to the others, on a server that syncs every commit to the disk.

``python tests/benchmarks/bench_replication.py [EVENTS [SECONDS [EVERY ...]]]``; without numbers 50,000 events, 20 s, and an event
of each bench every second; several paces are tried in turn. Three benches are whole ones, 47 send from four processes of their own. Beside each figure in the
same run: the floor (COPY of the same rows into a table without any guard), the rivals (INSERT of as many at a time, and one a
transaction, and for the arrival the same rows inserted by the same processes at the same pace), and how long a NOTIFY alone takes.
"""

from __future__ import annotations

import itertools
import os
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "replication")]

import bench_store  # noqa: E402
import psutil  # noqa: E402
import psycopg  # noqa: E402
from benches import TestBench, add  # noqa: E402
from postgres_cluster import Cluster, Database  # noqa: E402
from sending import Pace, flat, percentiles, sending  # noqa: E402

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
#: The processes that send have started after so many seconds.
STARTING_S = 6.0
MEMORY_EVERY_S = 60.0


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
    """When each bench had which event on its disk."""

    def __init__(self) -> None:
        self.came: list[tuple[str, int, float]] = []

    def watch(self, bench: TestBench) -> None:
        """Note whatever this bench receives from now on."""
        take = bench.others.take

        def taking(
            heads: Mapping[str, ChainHead], came: Mapping[str, Sequence[ChainRow]]
        ) -> tuple[dict[str, ChainHead], dict[str, str]]:
            found, now = take(heads, came), time.perf_counter()
            self.came += [(r.bench, r.seq, now) for rows in came.values() for r in rows]
            return found

        bench.others.take = taking  # type: ignore[method-assign]


def arrival(database: Database, folder: Path, seconds: float, every_s: float) -> None:
    """Fifty benches, an event each in so many seconds; then as many rows from the same processes into a bare table."""
    arrivals = Arrivals()
    whole = [TestBench(folder / f"w{n}", database.url(f"w{n}")) for n in range(WHOLE)]
    for bench in whole:
        bench.join()
        arrivals.watch(bench)
    running = [Replicator(b.journal, b.others, b.address) for b in whole]
    for one in running:
        one.start()
    pace = Pace(every_s, time.perf_counter() + STARTING_S, seconds)
    urls = [database.url(f"s{n}") for n in range(SENDERS)]
    with sending(urls, pace) as senders:
        time.sleep(max(0.0, pace.begins_s - time.perf_counter()))
        cpu_s, ours, memory = time.process_time(), psutil.Process(), []
        for n in itertools.count():
            made_s = pace.begins_s + n * every_s
            time.sleep(max(0.0, made_s - time.perf_counter()))
            if made_s > pace.begins_s + seconds:
                break
            for bench in whole:
                bench.note(f"event {n}")
            if n * every_s >= MEMORY_EVERY_S * len(memory):
                memory.append(f"{ours.memory_info().rss / 1e6:.0f}")
        over_s, used = time.perf_counter(), (time.process_time() - cpu_s) / seconds
        sent = {one.bench: one for one in flat(senders.get())}
    waits = [
        now - (sent[bench].first_s + (seq - 1) * every_s)
        for bench, seq, now in arrivals.came
        if bench in sent and now <= over_s
    ]
    for one in running:
        one.stop()
    for bench in whole:
        bench.close()
    asked = (WHOLE + SENDERS) / every_s
    came = sum(len(one.took_s) for one in sent.values()) / (SENDERS * seconds / every_s)
    print(
        f"  {asked:6,.0f} events a second asked for, {seconds:.0f} s: the server took {100 * came:3.0f} % of those of the {SENDERS} in time; "
        f"{len(waits):,} arrivals at the others, {percentiles(waits)}; taken by the server {percentiles([t for one in sent.values() for t in one.took_s])}; "
        f"{used:.2f} of a processor and {', '.join(memory)} MB (one figure a minute, with the {len(arrivals.came):,} times noted here) for the {WHOLE} whole ones; load {os.getloadavg()[0]:.1f}",
        flush=True,
    )
    plainly(database, urls, pace)


def plainly(database: Database, urls: list[str], pace: Pace) -> None:
    """The rival at the same pace from the same processes, and the floor: its rows copied at once."""
    with psycopg.connect(database.superuser, autocommit=True) as c:
        c.execute("drop table if exists public.plain")
        c.execute(PLAIN.format("plain"))
        c.execute("grant insert on public.plain to public")
        with sending(urls, pace._replace(begins_s=time.perf_counter() + STARTING_S, plain=True)) as senders:
            sent = flat(senders.get())
        count = sum(len(one.took_s) for one in sent)
        print(
            f"         rival: plain INSERT of the same {count:,} rows, taken {percentiles([t for one in sent for t in one.took_s])}",
            flush=True,
        )
        rows = c.execute("select * from public.plain").fetchall()
        c.execute("drop table if exists public.copied")
        c.execute(PLAIN.format("copied"))
        timed("       floor: COPY of them", len(rows), lambda: copied(c, [ChainRow(*row) for row in rows]))


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
    every = [float(word) for word in words[2:]] or [1.0]
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
            for n, pace_s in enumerate(every):
                for one in names[2:]:  # benches anew, so that each pace begins with nothing
                    database.execute("alter table workshop.event disable trigger all")
                    database.execute("delete from workshop.event where bench = %s", database.role(one))
                    database.execute("alter table workshop.event enable always trigger follows")
                    database.execute("alter table workshop.event enable always trigger never")
                arrival(database, Path(scratch) / str(n), seconds, pace_s)
            print(f"load average {os.getloadavg()[0]:.1f}")
        finally:
            cluster.gone()


if __name__ == "__main__":
    main(sys.argv[1:])
