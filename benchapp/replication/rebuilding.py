"""A server that died, made again from the benches: each gives back every chain it has, its own and those it received."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from psycopg import Connection

from benchapp.foundation.language import tr
from benchapp.record.bench_identity import identity_in
from benchapp.record.journal import Journal
from benchapp.replication.chain_row import ChainHead, ChainRow
from benchapp.replication.errors import ServerRefuses
from benchapp.replication.member import MemberBench, replaced_by
from benchapp.replication.others import OthersFile
from benchapp.replication.own_chain import own_hash, own_rows
from benchapp.replication.server import PART, Server


@dataclass(frozen=True, slots=True)
class GivenBack:
    """What a bench could give back: how many events of each bench, and of which the server has another chain."""

    events: Mapping[str, int]
    differ: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Chain:
    """A chain as it is here: its hash at a place ("" where it has none), and its next rows behind a place."""

    hash_at: Callable[[int], str]
    rows: Callable[[int], list[ChainRow]]


def give_back(journal: Journal, others: OthersFile, connection: Connection) -> GivenBack:
    """Put every bench and every event that this bench knows and the server lacks onto the server, asked as its owner.
    Raises ServerRefuses where this journal is no bench, psycopg's errors and RecordError."""
    identity, members = identity_in(journal), others.members()
    own = identity.bench if identity is not None else ""
    if identity is None or own not in members:
        raise ServerRefuses(
            tr(
                "This journal is no bench of a workshop, or never was in touch with it: it can give "
                "nothing back."
            )
        )
    if not Server(connection).members():  # an empty one, made anew: it is this workshop's
        connection.execute("update workshop.version set workshop = %s", (identity.workshop,))
    if (server := Server(connection)).workshop != identity.workshop:
        raise ServerRefuses(
            tr("That server holds another workshop than the one this bench is of: nothing was given.")
        )
    _add_members(connection, members)
    given, differ = dict[str, int](), list[str]()
    for bench, member in members.items():
        chain = _chain(journal, others, own, bench)
        head = server.head(bench)
        if head.seq < member.first:
            head = member.before
        elif chain.hash_at(head.seq) not in ("", head.hash):
            differ.append(bench)
            continue
        given[bench] = _give(server, chain, head)
    return GivenBack(given, tuple(differ))


def _give(server: Server, chain: _Chain, head: ChainHead) -> int:
    count, rows = 0, chain.rows(head.seq)
    while rows:
        if server.add(rows):
            count += len(rows)
        rows = chain.rows(rows[-1].seq)
    return count


def _chain(journal: Journal, others: OthersFile, own: str, bench: str) -> _Chain:
    """Of a bench that was replaced, the beginning stands in the own journal, and what came after it with the others'."""
    replaced = replaced_by(own, others.members()).get(bench)
    last = replaced.seq if replaced is not None else 0

    def rows(after: int) -> list[ChainRow]:
        if bench == own:
            return own_rows(journal, bench, after, PART)
        if after < last:
            return own_rows(journal, bench, after, min(PART, last - after))
        return others.rows(bench, after, PART)

    def hash_at(seq: int) -> str:
        return own_hash(journal, seq) if bench == own or seq <= last else others.hash_at(bench, seq)

    return _Chain(hash_at, rows)


def _add_members(connection: Connection, members: Mapping[str, MemberBench]) -> None:
    """Those that were replaced before those that replace them."""
    there = {row[0] for row in connection.execute("select bench from workshop.bench").fetchall()}
    waiting = {bench: member for bench, member in members.items() if bench not in there}
    while waiting:
        ready = [m for m in waiting.values() if m.replaces not in waiting]
        for member in ready:
            connection.execute(
                "insert into workshop.bench values (%s, %s, %s, %s, %s)",
                (member.bench, member.short, member.first, member.prev, member.replaces or None),
            )
            del waiting[member.bench]
