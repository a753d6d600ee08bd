"""Benches that only send, in processes of their own: each makes an event every so often, whether the one before has been taken or not,
and sends whatever waits in one statement, as the program does."""

from __future__ import annotations

import itertools
import multiprocessing
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from multiprocessing.pool import AsyncResult
from pathlib import Path
from typing import NamedTuple

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[1] / "replication")]

import psycopg  # noqa: E402

from benchapp import events as ev  # noqa: E402
from benchapp.record.chain import GENESIS  # noqa: E402
from benchapp.record.stored_event import chained  # noqa: E402
from benchapp.replication.chain_row import ChainRow  # noqa: E402
from benchapp.replication.server import PART, Server  # noqa: E402
from benchapp.replication.server_address import server_address  # noqa: E402
from benchapp.replication.server_connection import connected  # noqa: E402

PROCESSES = 4
PLAIN = "insert into public.plain values (%s, %s, %s, %s, %s)"


class Pace(NamedTuple):
    """An event every so many seconds, from an instant of the machine's clock on, for so long; ``plain``: into a table without any guard."""

    every_s: float
    begins_s: float
    seconds: float
    plain: bool = False


class Sent(NamedTuple):
    """A bench's first event was made at ``first_s``, the others each a pace later; how long the server took to take each, in order."""

    bench: str
    first_s: float
    took_s: list[float]


@contextmanager
def sending(urls: list[str], pace: Pace) -> Iterator[AsyncResult[list[list[Sent]]]]:
    """So many benches send, in a few processes; what comes of it is what each sent."""
    with multiprocessing.get_context("spawn").Pool(PROCESSES) as pool:
        yield pool.starmap_async(_process, [(urls[n::PROCESSES], pace, n) for n in range(PROCESSES)], 1)


def _process(urls: list[str], pace: Pace, number: int) -> list[Sent]:
    """Its benches, a thread each."""
    found: list[Sent] = []
    threads = [
        threading.Thread(target=_bench, args=(url, pace, (number + PROCESSES * n) / 47.0, found))
        for n, url in enumerate(urls)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return found


def _bench(url: str, pace: Pace, phase: float, found: list[Sent]) -> None:
    """One bench."""
    with connected(server_address(url)) as c:
        server = Server(c)
        add = _plainly(c) if pace.plain else server.add
        first_s = pace.begins_s + phase * pace.every_s
        took, prev, made, waiting = list[float](), GENESIS, 0, list[ChainRow]()
        while (now := time.perf_counter()) < pace.begins_s + pace.seconds:
            while made * pace.every_s + first_s <= now and len(waiting) < PART:
                made += 1
                row = chained(made, "b", made, "", ev.Watched(at_s=float(made), step="06-cool"), prev)
                prev = row["hash"]
                waiting.append(ChainRow(server.role, made, row["text"], row["prev"], prev))
            if waiting:
                add(waiting)
                now = time.perf_counter()
                took += [now - (first_s + (row.seq - 1) * pace.every_s) for row in waiting]
                waiting = []
            pause = first_s + made * pace.every_s - time.perf_counter()
            if pause > 0:
                time.sleep(pause)
        found.append(Sent(server.role, first_s, took))


def _plainly(c: psycopg.Connection):
    def add(rows: list[ChainRow]) -> None:
        with c.transaction():
            c.cursor().executemany(PLAIN, rows)

    return add


def percentiles(waits: list[float]) -> str:
    """The middle, p99 and the longest, in milliseconds."""
    waits = sorted(waits) or [0.0]
    return ", ".join(
        f"{what} {1000 * waits[min(int(len(waits) * share), len(waits) - 1)]:.0f} ms"
        for what, share in (("p50", 0.5), ("p99", 0.99), ("longest", 1.0))
    )


def flat(found: list[list[Sent]]) -> list[Sent]:
    """Of all processes."""
    return list(itertools.chain(*found))
