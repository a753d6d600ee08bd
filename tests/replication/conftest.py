"""A real PostgreSQL server for the tests of this room, and a workshop's database for each of them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from postgres_cluster import Cluster, Database

from benchapp.replication.connecting import connected
from benchapp.replication.preparing import NewBench, add_bench, prepare
from benchapp.replication.server_address import server_address


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
