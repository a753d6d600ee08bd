"""The thread that exchanges by itself: prompt while the server is there, patient while it is not, and never in the way."""

from __future__ import annotations

import threading
import time

import pytest
from benches import Quick, TestBench, on_server
from postgres_cluster import Cluster, Database
from tcp_proxy import Proxy

from benchapp.replication import server_connection
from benchapp.replication.errors import ServerUnavailable
from benchapp.replication.preparing import NewBench, add_bench, prepare
from benchapp.replication.replicator import Intervals
from benchapp.replication.server_address import server_address
from benchapp.replication.server_connection import Watchdog, connected


def until(true, seconds=30.0):
    """Wait until something is true, looking often; fails after so long."""
    tick, end = threading.Event(), time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "it did not come about"
        tick.wait(0.01)


@pytest.fixture
def running(benches):
    """Benches whose replicators run, stopped afterwards."""
    started = []

    def run(*found: TestBench):
        for bench in found:
            started.append(bench.replicator())
            started[-1].start()
        return started[-len(found) :]

    yield run
    for one in started:
        one.stop()


def test_what_is_written_arrives_by_itself(workshop, benches, running):
    east, west = benches("east"), benches("west")
    _, at_west = running(east, west)
    east.note("bath")
    until(lambda: west.received(workshop.role("east")) == east.own())
    east.note("mixer", "scale")
    until(lambda: west.received(workshop.role("east")) == east.own())
    until(lambda: at_west.contact().sent == 2)
    assert at_west.sentence() == "This bench has sent and received everything."


def test_a_bench_that_is_added_later_is_heard(workshop, benches, running):
    west = benches("west")
    running(west)
    east = benches("east")
    east.sync()
    until(lambda: west.received(workshop.role("east")) == east.own())


@pytest.fixture
def line(cluster):
    """A line to the server that can be cut."""
    proxy = Proxy(cluster.port)
    yield proxy
    proxy.close()


def through(line: Proxy, bench: TestBench, workshop: Database, name: str) -> TestBench:
    """The same bench, its server behind that line."""
    url = workshop.url(name).replace(f":{workshop.cluster.port}/", f":{line.port}/")
    bench.close()
    return TestBench(bench.folder, url)


def test_a_line_that_is_cut_is_said_and_mended(workshop, benches, running, line):
    east = through(line, benches("east"), workshop, "east")
    (one,) = running(east)
    until(lambda: one.contact().sent == 1)
    line.cut()
    until(lambda: one.contact().offline_since)
    east.note("bath")
    assert "One entry of this bench waits for the network since 10:42." in one.sentence()
    line.mend()
    until(lambda: on_server(workshop, "east") == east.own())
    until(lambda: not one.contact().offline_since)
    one.stop()
    east.close()


def test_a_line_that_only_acknowledges_is_cut_from_here(workshop, benches, line, monkeypatch):
    """Nothing of TCP notices that: only a timer does."""
    east = through(line, benches("east"), workshop, "east")

    def ask() -> None:
        with connected(east.address) as c:
            line.passing.clear()
            with Watchdog(c, 0.2, 0.02).asking():
                c.execute("select 1")

    with pytest.raises(ServerUnavailable):
        ask()
    east.close()
    assert server_connection.CUT_S > server_connection.ANSWER_S, "the server's own limit comes first"


def test_stopping_waits_for_no_server(workshop, benches, line):
    east = through(line, benches("east"), workshop, "east")
    one = east.replicator()
    one.start()
    until(lambda: len(on_server(workshop, "east")) == 1)
    line.passing.clear()
    east.note("bath")
    began = time.monotonic()
    one.stop()
    assert not one._thread.is_alive()
    assert time.monotonic() - began < 3
    line.mend()
    east.sync()
    assert on_server(workshop, "east") == east.own()
    east.close()


def test_writing_never_waits_for_the_server(workshop, benches, running, line):
    """While the server takes nothing any more, the journal does."""
    east = through(line, benches("east"), workshop, "east")
    (one,) = running(east)
    until(lambda: len(on_server(workshop, "east")) == 1)
    line.passing.clear()
    waits = []
    for n in range(50):
        began = time.monotonic()
        east.note(f"e{n}")
        waits.append(time.monotonic() - began)
    assert max(waits) < 2, "the server's own patience is twenty seconds"
    one.stop()
    east.close()


def test_what_is_told_is_only_a_hint(workshop, benches):
    """Nobody tells anything: it is asked for all the same, and soon."""
    east, west = benches("east"), benches("west")
    workshop.execute(
        "create or replace function workshop.follows() returns trigger language plpgsql as 'begin return null; end'"
    )
    one = west.replicator()
    one.start()
    until(lambda: one.contact().as_of)
    east.sync()
    until(lambda: west.received(workshop.role("east")) == east.own())
    one.stop()


def test_the_server_killed_and_started_again(postgres_programs, tmp_path):
    """Its processes die, its machine does not: what they wrote is there, synced or not."""
    cluster = Cluster(postgres_programs)
    east = None
    try:
        cluster.make()
        database = cluster.new_database()
        with connected(server_address(database.owner)) as owner:
            prepare(owner)
            add_bench(owner, NewBench(database.role("east"), "E"))
        east = TestBench(tmp_path / "east", database.url("east"))
        east.join()
        one = east.replicator()
        one.start()
        until(lambda: on_server(database, "east") == east.own())
        for _ in range(2):
            for n in range(5):
                east.note(f"e{n}")
            cluster.die()
            until(lambda: one.contact().offline_since)
            east.note("meanwhile")
            cluster.start()
            until(lambda: on_server(database, "east") == east.own())
            until(lambda: not one.contact().offline_since)
        one.stop()
    finally:
        if east is not None:
            east.close()
        cluster.gone()


def test_the_pace_of_the_program_is_not_that_of_the_tests():
    assert Intervals.look_s <= 0.5, "an event leaves within half a second"
    assert Quick.ask_s < Intervals.ask_s
