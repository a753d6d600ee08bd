"""A journal that becomes the chain of a bench in a workshop, or ceases to be; nothing in it changes but for one event."""

from __future__ import annotations

from collections.abc import Iterator

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.bench_identity import identity_in
from benchapp.record.journal import Journal
from benchapp.replication.chain_row import ChainHead, ChainRow
from benchapp.replication.errors import ServerRefuses
from benchapp.replication.exchange import agreed_head, send_part
from benchapp.replication.member import MemberBench
from benchapp.replication.own_chain import own_hash, own_head, put_back
from benchapp.replication.server import Server


def join(journal: Journal, server: Server) -> int:
    """Make the journal the chain of the bench that is connected. What the server has of that chain and the journal lacks
    (it is empty, or an older copy) is put back first. Returns how many events that were. Raises ServerRefuses,
    ChainRefused and RecordError."""
    own = server.member()
    brought = put_back(journal, _missing(journal, server, own))
    agreed_head(journal, server, own)
    identity = identity_in(journal)
    if identity is None or (identity.bench, identity.workshop) != (own.bench, server.workshop):
        _may_begin(journal, server, own)
    elif identity.joined:
        return brought
    joined = ev.BenchJoined(
        at_s=0.0,
        bench=own.bench,
        short=own.short,
        workshop=server.workshop,
        first=own.first,
        replaces=own.replaces,
    )
    journal.append(ev.WORKSHOP, [joined])
    return brought


def leave(journal: Journal) -> None:
    """Be no bench of a workshop any more. Raises ServerRefuses where it is none, and RecordError."""
    identity = identity_in(journal)
    if identity is None or not identity.joined:
        raise ServerRefuses(tr("This journal is no bench of a workshop."))
    journal.append(ev.WORKSHOP, [ev.BenchLeft(at_s=0.0, bench=identity.bench)])


def send_last(journal: Journal, server: Server) -> None:
    """Send what a bench that has left wrote before, the leaving included. Raises ReplicationError and RecordError."""
    own = server.member()
    sent, more = agreed_head(journal, server, own), True
    while more:
        sent, more = send_part(journal, server, own, sent)


def _may_begin(journal: Journal, server: Server, own: MemberBench) -> None:
    """A bench that replaces another goes on exactly where that one's chain ended on the server; and one journal is one
    bench, a copy of it is not another."""
    here, beginning = own_head(journal), own_hash(journal, 1)
    if own.first > 1 and here.seq != own.first - 1:
        raise ServerRefuses(
            tr(
                "The bench {bench} replaces {replaces} from event {first} on, and this journal has "
                "{seq} already. A new bench joins with an empty folder: --data DIR.",
                bench=own.bench,
                replaces=own.replaces,
                first=own.first,
                seq=here.seq,
            )
        )
    inherited = {member.bench for member, _ in _segments(server, own)}
    for member in server.members().values():
        if beginning and member.bench not in inherited and server.hash_at(member.bench, 1) == beginning:
            raise ServerRefuses(
                tr(
                    "This journal is that of the bench {bench}, or a copy of it. Join as {bench}, or "
                    "with an empty folder: --data DIR.",
                    bench=member.bench,
                )
            )


def _missing(journal: Journal, server: Server, own: MemberBench) -> Iterator[ChainRow]:
    """What the server has of the own chain, that of the benches it replaces included, behind the journal's end. A
    journal that is not the beginning of that chain gets nothing."""
    here = own_head(journal)
    for member, last in _segments(server, own):
        if last < here.seq:
            continue
        if here.seq >= member.first and server.hash_at(member.bench, here.seq) != here.hash:
            return
        head = ChainHead(max(here.seq, member.first - 1), "")
        while head.seq < last:
            rows = [
                row for row in server.after({member.bench: head}).get(member.bench, []) if row.seq <= last
            ]
            yield from rows
            if not rows:
                break
            head = ChainHead(rows[-1].seq, rows[-1].hash)


def _segments(server: Server, own: MemberBench) -> list[tuple[MemberBench, int]]:
    """The benches whose chains follow each other in this journal, the oldest first, each with its last place in it."""
    members = server.members()
    found = [(own, server.head(own.bench).seq)]
    while found[0][0].replaces:
        later = found[0][0]
        found.insert(0, (members[later.replaces], later.first - 1))
    return found
