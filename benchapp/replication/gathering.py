"""What of all chains the workshop's questions need, kept in the file of the others and brought up to date as they grow: facts
about lots, people and decisions, what was drawn from which lot, and the seals."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Any, NamedTuple

from sqlalchemy import Column, Connection, Float, Index, Integer, String, Table, Text, delete, func, select

from benchapp import events as ev
from benchapp.record.chain import row_of
from benchapp.record.corrections import as_it_stands
from benchapp.record.journal import Journal
from benchapp.record.projections import PROJECTED
from benchapp.record.sqlite import scratch
from benchapp.record.tables import EVENT, INDEXES
from benchapp.replication.all_indexes import PART_OF, keep_projection, parts_written
from benchapp.replication.batch_projection import NO_FORM, BatchProjection, projection_of
from benchapp.replication.member import MemberBench, replaced_by
from benchapp.replication.merging import ChainFact, ChainPlace
from benchapp.replication.others import MEMBER, RECEIVED, TABLES, OthersFile

FACT = Table(
    "fact",
    TABLES,
    Column("bench", String, primary_key=True),
    Column("seq", Integer, primary_key=True),
    Column("kind", String, nullable=False),
    Column("subject", String, nullable=False),  # the lot, the person or the batch it is about
    Column("text", Text, nullable=False),
    Index("fact_subject", "kind", "subject"),
)
DRAWN = Table(
    "drawn",
    TABLES,
    Column("bench", String, nullable=False),
    Column("batch", String, nullable=False),
    Column("seq", Integer, nullable=False),
    Column("lot", String, nullable=False),
    Column("amount", Float, nullable=False),
    Index("drawn_lot", "lot", "bench", "seq"),
    Index("drawn_batch", "bench", "batch"),
)
SEAL = Table(
    "seal",
    TABLES,
    Column("by", String, primary_key=True),
    Column("at", Integer, primary_key=True),
    Column("bench", String, primary_key=True),
    Column("seq", Integer, nullable=False),
)
GATHERED = Table(
    "gathered",
    TABLES,
    Column("chain", String, primary_key=True),
    Column("seq", Integer, nullable=False),
    Column("kept", Integer, nullable=False),  # how many events so far were of the kinds that are kept
)

#: The field of each kind of fact that says what it is about; a batch's own events are about the batch.
SUBJECT: Mapping[str, str] = {
    "LotReceived": "lot", "LotOpened": "lot", "LotJudged": "lot", "LotCounted": "lot",
    "PersonEnrolled": "who", "PersonRetired": "who", "BatchDecided": "", "MakeStarted": "", "BenchJoined": "workshop",
    "MakeFinished": "", "MakeAbandoned": "", "Signed": "who", "DeviationClosed": "by", "CheckRecorded": "by", "MasterApproved": "procedure",
    "MasterWithdrawn": "procedure",
}  # fmt: skip
WANTED = (*{*SUBJECT, *PROJECTED}, ev.HeadsReceived.__name__)
#: Rows looked at in one transaction.
PART = 5000
#: The cursor over the own journal, which no bench is called; the end of a chain that goes on; what a newer version wrote.
OWN, NO_END, UNREADABLE = "", 1 << 62, "unreadable"


@dataclass(frozen=True, slots=True)
class _Row:
    """A row of any chain: ``place`` says whose event it is."""

    place: ChainPlace
    batch: str
    n: int
    kind: str
    text: str


class _Segment(NamedTuple):
    """Whose the places ``first`` to ``last`` of a chain are."""

    bench: str
    first: int
    last: int


class Gathering:
    """Brings FACT, DRAWN and SEAL up to date with every chain that is here. Raises RecordError."""

    def __init__(self, journal: Journal, others: OthersFile, own: str) -> None:
        self._journal, self._others, self.own = journal, others, own

    def lineage(self, members: Mapping[str, MemberBench]) -> dict[str, dict[str, int]]:
        """By bench, how far it goes on with the chains of which benches."""
        return {
            bench: {old: head.seq for old, head in replaced_by(bench, members).items()} for bench in members
        }

    def catch_up(self) -> tuple[tuple[str, int], ...]:
        """Look at what came since: of each chain how many events are kept now, by this window or another. As long as that
        is the same, so is everything that follows from it."""
        members = self._others.members()
        if self.own in members:
            for chain in (OWN, *self._grown()):
                while self._part(chain, members):
                    pass
        with self._others.reading() as c:
            rows = c.execute(select(GATHERED.c.chain, GATHERED.c.kept).order_by(GATHERED.c.chain))
            return tuple((chain, kept) for chain, kept in rows)

    def _grown(self) -> list[str]:
        """The other chains of which more is here than was looked at, by one question for all."""
        newest = select(func.max(RECEIVED.c.seq)).where(RECEIVED.c.bench == MEMBER.c.bench).scalar_subquery()
        done = select(GATHERED.c.seq).where(GATHERED.c.chain == MEMBER.c.bench).scalar_subquery()
        grown = select(MEMBER.c.bench).where(MEMBER.c.bench != self.own, newest > func.coalesce(done, 0))
        with self._others.reading() as c:
            return list(c.execute(grown.order_by(MEMBER.c.bench)).scalars())

    def _part(self, chain: str, members: Mapping[str, MemberBench]) -> bool:
        """The next events of a chain; whether there were any."""
        with self._others.reading() as c:
            done, kept = _cursor(c, chain)
        newest = self._newest(chain)
        if newest <= done:
            return False
        segments = self._segments(chain, members)
        rows = list(self._rows(chain, (done, newest), segments))
        until = rows[-1].place.seq if len(rows) == PART else newest
        parts = parts_written(self._first_of_batches(chain, (done, until)))
        found = self._projected(chain, sorted({row.batch for row in rows if _projected(row)}), members)
        with self._others.writing() as c:
            if _cursor(c, chain) != (done, kept):
                return True  # another window was quicker
            _keep(c, rows)
            for batch, one in found.items():
                _keep_draws(c, batch, one, segments)
                keep_projection(c, chain or self.own, batch, one, members)
            if parts:
                c.execute(PART_OF.insert().prefix_with("OR IGNORE"), parts)
            c.execute(delete(GATHERED).where(GATHERED.c.chain == chain))
            c.execute(
                GATHERED.insert(), {"chain": chain, "seq": until, "kept": kept + len(rows) + len(parts)}
            )
        return True

    def _newest(self, chain: str) -> int:
        if chain == OWN:
            with self._journal.reading() as c:
                return int(c.execute(select(func.max(EVENT.c.seq))).scalar() or 0)
        head = self._others.head(chain)
        return head.seq if head else 0

    def _rows(self, chain: str, between: tuple[int, int], segments: Sequence[_Segment]) -> Iterator[_Row]:
        table = EVENT if chain == OWN else RECEIVED
        query = select(table.c.seq, table.c.batch, table.c.n, table.c.kind, table.c.text).where(
            table.c.seq > between[0], table.c.seq <= between[1], table.c.kind.in_(WANTED)
        )
        if chain != OWN:
            query = query.where(RECEIVED.c.bench == chain)
        with self._journal.reading() if chain == OWN else self._others.reading() as c:
            for row in c.execute(query.order_by(table.c.seq).limit(PART)):
                yield _Row(ChainPlace(_whose(row.seq, segments), row.seq), *row[1:])

    def _first_of_batches(self, chain: str, between: tuple[int, int]) -> list[tuple[str, str, str]]:
        """The bench, the batch and the kind of every event that is a chain's first of its batch."""
        table = EVENT if chain == OWN else RECEIVED
        query = select(table.c.batch, table.c.kind).where(
            table.c.seq > between[0], table.c.seq <= between[1], table.c.n == 1
        )
        if chain != OWN:
            query = query.where(RECEIVED.c.bench == chain)
        with self._journal.reading() if chain == OWN else self._others.reading() as c:
            return [(chain or self.own, row.batch, row.kind) for row in c.execute(query)]

    def _segments(self, chain: str, members: Mapping[str, MemberBench]) -> list[_Segment]:
        """Whose events the places of a chain are, as far as it is this chain that brings them: the own journal also holds
        what the benches it replaces had sent, and what they sent later comes as theirs."""
        if chain != OWN:
            first = self.lineage(members)[self.own].get(chain, members[chain].first - 1) + 1
            return [_Segment(chain, first, NO_END)]
        found, last, bench = list[_Segment](), NO_END, self.own
        while bench:
            found.append(_Segment(bench, members[bench].first, last))
            last, bench = members[bench].first - 1, members[bench].replaces
        return found

    # --- batches -------------------------------------------------------------------------------------

    def _projected(
        self, chain: str, batches: Sequence[str], members: Mapping[str, MemberBench]
    ) -> dict[str, BatchProjection]:
        """By batch what the indexes say of it and every amount that was drawn from a lot, at its place; a whole batch at a time, as what
        was in hand and what was taken back hangs on what came before."""
        found: dict[str, BatchProjection] = {}
        if not batches:
            return found
        with scratch() as into, self._chain(chain, members) as c:
            INDEXES.create_all(into)
            for batch in batches:
                found[batch] = projection_of(batch, c, into)
        return found

    def _chain(self, chain: str, members: Mapping[str, MemberBench]) -> AbstractContextManager[Connection]:
        """A connection on which EVENT is that chain, from its beginning."""
        if chain == OWN:
            return self._journal.reading()
        cut = {old: head.seq for old, head in replaced_by(chain, members).items()}
        return self._others.reading_as_event(chain, cut)


