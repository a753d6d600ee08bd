"""What is written on one bench stands on the server and on the others, in its order, once; and what is not the chain it was
is refused in a sentence."""

from __future__ import annotations

import json
import shutil
import threading

import pytest
from benches import TestBench, on_server
from rewriting import rewrite_server

from benchapp import events as ev
from benchapp.record.bench_identity import identity_in, own_lot, own_stem
from benchapp.record.chain import GENESIS
from benchapp.record.verifying import verify
from benchapp.replication.chain_row import ChainHead
from benchapp.replication.contact import heard_of
from benchapp.replication.errors import ChainRefused, ServerRefuses, ServerUnavailable
from benchapp.replication.joining import leave
from benchapp.replication.member import MemberBench
from benchapp.replication.server import PART, Server
from benchapp.replication.server_connection import connected


def test_each_has_the_others_chain_to_the_letter(workshop, benches):
    east, west = benches("east"), benches("west")
    east.note("bath", "wágen ⁂ \\ \"'", "half \ud83d a pair")
    west.note("mixer")
    for bench in (east, west, east, west):
        bench.sync()
    assert on_server(workshop, "east") == east.own() == west.received(workshop.role("east"))
    assert on_server(workshop, "west") == west.own() == east.received(workshop.role("west"))
    assert len(east.own()) == 5, "the joining, what was noted, and how far west had come"
    assert verify(east.journal).sound


def test_an_order_is_kept_over_many_parts(workshop, benches):
    east, west = benches("east"), benches("west")
    east.note(*(f"e{n}" for n in range(2 * PART + 7)))
    east.sync()
    contact = west.sync()
    assert west.received(workshop.role("east")) == east.own()
    assert west.received(workshop.role("west")) == [], "its own is not received"
    assert contact.sent == 2, "its joining, and how far east had come"


def test_twice_is_once(workshop, benches):
    east, west = benches("east"), benches("west")
    east.note("bath")
    for _ in range(3):
        east.sync()
        west.sync()
    kinds = ["BenchJoined", "CarePlanned", "HeadsReceived"]
    assert [json.loads(text)["kind"] for text in on_server(workshop, "east")] == kinds
    assert west.everything() == 3


def test_two_windows_of_one_bench_do_not_disturb_each_other(workshop, benches, tmp_path):
    east = benches("east")
    again = TestBench(east.folder, workshop.url("east"))
    west = benches("west")
    east.note(*(f"e{n}" for n in range(3 * PART)))
    west.note(*(f"w{n}" for n in range(3 * PART)))
    west.sync()
    threads = [threading.Thread(target=one.sync) for one in (east, again)]
    for t in threads:
        t.start()
    for t in threads:
        t.join(60)
    assert on_server(workshop, "east") == east.own()
    assert east.received(workshop.role("west")) == west.own()
    again.close()


def test_names_of_two_benches_never_meet(benches):
    east, west = benches("east"), benches("west")
    names = {
        bench.journal.new_batch("20261128", own_stem(bench.journal, key))
        for bench in (east, west)
        for key in ("lotion", "lotion-E", "E")
    }
    assert len(names) == 6
    assert "20261128-lotion-E-1" in names
    assert own_lot(east.journal, "oil-1") == own_lot(east.journal, "E-oil-1") == "E-oil-1"
    assert own_lot(west.journal, "E-oil-1") == "W-E-oil-1"
    assert own_lot(east.journal, " ") == " ", "no name is no name"


def test_a_bench_alone_gives_the_names_it_always_gave(journal):
    assert identity_in(journal) is None
    assert own_stem(journal, "oat-hand-lotion") == "oat-hand-lotion"
    assert own_lot(journal, "oil-1") == "oil-1"


# --- what is refused ---------------------------------------------------------------------------------------


def test_a_fork_is_refused_loudly_and_names_its_place(workshop, benches, tmp_path):
    """Two journals go by one name: a copy of the folder was used on a second machine."""
    east = benches("east")
    east.note("bath", "mixer")
    east.sync()
    shutil.copytree(east.folder, tmp_path / "copy")
    copy = TestBench(tmp_path / "copy", workshop.url("east"))
    east.note("one")
    copy.note("another")
    east.sync()
    with pytest.raises(ChainRefused, match=r"differ from event 4 of the bench .* Nothing is sent"):
        copy.sync()
    east.note("two", "three", "four")
    east.sync()
    with pytest.raises(ChainRefused, match="differ from event 4"):
        copy.sync()
    assert "differ from event 4" in copy.others.contact().why
    assert on_server(workshop, "east") == east.own()
    copy.close()


def test_an_older_copy_is_noticed_and_brought_up_to_date(workshop, benches, tmp_path):
    east = benches("east")
    east.note("bath")
    east.journal.store.backup(tmp_path / "older.sqlite")
    east.note("mixer", "scale")
    east.sync()
    (tmp_path / "again").mkdir()
    (tmp_path / "older.sqlite").rename(tmp_path / "again" / "journal.sqlite")
    again = TestBench(tmp_path / "again", workshop.url("east"))
    with pytest.raises(ChainRefused, match=r"has 4 events .* this journal 2: an older copy"):
        again.sync()
    assert again.join() == 2
    assert again.own() == east.own()
    again.note("and on")
    again.sync()
    assert on_server(workshop, "east") == again.own()
    assert verify(again.journal).sound
    again.close()


