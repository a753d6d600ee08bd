"""A history that was rewritten, on a bench or on the server, is contradicted by the other benches: by whom, and since when."""

from __future__ import annotations

from benches import add, on_server
from one_command import command
from rewriting import cut_off, lose, rewrite_bench, rewrite_server

from benchapp import events as ev
from benchapp.record.chain import GENESIS
from benchapp.record.verifying import verify
from benchapp.replication.chain_row import BEGINNING
from benchapp.replication.member import MemberBench
from benchapp.replication.own_chain import own_rows
from benchapp.replication.seals import Sealer, compare


def met(benches, *names):
    """Benches that noted something and know of each other, what they sealed included."""
    found = [benches(name) for name in names]
    for bench in found:
        bench.note("bath", "mixer")
    for _ in range(2):
        for bench in found:
            bench.sync()
    return found


def test_each_writes_down_how_far_the_others_had_come(workshop, benches):
    east, west = met(benches, "east", "west")
    (seal_of_west,) = [s.event for s in west.journal.of_kinds([ev.HeadsReceived])]
    assert seal_of_west.heads == (ev.ReceivedHead(bench=workshop.role("east"), seq=3, hash=at(east, 3)),)
    found = compare(east.journal, east.others)
    assert (found.sound, found.own_until) == (True, 3)
    assert found.confirmed.startswith(
        "Other benches have written down heads of this journal, the furthest event 3;"
    )


def at(bench, seq):
    """The hash of an event of its own chain."""
    return next(s.hash for s in bench.journal.stored(ev.WORKSHOP) if s.seq == seq)


def test_two_benches_do_not_answer_each_other_for_ever(workshop, benches):
    east, west = met(benches, "east", "west")
    for _ in range(3):
        for bench in (east, west):
            bench.sync()
    lengths = [len(bench.own()) for bench in (east, west)]
    for _ in range(3):
        for bench in (east, west):
            bench.sync()
    assert [len(bench.own()) for bench in (east, west)] == lengths == [4, 4]
    east.note("and again")
    for bench in (east, west):
        bench.sync()
    assert len(west.own()) == 5


def test_a_bench_that_rewrites_its_history_is_contradicted(workshop, benches):
    east, west = met(benches, "east", "west")
    east.wall.now = west.wall.now = "2026-11-29T12:00:00.000+01:00"
    rewrite_bench(east, "mixer", "scale")
    assert verify(east.journal).sound, "by itself it shows nothing"
    (said,) = compare(east.journal, east.others).altered
    assert said == (
        f"event 3 of this journal is not what the bench {workshop.role('west')} wrote down on 2026-11-28 10:42: since then "
        "its history was written anew, or cut off."
    )
    assert compare(west.journal, west.others).sound, "what west has of east is what east was"


def test_a_bench_that_cuts_its_end_off_is_contradicted(workshop, benches):
    east, _ = met(benches, "east", "west")
    cut_off(east, 2)
    assert "event 3 of this journal" in compare(east.journal, east.others).altered[0]


def test_a_server_that_rewrites_a_history_is_contradicted_on_every_bench(workshop, benches, tmp_path):
    east, west = met(benches, "east", "west")
    rewrite_server(workshop, east, 4)
    west.sync()
    (noticed,) = compare(west.journal, west.others).altered
    assert noticed.endswith("verify every bench. Noticed on 2026-11-28 10:42.")
    add(workshop, "north", "N")
    north = benches("north")
    north.sync()
    (said,) = compare(north.journal, north.others).altered
    assert (
        f"event 3 of the bench {workshop.role('east')} is not what the bench {workshop.role('west')} wrote down"
        in said
    )


def test_what_a_server_lost_and_got_again_contradicts_nobody(workshop, benches):
    east, west = met(benches, "east", "west")
    lose(workshop, "east", after=1)
    west.sync()
    east.sync()
    west.sync()
    assert on_server(workshop, "east") == east.own()
    assert compare(west.journal, west.others).sound
    assert compare(east.journal, east.others).sound


def test_received_chains_that_were_altered_here_are_found(workshop, benches):
    _, west = met(benches, "east", "west")
    with west.others.writing() as c:
        c.exec_driver_sql("UPDATE received SET text = replace(text, 'mixer', 'scale')")
    assert (
        "is not the text that was written. Take the file away"
        in compare(west.journal, west.others).altered[0]
    )


def test_the_command_says_by_whom_and_since_when(workshop, benches):
    east, _ = met(benches, "east", "west")
    said = command("verify", "--data", str(east.folder))
    assert said.returncode == 0, said.stdout
    assert "the furthest event 3; each is in this chain." in said.stdout
    rewrite_bench(east, "bath", "tub")
    said = command("verify", "--data", str(east.folder))
    assert said.returncode == 6
    assert (
        f"ALTERED event 3 of this journal is not what the bench {workshop.role('west')} wrote down on"
        in said.stdout
    )


def test_nothing_is_sealed_where_nothing_was_received(benches):
    east = benches("east")
    assert not Sealer(east.journal, east.others).seal()
    assert (
        compare(east.journal, east.others).confirmed
        == "No other bench has written down a head of this journal yet."
    )


def test_heads_of_another_workshop_do_not_stand_in_for_those_of_this_one(workshop, benches):
    """Its benches are called alike and have come further there than here."""
    east, west = benches("east"), benches("west")
    east.others.keep_members({"west": MemberBench("west", "W", 1, GENESIS)})
    there = ev.HeadsReceived(at_s=0.0, heads=(ev.ReceivedHead("west", 500, "0" * 64),))
    gone = ev.BenchJoined(at_s=0.0, bench="east", short="E", workshop="another", first=1)
    east.journal.append(ev.WORKSHOP, [there, gone])
    rows = [row._replace(bench="west") for row in own_rows(west.journal, "west", 0, 9)]
    east.others.take({"west": BEGINNING}, {"west": rows})
    assert Sealer(east.journal, east.others).seal()
    assert not Sealer(east.journal, east.others).seal()