def _cursor(c: Connection, chain: str) -> tuple[int, int]:
    """How far a chain was gathered, and how many of its events are kept."""
    row = c.execute(select(GATHERED.c.seq, GATHERED.c.kept).where(GATHERED.c.chain == chain)).first()
    return (row.seq, row.kept) if row else (0, 0)


def _keep_draws(c: Connection, batch: str, draws: BatchProjection, segments: Sequence[_Segment]) -> None:
    for one in segments:
        here = (DRAWN.c.bench == one.bench) & DRAWN.c.seq.between(one.first, one.last)
        c.execute(delete(DRAWN).where(DRAWN.c.batch == batch, here))
        rows = [
            {"bench": one.bench, "batch": batch, "seq": seq, "lot": lot, "amount": amount}
            for seq, lot, amount in draws.drawn
            if one.first <= seq <= one.last
        ]
        if rows:
            c.execute(DRAWN.insert(), rows)
        if one.first <= draws.unreadable_at <= one.last:
            place = {"bench": one.bench, "seq": draws.unreadable_at}
            c.execute(delete(FACT).where(FACT.c.bench == one.bench, FACT.c.seq == draws.unreadable_at))
            c.execute(FACT.insert(), {**place, "kind": UNREADABLE, "subject": batch, "text": ""})


