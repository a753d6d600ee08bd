"""Verifying: whether anything in the journal was altered, where, and whether a head kept elsewhere is in its chain.

The chain shows alteration by anybody who does not write it anew from that place on. Whoever owns the file can do
even that: only a head kept elsewhere (on paper, with somebody else) shows it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, Table, func, insert, select

from benchapp.record.chain import GENESIS, link, row_of
from benchapp.record.errors import JournalDamaged, no_batch
from benchapp.record.heads import Head, head_now, missing_of, parsed
from benchapp.record.journal import Journal
from benchapp.record.projections import Projector, rebuild
from benchapp.record.sqlite import scratch
from benchapp.record.stored_event import stored_of
from benchapp.record.tables import BATCH, CORRECTION, DISPATCH, EVENT, INDEXES, LOT, USE

#: Rows read at a time.
PART = 5000
#: So many findings are named; an altered beginning need not fill the screen.
MOST_FINDINGS = 50


@dataclass(frozen=True, slots=True)
class ChainFinding:
    """What is not as it was written: the batch, the event's number in it, its place in the journal, and what."""

    batch: str
    n: int
    seq: int
    what: str


@dataclass(frozen=True, slots=True)
class Verification:
    """What was looked at and what was found. ``head_at`` is where the head that was asked for stands; ``indexes``
    are differences between the indexes and the chain; ``schema`` is what is in the file and not of this program.
    ``known`` are the heads kept outside the journal that are of this chain, ``missing`` those of them that are not in
    it, ``others`` the heads of another journal that lay in this folder."""

    events: int
    head: str
    findings: tuple[ChainFinding, ...]
    asked: str = ""
    head_at: ChainFinding | None = None
    guards: tuple[str, ...] = ()
    schema: tuple[str, ...] = ()
    indexes: tuple[str, ...] = ()
    pages: str = ""
    length: int = 0
    known: tuple[Head, ...] = ()
    missing: tuple[Head, ...] = ()
    others: tuple[Head, ...] = ()

    @property
    def sound(self) -> bool:
        """Whether the chain holds and is the one that was known here, whole, with every head in it; and whether
        there is nothing in the file but what this program makes of that chain."""
        in_it = not self.asked or self.head_at is not None
        altered = self.findings or self.guards or self.schema or self.indexes or self.pages
        return in_it and not (altered or self.missing or self.others)


def verify(
    journal: Journal, batch: str | None = None, head: str = "", kept: Sequence[Head] = ()
) -> Verification:
    """Look through the whole journal, or one batch and the links to its neighbours; hold it against a ``head``
    (``N:HASH`` or the hash alone) and against the heads ``kept`` on this machine. Raises RecordError, among them
    NoSuchBatch."""
    pages = journal.store.page_damage() if batch is None else ""
    with journal.reading() as c:
        findings: list[ChainFinding] = []
        looked = _whole(c) if batch is None else _one(c, batch)
        count = 0
        for seen in looked:
            count += 1
            if seen is not None and len(findings) < MOST_FINDINGS:
                findings.append(seen)
        if batch is not None and not count:
            raise no_batch(batch)
        folder = str(journal.path.parent.resolve())
        now = head_now(c, journal.wall(), folder)
        known = tuple(h for h in kept if now and h.chain == now.chain)
        schema = journal.store.schema_differences(c)
        return Verification(
            events=count,
            head=now.hash if now else GENESIS,
            length=now.seq if now else 0,
            findings=tuple(findings),
            asked=head,
            head_at=_find_head(c, head),
            guards=journal.guards_restored or journal.store.guards_missing(c),
            schema=schema,
            indexes=() if findings or schema else tuple(_index_differences(c, batch)),
            pages=pages,
            known=known,
            missing=missing_of(c, known),
            others=tuple(h for h in kept if h.folder == folder and h not in known),
        )


def _find_head(c: Connection, head: str) -> ChainFinding | None:
    written = parsed(head)
    if written is None:
        return None
    seq, hashed = written
    row = c.execute(select(EVENT).where(EVENT.c.hash == hashed)).first()
    if row is None or seq not in (None, row.seq):
        return None
    return ChainFinding(row.batch, row.n, row.seq, str(row_of(row.text)["wall"]))


def _whole(c: Connection) -> Iterator[ChainFinding | None]:
    """One answer for each row, in the order of the journal."""
    before, prev = 0, GENESIS
    last_n: dict[str, int] = {}
    for part in c.execute(select(EVENT).order_by(EVENT.c.seq)).partitions(PART):
        for row in part:
            what = _gap(row.seq, before, "the journal") or _link(row, prev) or _text(row)
            what = what or _gap(row.n, last_n.get(row.batch, 0), f"batch {row.batch}")
            yield ChainFinding(row.batch, row.n, row.seq, what) if what else None
            before, prev = row.seq, row.hash
            last_n[row.batch] = row.n


