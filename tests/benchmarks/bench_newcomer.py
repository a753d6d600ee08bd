"""When a new bench can begin a make in a workshop whose server has so many events of ten benches: ``python tests/benchmarks/bench_newcomer.py [EVENTS]``.

The server is filled by the ten benches' own sending; then a tablet with an empty folder joins, begins a make as the program does, and goes on with it while
the others' history comes. ``--at PORT NAME`` measures once more on a server that ``--keep`` left running.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from argparse import Namespace
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "replication")]

from bench_office import NAMES, Chain, grown  # noqa: E402
from benches import add  # noqa: E402
from postgres_cluster import Cluster, Database  # noqa: E402

from benchapp import events as ev  # noqa: E402
from benchapp.commands.opening import bench_service, journal_in  # noqa: E402
from benchapp.replication.others import OthersFile  # noqa: E402
from benchapp.replication.preparing import prepare  # noqa: E402
from benchapp.replication.server import PART, Server  # noqa: E402
from benchapp.replication.server_address import server_address  # noqa: E402
from benchapp.replication.server_connection import connected  # noqa: E402
from benchapp.service.several_benches import join_workshop  # noqa: E402

#: The make is looked after so often, and watched for at most so long.
BEAT_S, WATCHED_S = 0.05, 900.0


def fill(database: Database, count: int) -> None:
    """Ten benches send what they made."""
    with connected(server_address(database.owner)) as owner:
        prepare(owner)
    for n, name in enumerate((*NAMES, "fresh")):
        add(database, name, "ABCDEFGHIJZ"[n])
    began = time.perf_counter()
    opened = {name: connected(server_address(database.url(name))) for name in NAMES}
    servers = {name: Server(one.__enter__()) for name, one in opened.items()}
    chains = {name: Chain(name) for name in NAMES}

    def send(name: str) -> None:
        rows = [row._replace(bench=database.role(name)) for row in chains[name].fresh]
        for start in range(0, len(rows), PART):
            assert servers[name].add(rows[start : start + PART])
        chains[name].fresh = []

    for _ in grown(chains, count // 102):
        for name in NAMES:
            if len(chains[name].fresh) >= PART:
                send(name)
    for name in NAMES:
        send(name)
        servers[name].announce(chains[name].head.seq)
        opened[name].__exit__(None, None, None)
    total = sum(chain.head.seq for chain in chains.values())
    print(f"{total} events sent in {time.perf_counter() - began:.0f} s", flush=True)


def here(folder: Path) -> int:
    """How many events of others are on the tablet."""
    others = OthersFile(folder)
    heads = [others.head(bench) for bench in others.members()]
    others.close()
    return sum(head.seq for head in heads if head is not None)


def measure(url: str, folder: Path) -> None:
    """From an empty folder to a make, and on."""
    began = time.perf_counter()

    def since(what: str) -> None:
        print(f"  {what:64} {time.perf_counter() - began:8.1f} s   load {os.getloadavg()[0]:.1f}", flush=True)

    os.umask(0o077)
    with journal_in(folder) as journal:
        join_workshop(journal, folder, url)
    since(f"joined, {here(folder)} events of others here")
    with bench_service(Namespace(data=str(folder), maker="Mara Lind")) as (shop, journal):
        since("the program has begun")
        assert shop.facts() is not None
        since("the bench page stands")
        runner = shop.rehearse("oat-hand-lotion", 500.0)
        since(f"A MAKE HAS BEGUN: {runner.session.batch}")
        longest = {"an event written": 0.0, "the lots on hand": 0.0, "the bench page": 0.0}

        def timed(what: str, do) -> None:
            at = time.perf_counter()
            do()
            longest[what] = max(longest[what], time.perf_counter() - at)

        watched = ev.Watched(at_s=0.0, step="06-cool")
        told = ""
        while time.perf_counter() - began < WATCHED_S:
            timed("an event written", lambda: journal.append(runner.session.batch, [watched]))
            timed("the lots on hand", lambda: shop.desk().stock_list())
            timed("the bench page", shop.facts)
            now = " ".join(shop.facts().due)
            if "up to date" in shop.facts().workshop and "worked out" not in now:
                break
            if (minute := f"{int(time.perf_counter() - began) // 30}") != told:
                told = minute
                since(f"{here(folder)} events of others here")
            time.sleep(BEAT_S)
        since(f"all of the history is here and worked out: {here(folder)} events")
        print(
            "  longest meanwhile: " + ", ".join(f"{what} {s:.2f} s" for what, s in longest.items()),
            flush=True,
        )
        shop.end()


def main() -> None:
    """Fill, and measure in a process of its own."""
    given = argparse.ArgumentParser(description=__doc__)
    given.add_argument("events", nargs="?", type=int, default=100_000)
    given.add_argument("--keep", action="store_true")
    given.add_argument("--at", metavar="URL")
    args = given.parse_args()
    if args.at:
        with tempfile.TemporaryDirectory() as folder:
            measure(args.at, Path(folder) / "fresh")
        return
    programs = sorted(Path("/usr/lib/postgresql").glob("*/bin"))
    if not programs:
        print("left out: PostgreSQL is not installed here (sudo apt install postgresql)")
        return
    cluster = Cluster(programs[-1], (), Path(tempfile.mkdtemp(prefix="workshop-")))
    try:
        cluster.make()
        database = cluster.new_database()
        fill(database, args.events)
        if args.keep:
            print(f"--at {database.url('fresh')}", flush=True)
            sys.stdin.read()
        else:
            subprocess.run([sys.executable, __file__, "--at", database.url("fresh")], check=True)
    finally:
        cluster.gone()


if __name__ == "__main__":
    main()
