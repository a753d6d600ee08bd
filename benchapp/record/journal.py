"""The journal: append-only events of all makes, hash-chained, on disk before anything is shown as recorded."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Column, Index, Integer, MetaData, String, Table, Text, func, select
from sqlalchemy.exc import DatabaseError, IntegrityError, OperationalError

from benchapp import events as ev
from benchapp.record.chain import GENESIS, event_of, link, row_of, text_of
from benchapp.record.errors import JournalDamaged, JournalTooNew, JournalUnavailable, NoSuchBatch
from benchapp.record.sqlite import GUARDS, engine_for, writing

SCHEMA = 1
_META = MetaData()
EVENT = Table(
    "event",
    _META,
    Column("seq", Integer, primary_key=True),
    Column("batch", String, nullable=False),
    Column("n", Integer, nullable=False),
    Column("kind", String, nullable=False),
    Column("text", Text, nullable=False),
    Column("prev", String(64), nullable=False),
    Column("hash", String(64), nullable=False, unique=True),
    Index("event_batch", "batch", "n", unique=True),
    Index("event_kind", "kind", "seq"),
)
SCHEMA_TABLE = Table("schema", _META, Column("version", Integer, primary_key=True))


@dataclass(frozen=True, slots=True)
class Stored:
    """One event as it lies on disk."""

    seq: int
    batch: str
    n: int
    wall: str
    event: ev.Event
    hash: str


@dataclass(frozen=True, slots=True)
class BatchLine:
    """One batch in a list."""

    batch: str
    procedure: str
    maker: str
    batch_g: float
    wall: str
    rehearsal: bool
    end: str  # "finished", "abandoned" or "" while it is unfinished
    product_g: float | None


class Journal:
    """The events of every make in one SQLite file in ``folder``.

    ``wall`` gives the wall clock as ISO 8601 with zone. Raises JournalUnavailable, JournalDamaged or
    JournalTooNew when the file cannot be used.
    """

    def __init__(self, folder: Path, wall: Callable[[], str]) -> None:
        self.path = folder / "journal.sqlite"
        self._wall = wall
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise JournalUnavailable(
                f"The folder {folder} cannot be made ({error.strerror}). Choose another with --data."
            ) from error
        self._engine = engine_for(self.path)
        self._writer = writing(self._engine)
        try:
            self._prepare()
        except (OperationalError, DatabaseError) as error:
            self._engine.dispose()
            raise self._why(error) from error

    def _prepare(self) -> None:
        with self._writer.begin() as c:
            _META.create_all(c)
            version = c.execute(select(SCHEMA_TABLE.c.version)).scalar()
            if version is None:
                c.execute(SCHEMA_TABLE.insert().values(version=SCHEMA))
            elif version > SCHEMA:
                raise JournalTooNew(
                    f"{self.path} was written by a newer version (schema {version}, this one knows {SCHEMA}). "
                    "Update the program."
                )
            for guard in GUARDS:
                c.exec_driver_sql(guard)

    def close(self) -> None:
        """Let go of the file."""
        self._engine.dispose()

    # --- writing -------------------------------------------------------------------------------------

    def append(self, batch: str, events: Sequence[ev.Event]) -> None:
        """Write events of one batch, all or none, and return only when they are on disk."""
        if not events:
            return
        wall = self._wall()
        try:
            with self._writer.begin() as c:
                last = c.execute(
                    select(EVENT.c.seq, EVENT.c.hash).order_by(EVENT.c.seq.desc()).limit(1)
                ).first()
                seq, prev = (last.seq, last.hash) if last else (0, GENESIS)
                n = c.execute(select(func.max(EVENT.c.n)).where(EVENT.c.batch == batch)).scalar() or 0
                rows = []
                for event in events:
                    seq, n = seq + 1, n + 1
                    text = text_of(batch, n, wall, event)
                    digest = link(prev, text)
                    rows.append(
                        {"seq": seq, "batch": batch, "n": n, "kind": type(event).__name__, "text": text,
                         "prev": prev, "hash": digest}
                    )  # fmt: skip
                    prev = digest
                c.execute(EVENT.insert(), rows)
        except (OperationalError, IntegrityError, DatabaseError) as error:
            raise self._why(error) from error

    def _why(self, error: DatabaseError) -> JournalUnavailable | JournalDamaged:
        cause = error.orig
        words = str(cause)
        if isinstance(cause, sqlite3.OperationalError):
            hint = {
                "locked": "Another program holds it; close that one.",
                "full": "The disk is full; make room.",
                "readonly": "It is read-only; check who may write there.",
                "unable to open": "Check that the folder is there and that you may write in it.",
            }
            advice = next((h for k, h in hint.items() if k in words), "Check the disk.")
            return JournalUnavailable(f"The journal {self.path} cannot be written ({words}). {advice}")
        return JournalDamaged(f"The journal {self.path} is damaged ({words}). Restore a backup.")

    # --- reading -------------------------------------------------------------------------------------

    def events(self, batch: str) -> list[ev.Event]:
        """All events of a batch, in order. Raises NoSuchBatch."""
        return [s.event for s in self.stored(batch)]

    def stored(self, batch: str) -> list[Stored]:
        """All events of a batch with their wall times and hashes. Raises NoSuchBatch."""
        query = select(EVENT).where(EVENT.c.batch == batch).order_by(EVENT.c.n)
        try:
            with self._engine.connect() as c:
                rows = c.execute(query).all()
        except DatabaseError as error:
            raise self._why(error) from error
        if not rows:
            raise NoSuchBatch(f"There is no batch {batch!r} here. benchapp batches lists what there is.")
        return [
            Stored(r.seq, r.batch, r.n, str(row_of(r.text)["wall"]), event_of(r.text), r.hash) for r in rows
        ]

    def batches(self, limit: int | None = None) -> list[BatchLine]:
        """The batches, newest first."""
        starts = (
            select(EVENT.c.batch, EVENT.c.text)
            .where(EVENT.c.kind == "MakeStarted")
            .order_by(EVENT.c.seq.desc())
            .limit(limit)
        )
        try:
            with self._engine.connect() as c:
                found = c.execute(starts).all()
                names = [r.batch for r in found]
                ends = c.execute(
                    select(EVENT.c.batch, EVENT.c.text).where(
                        EVENT.c.kind.in_(("MakeFinished", "MakeAbandoned")), EVENT.c.batch.in_(names)
                    )
                ).all()
        except DatabaseError as error:
            raise self._why(error) from error
        over = {r.batch: event_of(r.text) for r in ends}
        return [_line(r.text, over.get(r.batch)) for r in found]

    def head(self) -> str:
        """The hash of the last event; what a printed record can be held against."""
        with self._engine.connect() as c:
            found = c.execute(select(EVENT.c.hash).order_by(EVENT.c.seq.desc()).limit(1)).scalar()
        return str(found) if found else GENESIS

    def new_batch(self, day: str, name: str) -> str:
        """A batch name not used before: day, a word of the procedure, a number."""
        stem = f"{day}-{name}"
        with self._engine.connect() as c:
            taken = {
                r.batch
                for r in c.execute(select(EVENT.c.batch).where(EVENT.c.kind == "MakeStarted"))
                if r.batch.startswith(stem)
            }
        number = 1
        while f"{stem}-{number}" in taken:
            number += 1
        return f"{stem}-{number}"


def _line(text: str, end: ev.Event | None) -> BatchLine:
    row = row_of(text)
    fields = row["fields"]
    product = end.product_g if isinstance(end, ev.MakeFinished) else None
    word = "finished" if isinstance(end, ev.MakeFinished) else "abandoned" if end else ""
    return BatchLine(
        row["batch"], fields["procedure"], fields["maker"], fields["batch_g"], row["wall"],
        fields["rehearsal"], word, product,
    )  # fmt: skip
