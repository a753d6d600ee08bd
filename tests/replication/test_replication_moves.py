"""A move, not an adventure: a long journal joins, a bench that died is replaced, a server that died is made again, and what a
promoted standby lost is sent again. Nothing is lost that any machine had."""

from __future__ import annotations

import pytest
from benches import TestBench, add, on_server
from one_command import command
from postgres_cluster import Cluster
from rewriting import rewrite_bench
from workshop_days import a_month

from benchapp import events as ev
from benchapp.record.bench_identity import identity_in, own_stem
from benchapp.record.stored_event import chained
from benchapp.record.tables import EVENT
from benchapp.record.verifying import verify
from benchapp.replication.errors import ChainRefused, ServerRefuses
from benchapp.replication.own_chain import own_head
from benchapp.replication.preparing import prepare
from benchapp.replication.rebuilding import give_back
from benchapp.replication.replicator import exchange_once
from benchapp.replication.seals import compare
from benchapp.replication.server_address import server_address
from benchapp.replication.server_connection import connected

# --- a long journal joins ----------------------------------------------------------------------------------


def test_a_long_journal_joins_in_one_command_and_leaves_with_all_of_it(workshop, benches, tmp_path):
    alone = benches("east", joined=False)
    a_month(alone.journal)
    _grow(alone, 4000)
    before = alone.own()
    said = command("workshop", "join", workshop.url("east"), "--data", str(alone.folder))
    assert said.returncode == 0, said.stderr
    assert f"The server has it up to entry {len(before) + 1}." in said.stdout
    assert on_server(workshop, "east")[: len(before)] == before
    said = command("workshop", "leave", "--data", str(alone.folder))
    assert said.returncode == 0, said.stderr
    assert alone.own()[: len(before)] == before
    assert verify(alone.journal).sound
    assert on_server(workshop, "east") == alone.own()


def _grow(bench, count):
    """Many events at once."""
    with bench.journal.writing() as c:
        head, rows = own_head(bench.journal), []
        prev = head.hash
        for n in range(1, count + 1):
            event = ev.Watched(at_s=float(n), step="06-cool")
            rows.append(chained(head.seq + n, "long", n, bench.wall(), event, prev))
            prev = rows[-1]["hash"]
        c.execute(EVENT.insert(), rows)


def test_what_another_workshop_sent_is_forgotten_when_one_is_joined(workshop, benches, database):
    """A bench left one workshop for another, whose benches are called alike."""
    east, west = benches("east"), benches("west")
    west.note("of the first workshop")
    for bench in (west, east):
        bench.sync()
    assert east.everything() > 0
    (east.folder / "workshop.json").write_text(f'{{"server": "{workshop.url("east")}"}}')
    assert command("workshop", "leave", "--data", str(east.folder)).returncode == 0
    workshop.execute("drop schema workshop cascade")
    with connected(server_address(workshop.owner)) as owner:
        prepare(owner)
    for name, short in (("east", "E"), ("west", "W")):
        add(workshop, name, short)
    with pytest.raises(ServerRefuses, match="no bench of a workshop"):
        east.sync()
    with pytest.raises(ServerRefuses, match="another workshop than the one"):
        west.sync()
    other_west = benches("west", "west of the second")
    other_west.note(*(f"of the second {n}" for n in range(9)))
    other_west.sync()
    said = command("workshop", "join", workshop.url("east"), "--data", str(east.folder))
    assert said.returncode == 0, said.stderr
    assert east.received(workshop.role("west")) == on_server(workshop, "west")
    found = compare(east.journal, east.others)
    assert found.sound, found.altered
    east.sync()
    other_west.sync()
    assert compare(other_west.journal, other_west.others).sound, (
        "what east had sealed in the first is not of this one"
    )
    assert other_west.know().conflicts() == ()


# --- a bench that died -------------------------------------------------------------------------------------


def test_a_dead_bench_is_replaced_from_the_server(workshop, benches):
    """Its chain goes on under another name; what its machine had not sent comes under its own, should it ever come."""
    east, west = benches("east"), benches("west")
    a_month(east.journal)
    east.sync()
    sent = east.own()
    east.note("written when the line was gone already")
    add(workshop, "east2", "F", "east")
    new = benches("east2", joined=False)
    assert new.join() == len(sent)
    assert new.own()[:-1] == sent
    assert verify(new.journal).sound
    assert [b.batch for b in new.journal.batches()] == [b.batch for b in east.journal.batches()]
    assert identity_in(new.journal).first == len(sent) + 1
    assert own_stem(new.journal, "lotion") == "lotion-F"
    new.note("and on")
    for bench in (new, west):
        bench.sync()
    assert on_server(workshop, "east") == sent
    assert on_server(workshop, "east2") == new.own()[len(sent) :]
    east.sync()
    for bench in (west, new, west):
        bench.sync()
    assert west.received(workshop.role("east"))[: len(east.own())] == east.own()
    assert new.received(workshop.role("east")) == east.own()[len(sent) :], (
        "what it has of its own it does not take twice"
    )
    assert all(compare(b.journal, b.others).sound for b in (east, west, new))