@pytest.mark.parametrize("how", ["shorter", "as long", "longer"])
def test_a_history_the_server_wrote_anew_is_noticed_by_who_has_it(workshop, benches, how):
    east, west = benches("east"), benches("west")
    east.note("bath", "mixer")
    east.sync()
    west.sync()
    rewrite_server(workshop, east, {"shorter": 2, "as long": 3, "longer": 4}[how])
    west.note("goes on")
    contact = west.sync()
    assert "its history was written anew" in contact.refused[0]
    assert west.received(workshop.role("east")) == east.own(), "what was received stays"
    assert on_server(workshop, "west") == west.own(), "its own goes on"
    west.wall.now = "2026-11-30T08:00:00.000+01:00"
    assert west.sync().refused == contact.refused
    assert west.others.refused()[workshop.role("east")][0] == "2026-11-28T10:42:00.000+01:00", (
        "since it was noticed"
    )


def test_an_event_that_was_altered_on_its_way_is_not_kept(workshop, benches):
    east, west = benches("east"), benches("west")
    east.note("bath", "mixer")
    east.sync()
    alter = "alter table workshop.event {} trigger all"
    workshop.execute("alter table workshop.event drop constraint event_check")
    workshop.execute(alter.format("disable"))
    workshop.execute("update workshop.event set text = replace(text, 'mixer', 'scale')")
    workshop.execute(alter.format("enable"))
    assert "is not the text that was written" in west.sync().refused[0]
    assert west.everything() == 0


def test_what_is_no_bench_is_not_sent(workshop, benches):
    alone = benches("east", joined=False)
    alone.note("bath")
    with pytest.raises(ServerRefuses, match="no bench of a workshop"):
        alone.sync()
    assert on_server(workshop, "east") == []


def test_a_journal_is_sent_under_its_own_name_alone(workshop, benches):
    east = benches("east")
    as_west = TestBench(east.folder, workshop.url("west"))
    with pytest.raises(ServerRefuses, match="the server was asked as"):
        as_west.sync()
    as_west.close()


def test_without_the_server_everything_waits_and_is_said(workshop, benches):
    east = benches("east")
    east.note("bath")
    east.sync()
    away = TestBench(east.folder, "postgresql://nobody@127.0.0.1:1/workshop")
    away.note("mixer", "scale")
    away.wall.now = "2026-11-29T08:15:00.000+01:00"
    with pytest.raises(ServerUnavailable):
        away.sync()
    said = away.others.contact().explained(4, "2026-11-29T09:00:00.000+01:00")
    assert said.startswith(
        "2 entries of this bench wait for the network since 08:15. The other benches are shown as of 2026-11-28 10:42. The server"
    )
    east.sync()
    assert east.others.contact().sentence(4, "2026-11-28T10:50:00.000+01:00") == (
        "Everything is sent. The other benches are shown as of 10:42."
    )
    away.close()


def test_leaving_leaves_the_journal_whole(workshop, benches):
    east = benches("east")
    east.note("bath")
    east.sync()
    leave(east.journal)
    with pytest.raises(ServerRefuses, match="no bench of a workshop"):
        east.sync()
    with pytest.raises(ServerRefuses, match="no bench of a workshop"):
        leave(east.journal)
    assert verify(east.journal).sound
    assert own_stem(east.journal, "lotion") == "lotion-E", "a name that was given is never given twice"
    assert east.join() == 0
    east.sync()
    assert on_server(workshop, "east") == east.own()
    kinds = [type(s.event) for s in east.journal.of_kinds((ev.BenchJoined, ev.BenchLeft))]
    assert kinds == [ev.BenchJoined, ev.BenchLeft, ev.BenchJoined]


def test_what_a_bench_announces_is_known_before_it_is_sent(workshop, benches):
    east, west = benches("east"), benches("west")
    east.note("bath")
    with connected(east.address) as c:
        Server(c).announce(2)
    west.sync()
    member = west.others.members()[workshop.role("east")]
    assert (member.announced, west.others.head(member.bench)) == (2, None)
    assert member.heard.endswith("+00:00")


@pytest.mark.parametrize(
    ("member", "head", "said"),
    [
        (("w", "W", 1, GENESIS, "", 12, "2026-11-28T09:42:00.000+00:00"), 10, "w (W): 10 events are here, 2 more are to come; last heard of 10:42."),
        (("w", "W", 8, GENESIS, "x", 12, "2026-11-27T09:42:00.000+00:00"), 12, "w (W): 5 events are here; last heard of 2026-11-27 10:42."),
        (("w", "W", 1, GENESIS, "", 0, ""), 0, "w (W): 0 events are here; it never came."),
    ],
)  # fmt: skip
def test_how_far_another_bench_is_known(member, head, said):
    found = heard_of(MemberBench(*member), ChainHead(head, GENESIS), "2026-11-28T10:50:00.000+01:00")
    assert found == said


def test_what_was_said_while_something_was_asked_wakes_once_and_does_not_pile_up(workshop, benches):
    east, west = benches("east"), benches("west")
    with connected(west.address) as connection:
        server = Server(connection)
        server.listen()
        for n in range(5):
            east.note(f"e{n}")
            east.sync()
            server.members()  # what arrives meanwhile waits on the connection
        assert server.told(0.0)
        assert not server.told(0.0)
