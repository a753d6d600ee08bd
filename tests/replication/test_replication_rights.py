"""What a bench may do on the workshop's server, tried one by one, and what nobody may."""

from __future__ import annotations

import psycopg
import pytest

from benchapp.record.chain import GENESIS, link
from benchapp.replication.chain_row import ChainHead, ChainRow
from benchapp.replication.errors import ServerRefuses
from benchapp.replication.preparing import NewBench, add_bench, prepare
from benchapp.replication.server import Server
from benchapp.replication.server_address import server_address
from benchapp.replication.server_connection import connected

ROW = "insert into workshop.event (bench, seq, text, prev, hash) values (%s, %s, %s, %s, %s)"


def rows(bench, count, prev=GENESIS, first=1, word="e"):
    """A chain in its plainest form."""
    found = []
    for seq in range(first, first + count):
        text = f'{{"{word}":{seq}}}'
        found.append(ChainRow(bench, seq, text, prev, link(prev, text)))
        prev = found[-1].hash
    return found


@pytest.fixture
def east(workshop):
    """The server as the bench east sees it."""
    with connected(server_address(workshop.url("east"))) as c:
        yield Server(c)


def test_a_bench_adds_to_its_own_chain_and_reads_everything(workshop, east):
    own = rows(east.role, 3)
    east.add(own)
    assert east.head(east.role) == ChainHead(3, own[-1].hash)
    with connected(server_address(workshop.url("west"))) as c:
        west = Server(c)
        west.add(rows(west.role, 1))
        assert west.after({east.role: ChainHead(1, own[0].hash)}) == {east.role: own[1:]}
        assert west.member().short == "W"


FORBIDDEN = {
    "update": "update workshop.event set text = text",
    "delete": "delete from workshop.event",
    "truncate": "truncate workshop.event",
    "drop": "drop table workshop.event",
    "alter": "alter table workshop.event disable trigger follows",
    "policies": "drop policy own on workshop.event",
    "another's chain": "insert into workshop.event select '{other}', 1, 'x', prev, hash from workshop.event",
    "on conflict": "insert into workshop.event select * from workshop.event on conflict (bench, seq) do update set text = 'x'",
    "copy": "copy workshop.event from stdin",
    "a bench of its own": "insert into workshop.bench values ('mine', 'M', 1, repeat('0', 64), null)",
    "another short name": "update workshop.bench set short = 'X'",
    "another's announcement": "insert into workshop.announced values ('{other}', 9, now())",
    "another's name": "set session authorization {other}",
    "another function": "create function workshop.follows2() returns int language sql as 'select 1'",
    "a table of its own": "create table workshop.mine (x int)",
    "a table elsewhere": "create table public.mine (x int)",
    "a temporary table": "create temporary table event (x int)",
    "another version": "update workshop.version set version = 99",
}  # fmt: skip


def test_everything_else_is_forbidden(workshop, east):
    east.add(rows(east.role, 1))
    allowed = []
    for what, words in FORBIDDEN.items():
        try:
            east.connection.execute(words.format(other=workshop.role("west")))
            allowed.append(what)
        except (psycopg.errors.InsufficientPrivilege, psycopg.errors.FeatureNotSupported):
            pass
    assert allowed == []
    assert len(FORBIDDEN) > 15
    assert workshop.execute("select count(*) from workshop.event") == [(1,)]


def test_a_right_it_has_not_it_cannot_give(workshop, east):
    """PostgreSQL only warns of that."""
    east.connection.execute("grant update, delete on workshop.event to public")
    asked = "select has_table_privilege(%s, 'workshop.event', 'update, delete')"
    assert workshop.execute(asked, workshop.role("west")) == [(False,)]


@pytest.mark.parametrize("replica", [False, True])
def test_not_even_the_owner_alters_it_in_good_faith(workshop, east, replica):
    east.add(rows(east.role, 1))
    with psycopg.connect(workshop.superuser, autocommit=True) as c:
        if replica:
            c.execute("set session_replication_role = replica")
        for word in (
            "update workshop.event set text = text",
            "delete from workshop.event",
            "truncate workshop.event",
        ):
            with pytest.raises(psycopg.errors.InsufficientPrivilege, match="only ever added"):
                c.execute(word)


