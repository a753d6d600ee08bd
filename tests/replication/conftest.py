"""A real PostgreSQL server for the tests of this room, and a workshop's database for each of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from benches import TestBench, exchanged
from postgres_cluster import Cluster, Database
from workshop_days import delivery

from benchapp.record import stock
from benchapp.record.workshop import Workshop
from benchapp.replication.preparing import NewBench, add_bench, prepare
from benchapp.replication.server_address import server_address
from benchapp.replication.server_connection import connected


@pytest.fixture(scope="session")
def cluster(postgres_programs: Path) -> Iterator[Cluster]:
    """One server for the whole run."""
    one = Cluster(postgres_programs)
    try:
        yield one.make()
    finally:
        one.gone()


@pytest.fixture
def database(cluster: Cluster) -> Database:
    """An empty database."""
    return cluster.new_database()


@pytest.fixture
def workshop(database: Database) -> Database:
    """A prepared one with the benches east (E) and west (W)."""
    with connected(server_address(database.owner)) as owner:
        prepare(owner)
        add_bench(owner, NewBench(database.role("east"), "E"))
        add_bench(owner, NewBench(database.role("west"), "W"))
    return database


@pytest.fixture
def benches(workshop: Database, tmp_path: Path) -> Iterator[Callable[..., TestBench]]:
    """Makes benches of that workshop, by their name, in a folder each; joined unless it is said otherwise."""
    opened: list[TestBench] = []

    def bench(name: str, folder: str = "", joined: bool = True) -> TestBench:
        opened.append(TestBench(tmp_path / (folder or name), workshop.url(name)))
        if joined:
            opened[-1].join()
        return opened[-1]

    yield bench
    for one in opened:
        one.close()


@pytest.fixture
def pair(benches: Callable[..., TestBench]) -> tuple[TestBench, TestBench]:
    """East with a kilogram of oil, west with water, and each knows of the other's."""
    east, west = benches("east"), benches("west")
    stock.receive(Workshop(east.journal), delivery("E-oil-1"))
    stock.receive(Workshop(west.journal), delivery("W-water-1", "purified-water"))
    exchanged(east, west)
    for bench in (east, west):
        bench.know()
    return east, west
