"""What passes between a bench and the server while one connection lasts: the own chain there, the others' here."""

from __future__ import annotations

from benchapp.foundation.language import tr
from benchapp.record.bench_identity import identity_in
from benchapp.record.journal import Journal
from benchapp.replication.chain_row import ChainHead
from benchapp.replication.errors import ChainRefused, ServerRefuses
from benchapp.replication.member import MemberBench
from benchapp.replication.others import OthersFile
from benchapp.replication.own_chain import own_hash, own_head, own_rows
from benchapp.replication.server import PART, Server


class Exchange:
    """One bench on one connection. On every connection the heads are read anew: what the server lost is sent again, as a
    bench never forgets what is its own. Raises psycopg's errors, ReplicationError and RecordError."""

    def __init__(self, journal: Journal, others: OthersFile, server: Server) -> None:
        self._journal, self._others, self._server = journal, others, server
        own = _own_member(journal, server)
        self.bench, self._members = own.bench, server.members()
        self.sent = agreed_head(journal, server, own)
        self._received: dict[str, ChainHead] = {}
        self._was_refused = others.refused()
        self._refused: dict[str, tuple[str, str]] = {}
        self._announced = -1
        self._know()

    # --- there ---------------------------------------------------------------------------------------

    def send(self) -> bool:
        """Send the next part of the own chain; whether more waits."""
        if (
            own_head(self._journal).seq - self.sent.seq > PART
        ):  # so that the others know of what is still to come
            self._announce(own_head(self._journal).seq)
        self.sent, more = send_part(self._journal, self._server, self._members[self.bench], self.sent)
        return more

    def _announce(self, seq: int) -> None:
        if seq > self._announced:
            self._server.announce(seq)
            self._announced = seq

    def heartbeat(self) -> None:
        """Say that this bench is there, and how far it is."""
        self._announced = -1
        self._announce(own_head(self._journal).seq)

    # --- here ----------------------------------------------------------------------------------------

    def receive(self) -> bool:
        """Take the next part of each other chain; whether more may wait. A chain that is not what it was is left where
        it is, and said."""
        self._members = self._server.members()
        self._know()
        heads = {bench: head for bench, head in self._received.items() if bench not in self._refused}
        came = self._server.after(heads)
        if came:
            now, refused = self._others.take(heads, came)
            self._received |= now
            for bench, why in refused.items():
                self._refuse(bench, why)
        return any(len(rows) == PART for rows in came.values())

    def _know(self) -> None:
        """Benches that are new, or new on this connection: where their chains go on, and whether they are what they
        were."""
        self._others.keep_members(self._members)
        for bench, member in self._members.items():
            if bench != self.bench and bench not in self._received:
                self._received[bench] = head = self._others.known(member, self.bench)
                self._compare(member, head)
        self._others.keep_refused(self._refused)

    def _compare(self, member: MemberBench, head: ChainHead) -> None:
        """Whether the server still has the chain that was received, as far as it has one."""
        bench, there = member.bench, self._server.head(member.bench)
        place = min(head.seq, there.seq)
        if place >= member.first and self._here(bench, place, head) != self._server.hash_at(bench, place):
            self._refuse(
                bench,
                tr(
                    "The server says otherwise about event {place} of the bench {bench} than it did when "
                    "it was received here: its history was written anew. Keep this journal, and verify "
                    "every bench.",
                    place=place,
                    bench=bench,
                ),
            )
        if member.replaces and self._others.hash_at(member.replaces, member.first - 1) not in (
            "",
            member.prev,
        ):
            self._refuse(
                bench,
                tr(
                    "The bench {bench} goes on from a chain that {replaces} never had.",
                    bench=bench,
                    replaces=member.replaces,
                ),
            )

    def _here(self, bench: str, seq: int, head: ChainHead) -> str:
        if seq == head.seq:
            return head.hash
        return self._others.hash_at(bench, seq) or own_hash(self._journal, seq)

    def _refuse(self, bench: str, why: str) -> None:
        since, _ = self._was_refused.get(bench, (self._journal.wall(), ""))
        self._refused[bench] = (since, why)
        self._others.keep_refused(self._refused)


def _own_member(journal: Journal, server: Server) -> MemberBench:
    identity = identity_in(journal)
    if identity is None or not identity.joined:
        raise ServerRefuses(tr("This journal is no bench of a workshop. Join one: benchapp workshop join."))
    if identity.bench != server.role:
        raise ServerRefuses(
            tr(
                "This journal is the bench {bench}, and the server was asked as {role}. Use the "
                "address of {bench}.",
                bench=identity.bench,
                role=server.role,
            )
        )
    if identity.workshop != server.workshop:
        raise ServerRefuses(
            tr(
                "That server holds another workshop than the one this bench joined. Leave that first "
                "(benchapp workshop leave), or give the server back what it lost (benchapp workshop "
                "rebuild)."
            )
        )
    return server.member()


def send_part(journal: Journal, server: Server, own: MemberBench, sent: ChainHead) -> tuple[ChainHead, bool]:
    """Send the next events behind ``sent``: what is sent then, and whether more waits. Raises ChainRefused."""
    rows = own_rows(journal, own.bench, sent.seq, PART)
    if not rows:
        return sent, False
    if server.add(rows):
        return ChainHead(rows[-1].seq, rows[-1].hash), len(rows) == PART
    # Another window of this bench sent it, or somebody else sends under its name.
    return agreed_head(journal, server, own), True


def agreed_head(journal: Journal, server: Server, own: MemberBench) -> ChainHead:
    """How far the server has this journal's chain. Raises ChainRefused where it has another, or more than the journal."""
    there = server.head(own.bench)
    if there.seq < own.first:
        there = own.before
    if own_hash(journal, there.seq) == there.hash:
        return there
    here = own_head(journal)
    if there.seq > here.seq and server.hash_at(own.bench, here.seq) in ("", here.hash):
        raise ChainRefused(
            tr(
                "The server has {seq} events of the bench {bench}, this journal {seq_2}: an older "
                "copy was put in its place. Make nothing before the others are brought back: "
                "benchapp workshop join.",
                seq=there.seq,
                bench=own.bench,
                seq_2=here.seq,
            )
        )
    raise ChainRefused(
        tr(
            "This journal and the server differ from event {first_difference} of the bench "
            "{bench} on: one of the two was written anew, or two journals go by that name. "
            "Nothing is sent. Verify this journal, and do not throw either away. What is made next is made "
            "on a new bench: benchapp workshop add, and join with an empty folder.",
            first_difference=_first_difference(journal, server, own),
            bench=own.bench,
        )
    )


def _first_difference(journal: Journal, server: Server, own: MemberBench) -> int:
    """The first place where the two chains differ: whatever follows differs too."""
    low, high = own.first - 1, min(server.head(own.bench).seq, own_head(journal).seq)
    while high - low > 1:
        middle = (low + high) // 2
        same = own_hash(journal, middle) == server.hash_at(own.bench, middle)
        low, high = (middle, high) if same else (low, middle)
    return high
