"""All that is particular to SQLite: how the file is opened, kept durable, guarded, copied, and what its errors mean."""

from __future__ import annotations

import contextlib
import functools
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DatabaseError

from benchapp.foundation.language import tr, tr_noop
from benchapp.record.errors import JournalDamaged, JournalUnavailable, RecordError
from benchapp.record.tables import CHAIN, INDEXES

#: How long to wait for another process that writes, in seconds.
LOCK_WAIT_S = 5.0
#: Pages copied at a time by a backup; between two steps a writer gets its turn.
BACKUP_PAGES = 2048

#: Update, delete, replace, gaps and forks are refused by the file itself, whoever opens it in good faith.
#: (INSERT OR REPLACE would walk past plain delete triggers; the insert guard stops it.)
GUARDS = {
    "event_no_update": "CREATE TRIGGER event_no_update BEFORE UPDATE ON event "
    "BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END",
    "event_no_delete": "CREATE TRIGGER event_no_delete BEFORE DELETE ON event "
    "BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END",
    "event_in_order": "CREATE TRIGGER event_in_order BEFORE INSERT ON event BEGIN "
    "SELECT RAISE(ABORT, 'an event out of order') WHERE "
    "NEW.seq <> (SELECT COALESCE(MAX(seq), 0) + 1 FROM event) OR "
    "NEW.prev <> COALESCE((SELECT hash FROM event ORDER BY seq DESC LIMIT 1), "
    "'0000000000000000000000000000000000000000000000000000000000000000') OR "
    "EXISTS (SELECT 1 FROM event WHERE hash = NEW.hash); END",
}
#: What an OperationalError's words mean for the maker.
HINTS = {
    "locked": tr_noop("Another program holds it; close that one."),
    "full": tr_noop("The disk is full; make room."),
    "readonly": tr_noop("It is read-only; check who may write there."),
    "disk I/O": tr_noop("Check the disk: it may be full."),
    "unable to open": tr_noop("Check that the folder is there and that you may write in it."),
}


@contextlib.contextmanager
def transaction(engine: Engine, why: Callable[[DatabaseError], RecordError]) -> Iterator[Connection]:
    """A transaction of a database, whose errors are said as ``why`` says them."""
    try:
        with engine.begin() as c:
            yield c
    except DatabaseError as error:
        raise why(error) from error


