"""What of all chains the workshop's questions need, kept in the file of the others and brought up to date as they grow: facts
about lots, people and decisions, what was drawn from which lot, and the seals."""

from __future__ import annotations

import json
import math
import time
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Any, NamedTuple

from sqlalchemy import (
    Column,
    Connection,
    Float,
    Index,
    Integer,
    String,
    Table,
    Text,
    delete,
    func,
    select,
    text,
)

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
    Column("batch", String, nullable=False),  # in which it was written
    Column("text", Text, nullable=False),
    Index("fact_subject", "kind", "subject", "bench", "seq"),
    Index("fact_batch", "batch", "kind"),
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
    Column("seq", Integer, nullable=False),  # the furthest that was sealed up to there
    Column("workshop", String, nullable=False),  # in which it was written
    Index("seal_known", "by", "bench", "at", "seq", "workshop"),
)
#: What has to be worked out anew: a lot or a batch by a name that is written of it, or everything.
DIRTY = Table(
    "dirty",
    TABLES,
    Column("id", Integer, primary_key=True),
    Column("kind", String, nullable=False),
    Column("subject", String, nullable=False),
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
#: The kinds of what has to be worked out anew.
LOT_DIRTY, BATCH_DIRTY, ALL_DIRTY = "lot", "batch", "all"
LOT_KINDS = ("LotReceived", "LotOpened", "LotJudged", "LotCounted")
#: What hangs together with events of a batch.
_OF_A_BATCH = (
    "BatchDecided",
    "MakeStarted",
    "MakeFinished",
    "MakeAbandoned",
    "Signed",
    "DeviationClosed",
    "CheckRecorded",
)
#: What may concern anything.
_OF_ALL = ("PersonRetired", "MasterApproved", "MasterWithdrawn", "BenchJoined")
#: What gives a name, which is then told from that of another bench.
_NAMING = ("LotReceived", "MakeStarted")
#: A seal, and the furthest that was sealed before.
_SEALED = (
    "INSERT INTO seal (by, at, bench, seq, workshop) VALUES (:by, :at, :bench, max(:seq, coalesce((SELECT seq FROM seal "
    "WHERE by = :by AND bench = :bench AND workshop = :workshop ORDER BY at DESC LIMIT 1), 0)), :workshop)"
)
#: Rows looked at in one transaction; and where somebody may wait for it.
PART, SMALL_PART = 5000, 500
#: The cursor over the own journal, which no bench is called; the end of a chain that goes on; what a newer version wrote.
OWN, NO_END, UNREADABLE = "", 1 << 62, "unreadable"
EVERYTHING = (ALL_DIRTY, "")


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

    def catch_up(self, patience_s: float = math.inf) -> tuple[tuple[str, int], ...]:
        """Look at what came since, for about so long: of each chain how many events are kept now, by this window or another. As long as
        that is the same, so is everything that follows from it."""
        members, began_s = self._others.members(), time.monotonic()
        if self.own in members:
            for chain in (OWN, *self._grown()):
                while self._part(chain, members, PART if patience_s == math.inf else SMALL_PART):
                    if time.monotonic() - began_s >= patience_s:
                        return self._kept()
        return self._kept()

    def waiting(self) -> bool:
        """Whether there is more that was not looked at."""
        with self._others.reading() as c:
            done, _ = _cursor(c, OWN)
        return self.own in self._others.members() and (self._newest(OWN) > done or bool(self._grown()))

    def _kept(self) -> tuple[tuple[str, int], ...]:
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

    def _part(self, chain: str, members: Mapping[str, MemberBench], most: int) -> bool:
        """The next events of a chain, at most so many; whether there were any."""
        with self._others.reading() as c:
            done, kept = _cursor(c, chain)
        newest = self._newest(chain)
        if newest <= done:
            return False
        segments = self._segments(chain, members)
        rows = list(self._rows(chain, (done, newest), segments, most))
        until = rows[-1].place.seq if len(rows) == most else newest
        parts = parts_written(self._first_of_batches(chain, (done, until)))
        found = self._projected(chain, sorted({row.batch for row in rows if _projected(row)}), members)
        with self._others.writing() as c:
            if _cursor(c, chain) != (done, kept):
                return True  # another window was quicker
            dirty = _keep(c, rows)
            for batch, one in found.items():
                dirty |= {(BATCH_DIRTY, batch), *_keep_draws(c, batch, one, segments)}
                keep_projection(c, chain or self.own, batch, one, members)
            dirty |= {(BATCH_DIRTY, part["batch"]) for part in parts}
            if any(chain in replaced_by(heir, members) for heir in members):
                dirty.add(EVERYTHING)  # it still sends, and its batches are gone on with
            if dirty:
                c.execute(
                    DIRTY.insert(), [{"kind": kind, "subject": subject} for kind, subject in sorted(dirty)]
                )
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

    def _rows(
        self, chain: str, between: tuple[int, int], segments: Sequence[_Segment], most: int
    ) -> Iterator[_Row]:
        table = EVENT if chain == OWN else RECEIVED
        query = select(table.c.seq, table.c.batch, table.c.n, table.c.kind, table.c.text).where(
            table.c.seq > between[0], table.c.seq <= between[1], table.c.kind.in_(WANTED)
        )
        if chain != OWN:
            query = query.where(RECEIVED.c.bench == chain)
        with self._journal.reading() if chain == OWN else self._others.reading() as c:
            for row in c.execute(query.order_by(table.c.seq).limit(most)):
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


def _keep_draws(
    c: Connection, batch: str, draws: BatchProjection, segments: Sequence[_Segment]
) -> set[tuple[str, str]]:
    """What was drawn for a batch, in the place of what it was; the lots of which that is another now."""
    dirty = set[tuple[str, str]]()
    for one in segments:
        here = (
            (DRAWN.c.batch == batch) & (DRAWN.c.bench == one.bench) & DRAWN.c.seq.between(one.first, one.last)
        )
        was = Counter(
            tuple(row) for row in c.execute(select(DRAWN.c.seq, DRAWN.c.lot, DRAWN.c.amount).where(here))
        )
        now = Counter(draw for draw in draws.drawn if one.first <= draw[0] <= one.last)
        if was != now:
            c.execute(delete(DRAWN).where(here))
            rows = [
                {"bench": one.bench, "batch": batch, "seq": seq, "lot": lot, "amount": amount}
                for seq, lot, amount in now.elements()
            ]
            if rows:
                c.execute(DRAWN.insert(), rows)
            dirty |= {(LOT_DIRTY, lot) for _, lot, _ in (was - now) + (now - was)}
        if one.first <= draws.unreadable_at <= one.last:
            place = {"bench": one.bench, "seq": draws.unreadable_at}
            c.execute(delete(FACT).where(FACT.c.bench == one.bench, FACT.c.seq == draws.unreadable_at))
            c.execute(
                FACT.insert(), {**place, "kind": UNREADABLE, "subject": batch, "batch": batch, "text": ""}
            )
            dirty.add(EVERYTHING)
    return dirty


def _whose(seq: int, segments: Sequence[_Segment]) -> str:
    return next((one.bench for one in segments if one.first <= seq <= one.last), segments[0].bench)


def _projected(row: _Row) -> bool:
    return row.kind in PROJECTED and row.batch != ev.WORKSHOP


def _keep(c: Connection, rows: Iterable[_Row]) -> set[tuple[str, str]]:
    """The rows as facts and seals; what has to be worked out anew since."""
    dirty = set[tuple[str, str]]()
    for row in rows:
        try:
            dirty |= _keep_row(c, row)
        except NO_FORM:
            _keep_fact(c, row, UNREADABLE, row.batch, "")
            dirty.add(EVERYTHING)
    return dirty


def _keep_row(c: Connection, row: _Row) -> set[tuple[str, str]]:
    if row.kind == ev.HeadsReceived.__name__:
        _keep_seals(c, row)
    elif row.kind in SUBJECT:
        field = SUBJECT[row.kind]
        subject = str(row_of(row.text)["fields"][field]) if field else row.batch
        said = _kept(row)
        shared = row.kind in _NAMING and _named_elsewhere(c, row, subject)
        _keep_fact(c, row, row.kind, subject, said)
        return {EVERYTHING} if shared else _concerned(row, subject)
    elif row.kind == "Corrected" and row.batch == ev.WORKSHOP:
        return {(LOT_DIRTY, lot) for lot in _correct(c, row)}
    return set()


def _concerned(row: _Row, subject: str) -> set[tuple[str, str]]:
    """What has to be worked out anew after a fact."""
    if row.kind in LOT_KINDS:
        return {(LOT_DIRTY, subject)}
    if row.kind in _OF_A_BATCH:
        return {(BATCH_DIRTY, row.batch)}
    return {EVERYTHING} if row.kind in _OF_ALL else set()


def _named_elsewhere(c: Connection, row: _Row, subject: str) -> bool:
    """Whether another bench gave that name too: then what it stands for hangs on who says it."""
    other = select(FACT.c.seq).where(
        FACT.c.kind == row.kind, FACT.c.subject == subject, FACT.c.bench != row.place.bench
    )
    return c.execute(other.limit(1)).first() is not None


def _keep_seals(c: Connection, row: _Row) -> None:
    event = ev.from_fields(row.kind, row_of(row.text)["fields"])
    assert isinstance(event, ev.HeadsReceived)
    workshop = workshop_of(c, row.place)
    seals = [
        {"by": row.place.bench, "at": row.place.seq, "bench": bench, "seq": seq, "workshop": workshop}
        for bench, seq in {head.bench: head.seq for head in event.heads}.items()
    ]
    if seals:
        c.execute(text(_SEALED), seals)


def workshop_of(c: Connection, place: ChainPlace) -> str:
    """The workshop in which a bench was where it wrote that, "" none yet."""
    joined = select(FACT.c.seq, FACT.c.bench, FACT.c.subject).where(FACT.c.kind == "BenchJoined")
    before = [row for row in c.execute(joined) if row.bench == place.bench and row.seq < place.seq]
    return str(max(before).subject) if before else ""


def _kept(row: _Row) -> str:
    """What of a fact is wanted: of a make it is enough by what it was begun, and that event is long."""
    if row.kind in ("MakeFinished", "MakeAbandoned"):
        return ""
    if row.kind != "MakeStarted":
        return row.text
    fields = row_of(row.text)["fields"]
    return json.dumps({"procedure": fields["procedure"], "version": fields.get("version")})


def _keep_fact(c: Connection, row: _Row, kind: str, subject: str, said: str) -> None:
    place = {"bench": row.place.bench, "seq": row.place.seq}
    c.execute(FACT.insert(), {**place, "kind": kind, "subject": subject, "batch": row.batch, "text": said})


def _correct(c: Connection, row: _Row) -> Iterator[str]:
    """A delivery that had been recorded wrongly; its own name, which it keeps."""
    said = row_of(row.text)
    correction = ev.from_fields(said["kind"], said["fields"])
    assert isinstance(correction, ev.Corrected)
    facts = select(FACT.c.seq, FACT.c.subject, FACT.c.text).where(
        FACT.c.bench == row.place.bench, FACT.c.kind == "LotReceived"
    )
    for seq, lot, written in c.execute(facts).all():
        whole = row_of(written)
        if whole["n"] == correction.n and correction.field != "lot":
            now = as_it_stands(ev.from_fields(whole["kind"], whole["fields"]), [correction])
            changed = json.dumps({**whole, "fields": ev.to_fields(now)[1]})
            c.execute(
                FACT.update().where(FACT.c.bench == row.place.bench, FACT.c.seq == seq).values(text=changed)
            )
            yield lot


def facts_of(
    c: Connection, *kinds: str, subjects: Collection[str] | None = None
) -> tuple[dict[str, list[ChainFact[Any]]], set[str]]:
    """Every fact of these kinds by its subject, of those ``subjects`` alone where they are given, and the benches that wrote one which
    this version cannot read."""
    found: dict[str, list[ChainFact[Any]]] = {}
    unreadable: set[str] = set()
    query = select(FACT).where(FACT.c.kind.in_(kinds)).order_by(FACT.c.bench, FACT.c.seq)
    for row in c.execute(query if subjects is None else query.where(FACT.c.subject.in_(subjects))):
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
