"""Benches seal each other: how far the others' chains had come is written into one's own, and a history that was rewritten
since, on a bench or on the server, is contradicted by whoever wrote it down. No single machine can show that."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sqlalchemy import select

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.bench_identity import identity_in
from benchapp.record.chain import read
from benchapp.record.documents.plain_text import minute
from benchapp.record.errors import JournalDamaged, JournalTooNew
from benchapp.record.journal import Journal
from benchapp.replication.chain_row import ChainHead, following
from benchapp.replication.errors import ChainRefused
from benchapp.replication.member import replaced_by
from benchapp.replication.others import RECEIVED, OthersFile
from benchapp.replication.own_chain import own_hash

#: What says how far others had come, and in which workshop that was.
_SEALING = (ev.BenchJoined, ev.HeadsReceived)
#: So many rows of a chain are looked at at a time.
PART = 5000


@dataclass(frozen=True, slots=True)
class Contradiction:
    """``by`` wrote down at ``wall`` of its own clock that event ``seq`` of the chain of ``bench`` had another
    hash than it has."""

    bench: str
    seq: int
    by: str
    wall: str

    def sentence(self, own: str) -> str:
        """For whoever reads it on the bench ``own``."""
        whose = tr("this journal") if self.bench == own else tr("the bench {bench}", bench=self.bench)
        by = tr("this journal") if self.by == own else tr("the bench {by}", by=self.by)
        day = minute(self.wall)
        return tr(
            "event {seq} of {whose} is not what {by} wrote down on {day}: since then its history "
            "was written anew, or cut off.",
            seq=self.seq,
            whose=whose,
            by=by,
            day=day,
        )


@dataclass(frozen=True, slots=True)
class Comparison:
    """What comes of holding every chain that is here against every seal in them. ``own``: the bench it is done on;
    ``own_until``: how far the own chain is confirmed by others; ``broken``: received
    chains that do not hold, and ``refused`` ones, a sentence each."""

    own: str
    own_until: int
    contradictions: tuple[Contradiction, ...]
    broken: tuple[str, ...]
    refused: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """Whether nobody contradicts anybody."""
        return not (self.contradictions or self.broken or self.refused)

    @property
    def altered(self) -> tuple[str, ...]:
        """What is not as it was, a sentence each; of each history that is contradicted, who does so first."""
        first: dict[tuple[str, str], Contradiction] = {}
        for one in sorted(self.contradictions, key=lambda one: one.seq):
            first.setdefault((one.bench, one.by), one)
        return (*(one.sentence(self.own) for one in first.values()), *self.broken, *self.refused)

    @property
    def confirmed(self) -> str:
        """How far others vouch for the own chain."""
        if not self.own_until:
            return tr("No other bench has written down a head of this journal yet.")
        return tr(
            "Other benches have written down heads of this journal, the furthest event "
            "{own_until}; each is in this chain.",
            own_until=self.own_until,
        )


class Sealer:
    """Writes the heads of the others into the own chain: of chains in which something happened since this journal did so
    last, other than that they sealed others; or two benches would answer each other for ever."""

    def __init__(self, journal: Journal, others: OthersFile) -> None:
        self._journal, self._others = journal, others
        identity = identity_in(journal)
        own, workshop = (identity.bench, identity.workshop) if identity is not None else ("", "")
        self._sealed = {head.bench: head.seq for _, _, head in _own_seals(journal, own, workshop)}

    def seal(self) -> bool:
        """Write them, where any is worth it; whether any was. Raises RecordError."""
        heads = tuple(self._unsealed())
        if heads:
            self._journal.append(ev.WORKSHOP, [ev.HeadsReceived(at_s=0.0, heads=heads)])
            self._sealed.update({head.bench: head.seq for head in heads})
        return bool(heads)

    def _unsealed(self) -> Iterator[ev.ReceivedHead]:
        for bench in sorted(self._others.members()):
            head = self._others.head(bench)
            if head is not None and _happened_since(self._others, bench, self._sealed.get(bench, 0)):
                yield ev.ReceivedHead(bench, head.seq, head.hash)


def _happened_since(others: OthersFile, bench: str, seq: int) -> bool:
    since = select(RECEIVED.c.seq).where(
        RECEIVED.c.bench == bench, RECEIVED.c.seq > seq, RECEIVED.c.kind != ev.HeadsReceived.__name__
    )
    with others.reading() as c:
        return c.execute(since.limit(1)).first() is not None


def compare(journal: Journal, others: OthersFile) -> Comparison:
    """Hold the own chain and the received ones against every seal in any of them. Raises RecordError."""
    identity = identity_in(journal)
    own, workshop = (identity.bench, identity.workshop) if identity is not None else ("", "")
    until, found = 0, list[Contradiction]()
    received, unread = _received_seals(others, workshop)
    for by, wall, head in (*_own_seals(journal, own, workshop), *received):
        stands = _hash_at(journal, others, own, head)
        if stands is None:
            continue
        if stands != head.hash:
            found.append(Contradiction(head.bench, head.seq, by, wall))
        elif head.bench == own and by != own:
            until = max(until, head.seq)
    return Comparison(
        own,
        until,
        tuple(found),
        (*_broken(others), *unread),
        tuple(
            tr("{why} Noticed on {replace}.", why=why, replace=minute(since))
            for since, why in others.refused().values()
        ),
    )


def bench_of(journal: Journal) -> str:
    """The bench whose chain a journal is, "" where it is none."""
    identity = identity_in(journal)
    return identity.bench if identity is not None else ""


def _own_seals(journal: Journal, own: str, workshop: str) -> Iterator[tuple[str, str, ev.ReceivedHead]]:
    """Those that were written in this workshop: another's benches may be called alike."""
    here = ""
    for stored in journal.of_kinds(_SEALING):
        event = stored.event
        if isinstance(event, ev.BenchJoined):
            here = event.workshop
        elif isinstance(event, ev.HeadsReceived) and here == workshop:
            yield from ((own, stored.wall, head) for head in event.heads)


def _received_seals(
    others: OthersFile, workshop: str
) -> tuple[list[tuple[str, str, ev.ReceivedHead]], list[str]]:
    """Who wrote down which head in this workshop when, and a sentence for each bench of which one cannot be read."""
    kinds = [kind.__name__ for kind in _SEALING]
    seals = select(RECEIVED.c.bench, RECEIVED.c.text).where(RECEIVED.c.kind.in_(kinds))
    with others.reading() as c:
        rows = c.execute(seals.order_by(RECEIVED.c.bench, RECEIVED.c.seq)).all()
    found: list[tuple[str, str, ev.ReceivedHead]] = []
    unread: dict[str, str] = {}
    here: dict[str, str] = {}
    for bench, text in rows:
        try:
            wall, event = read(text)
        except (JournalDamaged, JournalTooNew) as error:
            unread[bench] = tr(
                "what the bench {bench} wrote down of others cannot be read: {error}",
                bench=bench,
                error=error,
            )
            continue
        if isinstance(event, ev.BenchJoined):
            here[bench] = event.workshop
        elif isinstance(event, ev.HeadsReceived) and here.get(bench, workshop) == workshop:
            found += [(bench, wall, head) for head in event.heads]
    return found, list(unread.values())


def _hash_at(journal: Journal, others: OthersFile, own: str, head: ev.ReceivedHead) -> str | None:
    """The hash at the place a seal speaks of; None where that chain has not come here so far yet. The own chain has to
    have it: an end that was cut off is a history written anew."""
    replaced = replaced_by(own, others.members()).get(head.bench)
    if head.bench == own or (replaced is not None and head.seq <= replaced.seq):
        return own_hash(journal, head.seq)
    return others.hash_at(head.bench, head.seq) or None


def _broken(others: OthersFile) -> Iterator[str]:
    """Received chains that were altered in the file since."""
    for bench, member in others.members().items():
        rows = others.rows(bench, 0, PART)
        head = ChainHead(rows[0].seq - 1, rows[0].prev) if rows else member.before
        try:
            while rows:
                for row in following(head, rows):
                    head = ChainHead(row.seq, row.hash)
                rows = others.rows(bench, head.seq, PART)
        except ChainRefused as error:
            yield tr(
                "In {path}: {error} Take the file away: it is received anew.", path=others.path, error=error
            )