class SqliteFile:
    """One journal file. ``engine`` reads; ``writer`` takes the write lock at the beginning of each transaction.
    Every commit is synced to the disk. ``first``: what each connection is told before anything else."""

    def __init__(self, path: Path, first: Sequence[str] = ()) -> None:
        self.path = path
        self._here: tuple[int, int] | None = None  # the file as it was when it was first written to
        self.engine = _engine(f"sqlite:///{path}", first)
        self.writer = self.engine.execution_options(writes=True)

    def close(self) -> None:
        """Let go of the file."""
        self.engine.dispose()

    def gone(self) -> str:
        """The sentence for a file that was moved, deleted or put in another's place while it was open: what is
        written into it from then on would be lost without a word. "" while it is where it was opened."""
        try:
            found = self.path.stat()
        except FileNotFoundError:
            found = None
        except OSError as error:
            return tr(
                "The journal {path} is out of reach ({strerror}). Bring its disk back.",
                path=self.path,
                strerror=error.strerror,
            )
        here = None if found is None else (found.st_dev, found.st_ino)
        if self._here is None:
            self._here = here
        if here == self._here:
            return ""
        return tr(
            "The journal {path} was moved, deleted or replaced while it was open. Put it back where it was.",
            path=self.path,
        )

    def guards_missing(self, c: Connection) -> tuple[str, ...]:
        """The guards that are not there, or not as they were made."""
        rows = c.exec_driver_sql("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").all()
        found: dict[str, str] = {r[0]: r[1] for r in rows}
        return tuple(name for name, sql in GUARDS.items() if found.get(name) != sql)

    def schema_differences(self, c: Connection) -> tuple[str, ...]:
        """Every table, index, view and trigger that is not as this program makes it, guards apart."""
        made, found = _made_objects(), _objects(c)
        names = sorted(made.keys() | found.keys())
        return tuple(_difference(*name, name in made, name in found) for name in names
                     if name[1] not in GUARDS and made.get(name) != found.get(name))  # fmt: skip

    def put_guards(self, c: Connection) -> None:
        """Make every guard as it has to be."""
        for name in self.guards_missing(c):
            c.exec_driver_sql(f"DROP TRIGGER IF EXISTS {name}")
            c.exec_driver_sql(GUARDS[name])

    def backup(self, to: Path) -> None:
        """A copy of the whole journal as it stands at one instant, while others may go on writing. The copy is
        made beside its place and moved there when it is whole. Raises JournalUnavailable or JournalDamaged."""
        unfinished = to.with_name(f"{to.name}.unfinished")
        try:
            unfinished.unlink(missing_ok=True)
            source, copy = sqlite3.connect(self.path, timeout=LOCK_WAIT_S), sqlite3.connect(unfinished)
            try:
                source.backup(copy, pages=BACKUP_PAGES)
            finally:
                copy.close()
                source.close()
            unfinished.replace(to)
        except (OSError, sqlite3.DatabaseError) as error:
            with contextlib.suppress(OSError):
                unfinished.unlink(missing_ok=True)  # half a copy helps nobody, and holds the last room
            raise self._not_copied(error, to) from error

    def _not_copied(self, error: OSError | sqlite3.DatabaseError, to: Path) -> RecordError:
        """The one sentence for a copy that was not made."""
        if isinstance(error, OSError):
            return JournalUnavailable(
                tr(
                    "The backup {to} cannot be written ({strerror}). Choose another place.",
                    to=to,
                    strerror=error.strerror,
                )
            )
        if isinstance(error, sqlite3.OperationalError):
            return JournalUnavailable(
                tr(
                    "The backup {to} cannot be written ({error}). {hint}",
                    to=to,
                    error=error,
                    hint=_hint(str(error)),
                )
            )
        return JournalDamaged(
            tr(
                "The journal {path} cannot be copied ({error}). Restore a backup.",
                path=self.path,
                error=error,
            )
        )

    def page_damage(self) -> str:
        """What SQLite itself finds wrong with the file's pages, "" where nothing is."""
        with self.engine.connect() as c:
            words = [str(r[0]) for r in c.exec_driver_sql("PRAGMA quick_check(1)").all()]
        return "" if words == ["ok"] else "; ".join(words)

    def why(self, error: DatabaseError) -> RecordError:
        """The one sentence for an error of the database."""
        words = str(error.orig)
        if isinstance(error.orig, sqlite3.OperationalError):
            return JournalUnavailable(
                tr(
                    "The journal {path} cannot be written ({words}). {hint}",
                    path=self.path,
                    words=words,
                    hint=_hint(words),
                )
            )
        return JournalDamaged(
            tr("The journal {path} is damaged ({words}). Restore a backup.", path=self.path, words=words)
        )


@functools.cache
def _made_objects() -> dict[tuple[str, str], str]:
    with scratch() as c:
        CHAIN.create_all(c)
        INDEXES.create_all(c)
        return _objects(c)


def _objects(c: Connection) -> dict[tuple[str, str], str]:
    """Kind and name of everything in the file → the statement that made it, blanks apart."""
    rows = c.exec_driver_sql("SELECT type, name, sql FROM sqlite_master").all()
    return {(kind, name): " ".join((sql or "").split()) for kind, name, sql in rows}


def _difference(kind: str, name: str, made: bool, found: bool) -> str:
    if not made:
        return tr("the {kind} {name} is none of this program's", kind=kind, name=name)
    return tr(
        "the {kind} {name} is {how}",
        kind=kind,
        name=name,
        how=tr("not as this program makes it") if found else tr("missing"),
    )


@contextlib.contextmanager
def scratch() -> Iterator[Connection]:
    """An empty database in memory, gone with its connection."""
    engine = create_engine("sqlite://")
    with engine.begin() as c:
        yield c
    engine.dispose()


def _hint(words: str) -> str:
    return next((hint for key, hint in HINTS.items() if key in words), tr("Check the disk."))


def _engine(url: str, first: Sequence[str]) -> Engine:
    engine = create_engine(
        url, connect_args={"check_same_thread": False, "timeout": LOCK_WAIT_S, "isolation_level": None}
    )

    @event.listens_for(engine, "connect")
    def _durable(connection: Any, _: Any) -> None:
        cursor = connection.cursor()
        cursor.execute("PRAGMA journal_mode=WAL")
        cursor.execute("PRAGMA synchronous=FULL")
        cursor.execute("PRAGMA foreign_keys=ON")
        for statement in first:
            cursor.execute(statement)
        cursor.close()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        # Two writers that read, then insert, would fork the chain: take the write lock first.
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine
