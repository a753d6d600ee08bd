"""Rows of any chain, into the tables of what is kept of them."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from sqlalchemy import Connection, and_, delete, or_, select, text

from benchapp import events as ev
from benchapp.record.chain import row_of
from benchapp.record.corrections import as_it_stands
from benchapp.record.projections import PROJECTED
from benchapp.replication.batch_projection import NO_FORM, BatchProjection
from benchapp.replication.gathered_tables import (
    BATCH_DIRTY,
    DRAWN,
    EVERYTHING,
    FACT,
    GATHERED,
    LOT_DIRTY,
    LOT_KINDS,
    SUBJECT,
    UNREADABLE,
)
from benchapp.replication.member import MemberBench, replaced_by
from benchapp.replication.merging import ChainFact, ChainPlace

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


@dataclass(frozen=True, slots=True)
class GatheredRow:
    """A row of any chain: ``place`` says whose event it is."""

    place: ChainPlace
    batch: str
    n: int
    kind: str
    text: str


class Segment(NamedTuple):
    """Whose the places ``first`` to ``last`` of a chain are."""

    bench: str
    first: int
    last: int


def cursor_of(c: Connection, chain: str) -> tuple[int, int]:
    """How far a chain was gathered, and how many of its events are kept."""
    row = c.execute(select(GATHERED.c.seq, GATHERED.c.kept).where(GATHERED.c.chain == chain)).first()
    return (row.seq, row.kept) if row else (0, 0)


def keep_draws(
    c: Connection, batch: str, draws: BatchProjection, segments: Sequence[Segment]
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


def whose(seq: int, segments: Sequence[Segment]) -> str:
    """Which bench a place of a chain belongs to."""
    return next((one.bench for one in segments if one.first <= seq <= one.last), segments[0].bench)


def is_projected(row: GatheredRow) -> bool:
    """Whether its batch's projection has to be read anew."""
    return row.kind in PROJECTED and row.batch != ev.WORKSHOP


def keep_rows(
    c: Connection, rows: Iterable[GatheredRow], members: Mapping[str, MemberBench]
) -> set[tuple[str, str]]:
    """The rows as facts and seals; what has to be worked out anew since."""
    dirty = set[tuple[str, str]]()
    for row in rows:
        try:
            dirty |= _keep_row(c, row, members)
        except NO_FORM:
            _keep_fact(c, row, UNREADABLE, row.batch, "")
            dirty.add(EVERYTHING)
    return dirty


def _keep_row(c: Connection, row: GatheredRow, members: Mapping[str, MemberBench]) -> set[tuple[str, str]]:
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
        return {(LOT_DIRTY, lot) for lot in _correct(c, row, members)}
    return set()


def _concerned(row: GatheredRow, subject: str) -> set[tuple[str, str]]:
    """What has to be worked out anew after a fact."""
    if row.kind in LOT_KINDS:
        return {(LOT_DIRTY, subject)}
    if row.kind in _OF_A_BATCH:
        return {(BATCH_DIRTY, row.batch)}
    return {EVERYTHING} if row.kind in _OF_ALL else set()


def _named_elsewhere(c: Connection, row: GatheredRow, subject: str) -> bool:
    """Whether another bench gave that name too: then what it stands for hangs on who says it."""
    other = select(FACT.c.seq).where(
        FACT.c.kind == row.kind, FACT.c.subject == subject, FACT.c.bench != row.place.bench
    )
    return c.execute(other.limit(1)).first() is not None


def _keep_seals(c: Connection, row: GatheredRow) -> None:
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


def _kept(row: GatheredRow) -> str:
    """What of a fact is wanted: of a make it is enough by what it was begun, and that event is long."""
    if row.kind in ("MakeFinished", "MakeAbandoned"):
        return ""
    if row.kind != "MakeStarted":
        return row.text
    fields = row_of(row.text)["fields"]
    return json.dumps({"procedure": fields["procedure"], "version": fields.get("version")})


def _keep_fact(c: Connection, row: GatheredRow, kind: str, subject: str, said: str) -> None:
    place = {"bench": row.place.bench, "seq": row.place.seq}
    c.execute(FACT.insert(), {**place, "kind": kind, "subject": subject, "batch": row.batch, "text": said})


def _correct(c: Connection, row: GatheredRow, members: Mapping[str, MemberBench]) -> Iterator[str]:
    """A delivery or an opening that had been recorded wrongly, by this bench or one whose chain it goes on with; its lot's own name,
    which it keeps."""
    said = row_of(row.text)
    correction = ev.from_fields(said["kind"], said["fields"])
    assert isinstance(correction, ev.Corrected)
    bench, before = row.place.bench, replaced_by(row.place.bench, members)
    inherited = (and_(FACT.c.bench == old, FACT.c.seq <= head.seq) for old, head in before.items())
    facts = select(FACT.c.bench, FACT.c.seq, FACT.c.subject, FACT.c.text).where(
        or_(FACT.c.bench == bench, *inherited), FACT.c.kind.in_(("LotReceived", "LotOpened"))
    )
    for by, seq, lot, written in c.execute(facts).all():
        whole = row_of(written)
        if whole["n"] == correction.n and correction.field != "lot":
            now = as_it_stands(ev.from_fields(whole["kind"], whole["fields"]), [correction])
            changed = json.dumps({**whole, "fields": ev.to_fields(now)[1]})
            c.execute(FACT.update().where(FACT.c.bench == by, FACT.c.seq == seq).values(text=changed))
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