def test_what_does_not_follow_is_refused_whoever_inserts(workshop, east):
    good = rows(east.role, 3)
    east.add(good[:1])
    wrong = {
        "a gap": good[2],
        "not the first": rows(workshop.role("west"), 2)[1],
        "another before": good[1]._replace(prev="f" * 64, hash=link("f" * 64, good[1].text)),
        "another text": good[1]._replace(text="{}"),
        "before its beginning": good[1]._replace(seq=0),
        "nobody's": rows("nobody", 1)[0],
    }
    with psycopg.connect(workshop.superuser, autocommit=True) as c:
        for row in wrong.values():
            with pytest.raises(psycopg.DatabaseError, match=r"does not follow|check constraint"):
                c.execute(ROW, row)
    assert workshop.execute("select count(*) from workshop.event") == [(1,)]


def test_a_fork_is_refused_and_never_dropped(east):
    """What an insert with "on conflict do nothing" would drop without a word."""
    own = rows(east.role, 2)
    assert east.add(own)
    assert not east.add(rows(east.role, 3, word="other"))
    assert east.head(east.role) == ChainHead(2, own[-1].hash)


def test_what_is_half_right_is_refused_whole(east):
    good = rows(east.role, 4)
    with pytest.raises(psycopg.DatabaseError, match="does not follow"):
        east.add([good[0], good[1], good[3]])
    assert east.head(east.role).seq == 0


def test_preparing_again_puts_back_what_a_restore_without_the_roles_lost(workshop, east):
    """pg_dump keeps no roles: such a restore brings rows and no policies."""
    east.add(rows(east.role, 1))
    workshop.execute("drop policy own on workshop.event")
    workshop.execute("drop trigger follows on workshop.event")
    workshop.execute("grant insert, delete on workshop.event to benchapp_bench")
    with connected(server_address(workshop.owner)) as owner:
        prepare(owner)
    with pytest.raises(psycopg.errors.InsufficientPrivilege):
        east.connection.execute("delete from workshop.event")
    east.add(rows(east.role, 2)[1:])
    with pytest.raises(psycopg.DatabaseError, match="does not follow"):
        east.add(rows(east.role, 4)[3:])


@pytest.mark.parametrize(
    ("bench", "short", "why"),
    [
        ("East", "E", "no name for a bench"),
        ("east; drop", "E", "no name for a bench"),
        ("", "E", "no name for a bench"),
        ("east", "e", "no short name"),
        ("east", "A-1", "no short name"),
        ("east", "LONG", "no short name"),
    ],
)
def test_names_are_checked_before_anything_is_made(bench, short, why):
    with pytest.raises(ServerRefuses, match=why):
        NewBench(bench, short)


def test_a_short_name_stands_for_one_bench_alone(workshop):
    with connected(server_address(workshop.owner)) as owner:
        with pytest.raises(ServerRefuses, match="Another bench has the short name E"):
            add_bench(owner, NewBench(workshop.role("third"), "E"))
        with pytest.raises(ServerRefuses, match="its short name is E"):
            add_bench(owner, NewBench(workshop.role("east"), "X"))
        again = add_bench(owner, NewBench(workshop.role("east"), "E"))
        assert len(again) > 20
        with pytest.raises(ServerRefuses, match="no bench nobody"):
            add_bench(owner, NewBench(workshop.role("third"), "T", "nobody"))


def test_who_is_no_bench_is_told_so(workshop):
    with (
        connected(server_address(workshop.owner)) as owner,
        pytest.raises(ServerRefuses, match="is no bench"),
    ):
        Server(owner).member()


def test_a_server_that_was_not_prepared_says_what_to_do(database):
    with (
        connected(server_address(database.owner)) as owner,
        pytest.raises(ServerRefuses, match="workshop prepare"),
    ):
        Server(owner)


def test_a_restore_that_lacks_what_workshop_it_is_of_says_what_to_do(workshop):
    workshop.execute("delete from workshop.version")
    with (
        connected(server_address(workshop.url("east"))) as c,
        pytest.raises(ServerRefuses, match="holds no workshop"),
    ):
        Server(c)


def test_newer_tables_are_left_alone(workshop):
    workshop.execute("insert into workshop.version values (2, 'low-tide')")
    with (
        connected(server_address(workshop.url("east"))) as c,
        pytest.raises(ServerRefuses, match=r"newer version .* Update the program"),
    ):
        Server(c)
