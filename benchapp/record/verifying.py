"""Verifying: whether anything in the journal was altered, where, and whether a head kept elsewhere is in its chain.

The chain shows alteration by anybody who does not write it anew from that place on. Whoever owns the file can do
even that: only a head kept elsewhere (on paper, with somebody else) shows it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Select, Table, func, insert, select

from benchapp.foundation.collector import collector_paused
from benchapp.foundation.language import tr, tr_noop
from benchapp.record.chain import GENESIS, event_of, link, row_of
from benchapp.record.errors import JournalDamaged, no_batch
from benchapp.record.heads import Head, head_now, missing_of, parsed
from benchapp.record.journal import Journal
from benchapp.record.projections import PROJECTED, Projector
from benchapp.record.sqlite import scratch
from benchapp.record.stored_event import EventPosition
from benchapp.record.tables import BATCH, CORRECTION, DISPATCH, EVENT, INDEXES, LOT, USE

#: Rows read at a time, and what of each: neighbours' columns come behind it.
PART = 5000
_ROW = (EVENT.c.seq, EVENT.c.batch, EVENT.c.n, EVENT.c.kind, EVENT.c.text, EVENT.c.prev, EVENT.c.hash)
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
    with collector_paused(), journal.reading() as c, scratch() as fresh:
        walk = _Walk(c, fresh, batch)
        walk.walk()
        if batch is not None and not walk.count:
            raise no_batch(batch)
        folder = str(journal.path.parent.resolve())
        now = head_now(c, journal.wall(), folder)
        known = tuple(h for h in kept if now and h.chain == now.chain)
        schema = journal.store.schema_differences(c)
        return Verification(
            events=walk.count,
            head=now.hash if now else GENESIS,
            length=now.seq if now else 0,
            findings=tuple(walk.findings),
            asked=head,
            head_at=_find_head(c, head),
            guards=journal.guards_restored or journal.store.guards_missing(c),
            schema=schema,
            indexes=() if walk.findings or schema else tuple(_index_differences(c, fresh, batch)),
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


class _Walk:
    """The rows of the chain one by one, each read from its text once: what is wrong with it and, while nothing is, what
    it makes of indexes that know nothing but the lots a batch drew from."""

    def __init__(self, c: Connection, fresh: Connection, batch: str | None) -> None:
        self.count = 0
        self.findings: list[ChainFinding] = []
        self._c, self._batch = c, batch
        INDEXES.create_all(fresh)
        lots = [] if batch is None else _lots_of(c, batch)
        if lots:
            fresh.execute(insert(LOT), lots)
        self._projector = Projector(fresh, c, empty=batch is None, whole=True)

    def walk(self) -> None:
        """Look at every row."""
        if self._batch is None:
            self._walk_journal()
        else:
            self._walk_batch(self._batch)
        self._projector.flush()

    def _walk_journal(self) -> None:
        """In the order of the journal."""
        before, prev = 0, GENESIS
        last_n: dict[str, int] = {}
        for row in _each(self._c, select(*_ROW).order_by(EVENT.c.seq)):
            seq, batch, n = row[:3]
            what = _gap(seq, before, tr_noop("the journal")) or self._wrong(row, prev)
            self._keep(row, what or _gap(n, last_n.get(batch, 0), batch))
            before, prev, last_n[batch] = seq, row[6], n

    def _walk_batch(self, batch: str) -> None:
        """One batch; its neighbours in the journal are looked at for their links."""
        before, after = EVENT.alias("before"), EVENT.alias("after")
        query = (
            select(*_ROW, before.c.hash, after.c.prev, after.c.seq)
            .outerjoin(before, before.c.seq == EVENT.c.seq - 1)
            .outerjoin(after, after.c.seq == EVENT.c.seq + 1)
            .where(EVENT.c.batch == batch)
            .order_by(EVENT.c.n)
        )
        newest = self._c.execute(select(func.max(EVENT.c.seq))).scalar() or 0
        last_n = 0
        for row in _each(self._c, query):
            seq, n = row[0], row[2]
            digest, hash_before, prev_after, seq_after = row[6:]
            what = _gap(n, last_n, batch) or self._wrong(row, GENESIS if seq == 1 else hash_before)
            if not what and seq_after is None and seq < newest:
                what = tr("the event after it in the journal is missing")
            if not what and seq_after is not None and prev_after != digest:
                what = tr("the event after it in the journal does not follow it")
            self._keep(row, what)
            last_n = n

    def _keep(self, row: Sequence[Any], what: str) -> None:
        self.count += 1
        if what and len(self.findings) < MOST_FINDINGS:
            self.findings.append(ChainFinding(row[1], row[2], row[0], what))

    def _wrong(self, row: Sequence[Any], before: str | None) -> str:
        """What is wrong with a row that has to follow the hash ``before``, "" where nothing is."""
        seq, batch, n, kind, text, prev, digest = row[:7]
        if before is None:
            return tr("the event before it in the journal is missing")
        if prev != before:
            return tr(
                "it does not follow the event before it: something was altered, moved, added or "
                "taken out here"
            )
        if digest != link(prev, text):
            return tr("its text is not what was written")
        try:
            said = row_of(text)
        except JournalDamaged as error:
            return str(error)
        if (said["batch"], said["n"], said["kind"]) != (batch, n, kind):
            return tr(
                "it is filed as event {n} of {batch}, its text says event {n_2} of {batch_2}",
                n=n,
                batch=batch,
                n_2=said["n"],
                batch_2=said["batch"],
            )
        if kind in PROJECTED and not self.findings:
            self._projector.take(EventPosition(seq, batch, n, str(said["wall"])), event_of(said))
        return ""


def _each(c: Connection, query: Select[Any]) -> Iterator[Any]:
    for part in c.execute(query).partitions(PART):
        yield from part


def _lots_of(c: Connection, batch: str) -> list[dict[str, Any]]:
    """The rows of the lots a batch drew from."""
    drawn = select(USE.c.lot).where(USE.c.batch == batch)
    return [dict(r._mapping) for r in c.execute(select(LOT).where(LOT.c.lot.in_(drawn)))]


def _gap(number: int, before: int, where: str) -> str:
    """What is wrong with the numbers of the journal, or of a batch, between two events; "" where nothing is."""
    if number == before + 1:
        return ""
    where = where if where == "the journal" else tr("batch {where}", where=where)
    if number > before + 1:
        missing = (
            tr("event {before}", before=before + 1)
            if number == before + 2
            else tr("events {before} to {number}", before=before + 1, number=number - 1)
        )
        return tr("{missing} of {where} missing before it", missing=missing, where=where)
    return tr("it stands twice or out of order in {where}", where=where)


# --- indexes -----------------------------------------------------------------------------------------------


def _index_differences(c: Connection, fresh: Connection, batch: str | None) -> Iterator[str]:
    tables = list(INDEXES.sorted_tables) if batch is None else [BATCH, USE, DISPATCH, CORRECTION]
    for table in tables:
        yield from _compare(table, _rows(c, table, batch), _rows(fresh, table, batch))


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
