"""All that is particular to SQLite: how the file is opened, kept durable and guarded against alteration."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event

#: How long to wait for another process that writes, in seconds.
LOCK_WAIT_S = 5.0

#: Update, delete, replace, gaps and forks are refused by the file itself, whoever opens it in good faith.
#: (INSERT OR REPLACE would walk past plain delete triggers; the insert guard stops it.)
GUARDS = (
    "CREATE TRIGGER IF NOT EXISTS event_no_update BEFORE UPDATE ON event "
    "BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END",
    "CREATE TRIGGER IF NOT EXISTS event_no_delete BEFORE DELETE ON event "
    "BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END",
    "CREATE TRIGGER IF NOT EXISTS event_in_order BEFORE INSERT ON event BEGIN "
    "SELECT RAISE(ABORT, 'an event out of order') WHERE "
    "NEW.seq <> (SELECT COALESCE(MAX(seq), 0) + 1 FROM event) OR "
    "NEW.prev <> COALESCE((SELECT hash FROM event ORDER BY seq DESC LIMIT 1), "
    "'0000000000000000000000000000000000000000000000000000000000000000') OR "
    "EXISTS (SELECT 1 FROM event WHERE hash = NEW.hash); END",
)


def engine_for(path: Path) -> Engine:
    """An engine whose every commit is synced to the disk; ``writing(engine)`` is the one to write with."""
    engine = create_engine(
        f"sqlite:///{path}",
        connect_args={"check_same_thread": False, "timeout": LOCK_WAIT_S, "isolation_level": None},
    )

    @event.listens_for(engine, "connect")
    def _durable(connection: Any, _: Any) -> None:
        cursor = connection.cursor()
        cursor.execute("PRAGMA journal_mode=WAL")
        cursor.execute("PRAGMA synchronous=FULL")
        cursor.execute("PRAGMA foreign_keys=ON")
        cursor.close()

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        # Two writers that read, then insert, would fork the chain: take the write lock first.
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


def writing(engine: Engine) -> Engine:
    """The same engine, taking the write lock at the beginning of each transaction."""
    return engine.execution_options(writes=True)