def _one(c: Connection, batch: str) -> Iterator[ChainFinding | None]:
    """One answer for each row of a batch; its neighbours in the journal are looked at for their links."""
    before, after = EVENT.alias("before"), EVENT.alias("after")
    query = (
        select(EVENT, before.c.hash.label("hash_before"), after.c.prev.label("prev_after"),
               after.c.seq.label("seq_after"))
        .outerjoin(before, before.c.seq == EVENT.c.seq - 1)
        .outerjoin(after, after.c.seq == EVENT.c.seq + 1)
        .where(EVENT.c.batch == batch)
        .order_by(EVENT.c.n)
    )  # fmt: skip
    newest = c.execute(select(func.max(EVENT.c.seq))).scalar() or 0
    last_n = 0
    for row in c.execute(query):
        prev = GENESIS if row.seq == 1 else row.hash_before
        what = _gap(row.n, last_n, f"batch {batch}") or _link(row, prev) or _text(row)
        if not what and row.seq_after is None and row.seq < newest:
            what = "the event after it in the journal is missing"
        if not what and row.seq_after is not None and row.prev_after != row.hash:
            what = "the event after it in the journal does not follow it"
        yield ChainFinding(batch, row.n, row.seq, what) if what else None
        last_n = row.n


def _gap(number: int, before: int, where: str) -> str:
    if number == before + 1:
        return ""
    if number > before + 1:
        missing = f"event {before + 1}" if number == before + 2 else f"events {before + 1} to {number - 1}"
        return f"{missing} of {where} missing before it"
    return f"it stands twice or out of order in {where}"


def _link(row: Row[Any], prev: str | None) -> str:
    if prev is None:
        return "the event before it in the journal is missing"
    if row.prev != prev:
        return "it does not follow the event before it: something was altered, moved, added or taken out here"
    if row.hash != link(row.prev, row.text):
        return "its text is not what was written"
    return ""


def _text(row: Row[Any]) -> str:
    try:
        said = row_of(row.text)
    except JournalDamaged as error:
        return str(error)
    if (said["batch"], said["n"], said["kind"]) != (row.batch, row.n, row.kind):
        return (
            f"it is filed as event {row.n} of {row.batch}, its text says event {said['n']} of {said['batch']}"
        )
    return ""


# --- indexes -----------------------------------------------------------------------------------------------


def _index_differences(c: Connection, batch: str | None) -> Iterator[str]:
    engine = scratch()
    with engine.begin() as fresh:
        INDEXES.create_all(fresh)
        if batch is None:
            rebuild(c, fresh)
            tables = list(INDEXES.sorted_tables)
        else:
            _replay(c, fresh, batch)
            tables = [BATCH, USE, DISPATCH, CORRECTION]
        for table in tables:
            yield from _compare(table, _rows(c, table, batch), _rows(fresh, table, batch))
    engine.dispose()


def _replay(c: Connection, fresh: Connection, batch: str) -> None:
    """One batch's events into fresh indexes that know the lots it drew from."""
    rows = c.execute(select(EVENT).where(EVENT.c.batch == batch).order_by(EVENT.c.n)).all()
    lots = c.execute(select(LOT).where(LOT.c.lot.in_(select(USE.c.lot).where(USE.c.batch == batch)))).all()
    if lots:
        fresh.execute(insert(LOT), [dict(r._mapping) for r in lots])
    projector = Projector(fresh, c)
    for row in rows:
        stored = stored_of(row)
        projector.take(stored.position, stored.event)
    projector.flush()


def _rows(c: Connection, table: Table, batch: str | None) -> set[tuple[Any, ...]]:
    query = select(table)
    if batch is not None:
        query = query.where(table.c.batch == batch)
    return {tuple(r) for r in c.execute(query)}


def _compare(
    table: Table, kept: Iterable[tuple[Any, ...]], fresh: Iterable[tuple[Any, ...]]
) -> Iterator[str]:
    names = [column.name for column in table.primary_key.columns]
    where = [list(table.columns).index(column) for column in table.primary_key.columns]
    differ = {tuple(row[i] for i in where) for row in set(kept) ^ set(fresh)}
    for key in sorted(differ, key=str)[:MOST_FINDINGS]:
        what = ", ".join(f"{name} {value}" for name, value in zip(names, key, strict=True))
        yield f"{table.name}: {what}"
