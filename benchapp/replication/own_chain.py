"""The bench's own chain in its journal, as it is sent, and as it is put back from the server."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import chain, islice

from sqlalchemy import select

from benchapp.record.chain import row_of
from benchapp.record.journal import Journal
from benchapp.record.tables import EVENT
from benchapp.replication.chain_row import BEGINNING, ChainHead, ChainRow, following

#: So many events are put back in one statement.
PART = 2000


def own_head(journal: Journal) -> ChainHead:
    """How far the journal goes. Raises RecordError."""
    last = select(EVENT.c.seq, EVENT.c.hash).order_by(EVENT.c.seq.desc()).limit(1)
    with journal.reading() as c:
        row = c.execute(last).first()
    return ChainHead(row.seq, row.hash) if row else BEGINNING


def own_hash(journal: Journal, seq: int) -> str:
    """The hash at a place of the journal: of the beginning where that is 0, "" behind its end."""
    if seq == 0:
        return BEGINNING.hash
    with journal.reading() as c:
        return str(c.execute(select(EVENT.c.hash).where(EVENT.c.seq == seq)).scalar() or "")


def own_rows(journal: Journal, bench: str, after: int, most: int) -> list[ChainRow]:
    """The next events behind a place, in order, as those of a bench."""
    query = (
        select(EVENT.c.seq, EVENT.c.text, EVENT.c.prev, EVENT.c.hash)
        .where(EVENT.c.seq > after)
        .order_by(EVENT.c.seq)
        .limit(most)
    )
    with journal.reading() as c:
        return [ChainRow(bench, *row) for row in c.execute(query)]


def put_back(journal: Journal, rows: Iterable[ChainRow]) -> int:
    """Add events that were this journal's behind its end, each checked, all or none; the indexes are made anew. Returns
    how many. Raises ChainRefused and RecordError."""
    count, checked = 0, following(own_head(journal), rows)
    first = list(islice(checked, 1))
    if not first:
        return 0
    with journal.writing() as c:
        checked = chain(first, checked)
        while part := [_stored(row) for row in islice(checked, PART)]:
            c.execute(EVENT.insert(), part)
            count += len(part)
    journal.rebuild_indexes()
    return count


def _stored(row: ChainRow) -> dict[str, object]:
    said = row_of(row.text)
    return {
        "seq": row.seq, "batch": said["batch"], "n": said["n"], "kind": said["kind"], "text": row.text,
        "prev": row.prev, "hash": row.hash,
    }  # fmt: skip