def test_it_may_be_replaced_again(workshop, benches):
    east, west = benches("east"), benches("west")
    east.note("bath")
    east.sync()
    for name, short, dead in (("east2", "F", "east"), ("east3", "G", "east2")):
        add(workshop, name, short, dead)
        new = benches(name, joined=False)
        new.join()
        new.note(f"on {name}")
        new.sync()
    west.sync()
    noted = [s.event.equipment for s in new.journal.of_kinds([ev.CarePlanned])]
    assert noted == ["bath", "on east2", "on east3"]
    assert compare(new.journal, new.others).sound
    new.sync()
    assert new.everything() == len(west.own()) == 2, "only west's is another's"
    rewrite_bench(new, "bath", "tub")
    assert "wrote down on" in compare(new.journal, new.others).altered[0], (
        "west had sealed the first of the three"
    )


def test_who_replaces_goes_on_exactly_there(workshop, benches):
    east, west = benches("east"), benches("west")
    east.note("bath")
    east.sync()
    west.sync()
    add(workshop, "east2", "F", "east")
    for old in (east, west):
        wrong = TestBench(old.folder, workshop.url("east2"))
        wrong.note("one more")
        with pytest.raises(
            (ServerRefuses, ChainRefused), match=r"joins with an empty folder|differ from event"
        ):
            wrong.join()
        wrong.close()


def test_a_copy_of_a_bench_is_no_other_bench(workshop, benches):
    east = benches("east")
    east.sync()
    as_west = TestBench(east.folder, workshop.url("west"))
    with pytest.raises(ServerRefuses, match="is that of the bench"):
        as_west.join()
    as_west.close()


# --- a server that died ------------------------------------------------------------------------------------


def test_a_dead_server_is_made_again_from_the_benches(workshop, benches, database):
    east, west = benches("east"), benches("west")
    east.note("bath")
    for bench in (east, west, east):
        bench.sync()
    add(workshop, "east2", "F", "east")
    east.note("lost with its tablet")
    east.sync()
    west.sync()
    new = benches("east2", joined=False)
    new.join()
    new.sync()
    had = {name: on_server(workshop, name) for name in ("east", "west", "east2")}
    west.note("not sent yet")
    workshop.execute("drop schema workshop cascade")
    said = command("workshop", "rebuild", workshop.owner, "--data", str(new.folder))
    assert said.returncode == 0, said.stderr
    assert "give each a new password" in said.stdout
    said = command("workshop", "rebuild", workshop.owner, "--data", str(west.folder))
    assert said.returncode == 0, said.stderr
    for name, texts in had.items():
        assert on_server(workshop, name)[: len(texts)] == texts
    west.sync()
    assert on_server(workshop, "west") == west.own()
    assert all(compare(b.journal, b.others).sound for b in (west, new))


def test_what_differs_is_not_given_back(workshop, benches):
    east, west = benches("east"), benches("west")
    east.note("bath", "mixer")
    for bench in (east, west):
        bench.sync()
    rewrite_bench(east, "bath", "tub")
    with connected(server_address(workshop.owner)) as owner:
        found = give_back(east.journal, east.others, owner)
    assert found.differ == (workshop.role("east"),)
    assert on_server(workshop, "east") != east.own()


def test_who_never_joined_gives_nothing_back(workshop, benches):
    alone = benches("east", joined=False)
    with (
        connected(server_address(workshop.owner)) as owner,
        pytest.raises(ServerRefuses, match="give nothing back"),
    ):
        give_back(alone.journal, alone.others, owner)


# --- a standby that lost what was acknowledged -------------------------------------------------------------


@pytest.fixture
def pair(postgres_programs):
    """A primary and a standby that follows it."""
    primary = Cluster(postgres_programs)
    standby = Cluster(postgres_programs)
    try:
        primary.make()
        standby.follow(primary)
        yield primary, standby
    finally:
        for one in (standby, primary):
            one.gone()


def test_what_a_promoted_standby_lost_is_sent_again(pair, tmp_path):
    primary, standby = pair
    database = primary.new_database()
    with connected(server_address(database.owner)) as owner:
        prepare(owner)
    for name, short in (("east", "E"), ("west", "W")):
        add(database, name, short)
    both = f"127.0.0.1:{primary.port},127.0.0.1:{standby.port}"
    east, west = (
        TestBench(tmp_path / name, f"postgresql://{database.role(name)}@{both}/workshop")
        for name in ("east", "west")
    )
    for bench in (east, west):
        bench.join()
        bench.sync()
    standby.caught_up(primary)
    standby.follow_no_more()
    east.note(*(f"acknowledged {n}" for n in range(49)))
    for bench in (east, west):
        exchange_once(bench.journal, bench.others, bench.address)
    assert west.received(database.role("east"))[: len(east.own())] == east.own()
    acknowledged = on_server(database, "east")
    primary.die()
    standby.promote()
    moved = database.at(standby)
    assert len(on_server(moved, "east")) < len(acknowledged) - 40, "they were acknowledged, and are gone"
    for bench in (west, east, west):
        bench.sync()
    assert on_server(moved, "east") == east.own()
    assert on_server(moved, "west") == west.own()
    assert all(compare(b.journal, b.others).sound for b in (east, west))
    for bench in (east, west):
        bench.close()