def _whose(seq: int, segments: Sequence[_Segment]) -> str:
    return next((one.bench for one in segments if one.first <= seq <= one.last), segments[0].bench)


def _projected(row: _Row) -> bool:
    return row.kind in PROJECTED and row.batch != ev.WORKSHOP


def _keep(c: Connection, rows: Iterable[_Row]) -> None:
    for row in rows:
        try:
            _keep_row(c, row)
        except NO_FORM:
            _keep_fact(c, row, UNREADABLE, row.batch, "")


def _keep_row(c: Connection, row: _Row) -> None:
    if row.kind == ev.HeadsReceived.__name__:
        event = ev.from_fields(row.kind, row_of(row.text)["fields"])
        assert isinstance(event, ev.HeadsReceived)
        for bench, seq in {head.bench: head.seq for head in event.heads}.items():
            c.execute(SEAL.insert(), {"by": row.place.bench, "at": row.place.seq, "bench": bench, "seq": seq})
    elif row.kind in SUBJECT:
        field = SUBJECT[row.kind]
        subject = str(row_of(row.text)["fields"][field]) if field else row.batch
        _keep_fact(c, row, row.kind, subject, _kept(row))
    elif row.kind == "Corrected" and row.batch == ev.WORKSHOP:
        _correct(c, row)


def _kept(row: _Row) -> str:
    """What of a fact is wanted: of a make it is enough by what it was begun, and that event is long."""
    if row.kind in ("MakeFinished", "MakeAbandoned"):
        return ""
    if row.kind != "MakeStarted":
        return row.text
    fields = row_of(row.text)["fields"]
    return json.dumps({"procedure": fields["procedure"], "version": fields.get("version")})


def _keep_fact(c: Connection, row: _Row, kind: str, subject: str, text: str) -> None:
    place = {"bench": row.place.bench, "seq": row.place.seq}
    c.execute(FACT.insert(), {**place, "kind": kind, "subject": subject, "text": text})


def _correct(c: Connection, row: _Row) -> None:
    """A delivery that had been recorded wrongly; its own name stays."""
    said = row_of(row.text)
    correction = ev.from_fields(said["kind"], said["fields"])
    assert isinstance(correction, ev.Corrected)
    facts = select(FACT.c.seq, FACT.c.text).where(
        FACT.c.bench == row.place.bench, FACT.c.kind == "LotReceived"
    )
    for seq, text in c.execute(facts).all():
        whole = row_of(text)
        if whole["n"] == correction.n and correction.field != "lot":
            now = as_it_stands(ev.from_fields(whole["kind"], whole["fields"]), [correction])
            changed = json.dumps({**whole, "fields": ev.to_fields(now)[1]})
            c.execute(
                FACT.update().where(FACT.c.bench == row.place.bench, FACT.c.seq == seq).values(text=changed)
            )


def facts_of(c: Connection, *kinds: str) -> tuple[dict[str, list[ChainFact[Any]]], set[str]]:
    """Every fact of these kinds by its subject, and the benches that wrote one which this version cannot read."""
    found: dict[str, list[ChainFact[Any]]] = {}
    unreadable: set[str] = set()
    for row in c.execute(select(FACT).where(FACT.c.kind.in_(kinds)).order_by(FACT.c.bench, FACT.c.seq)):
        said = row_of(row.text)
        try:
            event = ev.from_fields(said["kind"], said["fields"])
        except (ValueError, TypeError):
            unreadable.add(row.bench)
            continue
        found.setdefault(row.subject, []).append(
            ChainFact(ChainPlace(row.bench, row.seq), event, said["wall"])
        )
    return found, unreadable
