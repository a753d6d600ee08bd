"""A server whose disk is full, and a line that takes its time: each is said in one sentence, and nothing is lost or doubled."""

from __future__ import annotations

import contextlib
import subprocess
from pathlib import Path

import pytest
from benches import TestBench, on_server
from tcp_proxy import Proxy

from benchapp.replication import server, server_connection
from benchapp.replication.errors import ServerUnavailable

#: The room a server has for its events in these tests, and then.
TIGHT, ROOMY = "2m", "64m"


def mounted(*words: str) -> bool:
    """Mount something; whether that is permitted here."""
    return subprocess.run(["mount", *words], check=False, capture_output=True).returncode == 0


@pytest.fixture
def tight(workshop):
    """The workshop's events on a disk of their own that has hardly any room; gives what makes more of it."""
    disk = workshop.cluster.home / "tight"  # where the server's own user gets to
    disk.mkdir()
    if not mounted("-t", "tmpfs", "-o", f"size={TIGHT}", "tmpfs", str(disk)):
        pytest.skip("no disk of its own can be mounted here")
    try:
        place = disk / "events"
        place.mkdir()
        workshop.cluster.own(disk)
        workshop.cluster.own(place)
        workshop.execute(f"create tablespace tight location '{place}'")
        move(workshop, "tight")
        yield lambda: mounted("-o", f"remount,size={ROOMY}", str(disk))
        move(workshop, "pg_default")
        workshop.execute("drop tablespace tight")
    finally:
        subprocess.run(["umount", "-l", str(disk)], check=False, capture_output=True)
        disk.rmdir()


def move(workshop, tablespace: str) -> None:
    workshop.execute(f"alter table workshop.event set tablespace {tablespace}")
    workshop.execute(f"alter index workshop.event_pkey set tablespace {tablespace}")


def test_a_full_disk_on_the_server_is_said_and_loses_nothing(workshop, benches, tight):
    east, west = benches("east"), benches("west")
    east.note(*(f"bath {n} {'x' * 400}" for n in range(6_000)))
    with pytest.raises(ServerUnavailable, match="is full: make room there"):
        east.sync()
    there = on_server(workshop, "east")
    assert 0 < len(there) < len(east.own()), "as much as had room"
    assert there == east.own()[: len(there)]
    said = east.others.contact().explained(len(east.own()), east.wall())
    assert " of this bench wait" in said
    assert "The disk of the server " in said
    east.note("what is made meanwhile")
    with contextlib.suppress(ServerUnavailable):
        west.sync()  # it reads what there is, or cannot say how far it is: it is no worse off
    assert tight(), "somebody made room"
    east.sync()
    west.sync()
    assert on_server(workshop, "east") == east.own()
    assert west.received(workshop.role("east")) == east.own()


def slow(workshop, bench: TestBench, name: str, line: Proxy) -> TestBench:
    """The bench again, behind that line."""
    bench.close()
    return TestBench(
        Path(bench.folder), workshop.url(name).replace(f":{workshop.cluster.port}/", f":{line.port}/")
    )


def test_a_slow_line_is_said_and_everything_goes_over_it(workshop, benches, monkeypatch):
    """A tenth of the two seconds an answer took by hand; the program says so from one second on."""
    monkeypatch.setattr(server, "SLOW_S", 0.1)
    east, west = benches("east"), benches("west")
    west.note("mixer")
    west.sync()
    line = Proxy(workshop.cluster.port, delay_s=0.1)
    east = slow(workshop, east, "east", line)
    try:
        east.note(*(f"bath {n}" for n in range(1_200)))
        contact = east.sync()
        own = len(east.own())
        assert own >= 1_200
        assert contact.sentence(own, east.wall()).endswith("The line is slow: an answer takes 0 s.")
        assert f"The server has it up to entry {own}." in contact.explained(own, east.wall())
        assert on_server(workshop, "east") == east.own()
        assert east.received(workshop.role("west")) == west.own()
    finally:
        east.close()
        line.close()


def test_a_line_as_it_should_be_is_not_called_slow(benches):
    east = benches("east")
    assert "slow" not in east.sync().sentence(1, east.wall())
    assert server_connection.SLOW_S == 1.0
