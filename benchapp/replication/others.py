"""The other benches' chains on this bench: a file of their own beside the journal, so that nothing received ever holds up
what is made here. It can be taken away at any time: it is received anew."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from sqlalchemy import (
    Column,
    Connection,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    and_,
    delete,
    inspect,
    or_,
    select,
    table,
    text,
)
from sqlalchemy.exc import DatabaseError

from benchapp.foundation.language import tr
from benchapp.record.chain import row_of
from benchapp.record.errors import JournalDamaged, JournalUnavailable, RecordError
from benchapp.record.sqlite import SqliteFile, transaction
from benchapp.record.tables import EVENT, columns_like
from benchapp.replication.chain_row import ChainHead, ChainRow, following
from benchapp.replication.contact import Contact
from benchapp.replication.errors import ChainRefused
from benchapp.replication.member import MemberBench, replaced_by

#: The form of what is worked out from the chains; an older one is worked out anew.
FORM = 4
#: The file's name, in the data folder.
OTHERS = "others.sqlite"

TABLES = MetaData()
RECEIVED = Table(
    "received",
    TABLES,
    Column("bench", String, primary_key=True),
    *columns_like(EVENT),
    Index("received_batch", "batch", "bench", "n"),
    Index("received_kinds", "kind", "batch", "bench", "seq"),
    Index("received_first", "bench", "seq", sqlite_where=text("n = 1")),
)
MEMBER = Table(
    "member",
    TABLES,
    Column("bench", String, primary_key=True),
    Column("short", String, nullable=False),
    Column("first", Integer, nullable=False),
    Column("prev", String(64), nullable=False),
    Column("replaces", String, nullable=False),
    Column("announced", Integer, nullable=False),
    Column("heard", String, nullable=False),
)
REFUSED = Table(
    "refused",
    TABLES,
    Column("bench", String, primary_key=True),
    Column("since", String, nullable=False),
    Column("why", String, nullable=False),
)
CONTACT = Table(
    "contact",
    TABLES,
    Column("sent", Integer, nullable=False),
    Column("as_of", String, nullable=False),
    Column("offline_since", String, nullable=False),
    Column("why", String, nullable=False),
)


class OthersFile:
    """What was received, and how this bench stood to the server last. Raises RecordError."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / OTHERS
        self.store = SqliteFile(self.path)
        with self.writing() as c:
            if c.exec_driver_sql("PRAGMA user_version").scalar() != FORM:
                for name in _tables(c) - {table.name for table in (RECEIVED, MEMBER, REFUSED, CONTACT)}:
                    c.exec_driver_sql(f"DROP TABLE {name}")  # worked out anew from the chains
                c.exec_driver_sql("DROP INDEX IF EXISTS received_kind")  # of an older form
                c.exec_driver_sql(f"PRAGMA user_version = {FORM}")
            TABLES.create_all(c)
            for index in RECEIVED.indexes:  # one that an older program's file lacks
                index.create(c, checkfirst=True)

    def close(self) -> None:
        """Let go of the file."""
        self.store.close()

    def writing(self) -> contextlib.AbstractContextManager[Connection]:
        """A transaction, on disk when it ends."""
        return transaction(self.store.writer, self._why)

    def reading(self) -> contextlib.AbstractContextManager[Connection]:
        """A connection that sees one instant of it."""
        return transaction(self.store.engine, self._why)

    def _why(self, error: DatabaseError) -> RecordError:
        found = self.store.why(error)
        if isinstance(found, JournalUnavailable):
            return JournalUnavailable(
                tr(
                    "What other benches sent cannot be kept in {path} ({orig}).",
                    path=self.path,
                    orig=error.orig,
                )
            )
        return JournalDamaged(
            tr(
                "{path} is damaged ({orig}). Take it away: it is received anew.",
                path=self.path,
                orig=error.orig,
            )
        )

    def forget(self) -> None:
        """Begin anew: nothing of another workshop's stays."""
        with self.writing() as c:
            for name in _tables(c):
                c.execute(delete(table(name)))

    # --- chains --------------------------------------------------------------------------------------

    def head(self, bench: str) -> ChainHead | None:
        """How far the chain of a bench was received; None where nothing of it was."""
        with self.reading() as c:
            return _head(c, bench)

    def known(self, member: MemberBench, own: str) -> ChainHead:
        """How far the chain of a bench is here: as it was received, or as the bench ``own`` goes on with it in its own journal."""
        return self.head(member.bench) or replaced_by(own, self.members()).get(member.bench) or member.before

    def hash_at(self, bench: str, seq: int) -> str:
        """The hash of one event as it was received, "" where it was not."""
        place = select(RECEIVED.c.hash).where(RECEIVED.c.bench == bench, RECEIVED.c.seq == seq)
        with self.reading() as c:
            return str(c.execute(place).scalar() or "")

    def take(
        self, heads: Mapping[str, ChainHead], came: Mapping[str, Sequence[ChainRow]]
    ) -> tuple[dict[str, ChainHead], dict[str, str]]:
        """Keep the next events of each bench behind its head: the new heads, and the sentence for each chain that does
        not follow, of which nothing is kept."""
        now, refused = dict(heads), dict[str, str]()
        with self.writing() as c:
            for bench, rows in came.items():
                # Another window may have received some of them meanwhile.
                head = _head(c, bench) or heads[bench]
                try:
                    found = [_received(row) for row in following(head, (r for r in rows if r.seq > head.seq))]
                except (ChainRefused, JournalDamaged) as error:
                    refused[bench] = str(error)
                    continue
                if found:
                    c.execute(RECEIVED.insert(), found)
                now[bench] = ChainHead(rows[-1].seq, rows[-1].hash) if found else head
        return now, refused

    def rows(self, bench: str, after: int, most: int) -> list[ChainRow]:
        """The next events of a bench behind a place, in order."""
        columns = (RECEIVED.c.bench, RECEIVED.c.seq, RECEIVED.c.text, RECEIVED.c.prev, RECEIVED.c.hash)
        query = select(*columns).where(RECEIVED.c.bench == bench, RECEIVED.c.seq > after)
        with self.reading() as c:
            return [ChainRow(*row) for row in c.execute(query.order_by(RECEIVED.c.seq).limit(most))]

    @contextlib.contextmanager
    def reading_as_event(self, bench: str, before: Mapping[str, int]) -> Iterator[Connection]:
        """A connection on which the journal's table of events is the chain of that bench; ``before``: how far it goes on
        with the chains of which others."""
        chain = select(*(RECEIVED.c[column.name] for column in EVENT.columns)).where(
            or_(
                RECEIVED.c.bench == bench,
                *(and_(RECEIVED.c.bench == old, RECEIVED.c.seq <= seq) for old, seq in before.items()),
            )
        )
        query = chain.compile(self.store.engine, compile_kwargs={"literal_binds": True})
        with self.reading() as c:
            c.exec_driver_sql(f"CREATE TEMPORARY VIEW {EVENT.name} AS {query}")
            try:
                yield c
            finally:
                c.exec_driver_sql(f"DROP VIEW {EVENT.name}")

    # --- who there is, and how it stands -------------------------------------------------------------

    def members(self) -> dict[str, MemberBench]:
        """Every bench of the workshop as it was known last."""
        with self.reading() as c:
            return {row.bench: MemberBench(*row) for row in c.execute(select(MEMBER))}

    def keep_members(self, members: Mapping[str, MemberBench]) -> None:
        """Know these from now on."""
        if members != self.members():
            self._put(MEMBER, [asdict(member) for member in members.values()])

    def refused(self) -> dict[str, tuple[str, str]]:
        """Benches whose chain on the server is not the one received here: since when, and the sentence."""
        with self.reading() as c:
            return {row.bench: (row.since, row.why) for row in c.execute(select(REFUSED))}

    def keep_refused(self, refused: Mapping[str, tuple[str, str]]) -> None:
        """Know these from now on."""
        if refused != self.refused():
            rows = [{"bench": bench, "since": since, "why": why} for bench, (since, why) in refused.items()]
            self._put(REFUSED, rows)

    def contact(self) -> Contact:
        """How this bench stood to the server last."""
        with self.reading() as c:
            row = c.execute(select(CONTACT)).first()
        found = Contact(*row) if row else Contact()
        return replace(found, refused=tuple(why for _, why in self.refused().values()))

    def keep_contact(self, contact: Contact) -> None:
        """How it stands now."""
        self._put(CONTACT, [{k: v for k, v in asdict(contact).items() if k != "refused"}])

    def _put(self, table: Table, rows: list[dict[str, Any]]) -> None:
        with self.writing() as c:
            c.execute(delete(table))
            if rows:
                c.execute(table.insert(), rows)


def _tables(c: Connection) -> set[str]:
    """Everything in the file, whoever made it."""
    return set(inspect(c).get_table_names())


def _head(c: Connection, bench: str) -> ChainHead | None:
    last = select(RECEIVED.c.seq, RECEIVED.c.hash).where(RECEIVED.c.bench == bench)
    row = c.execute(last.order_by(RECEIVED.c.seq.desc()).limit(1)).first()
    return ChainHead(row.seq, row.hash) if row else None


def _received(row: ChainRow) -> dict[str, Any]:
    said = row_of(row.text)
    return {**row._asdict(), "batch": said["batch"], "n": said["n"], "kind": said["kind"]}
