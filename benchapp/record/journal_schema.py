"""The form of a journal's file: made where it is new, brought up to date where it is older, its guards put back where they are gone."""

from __future__ import annotations

from pathlib import Path

from sqlalchemy import Connection, inspect, select, update

from benchapp.foundation.language import tr
from benchapp.record.errors import JournalTooNew
from benchapp.record.projections import rebuild
from benchapp.record.sqlite import SqliteFile
from benchapp.record.tables import CHAIN, INDEXES, SCHEMA, SCHEMA_TABLE


def made_ready(store: SqliteFile) -> tuple[str, ...]:
    """Make the file one that this version can write; the guards that were missing and stand again. An older file stays
    beside it. Raises JournalTooNew, RecordError and DatabaseError."""
    with store.engine.connect() as c:
        version = _version(c)
        missing = store.guards_missing(c) if version else ()
    if version == 0:
        _make_anew(store)
    elif version > SCHEMA:
        raise JournalTooNew(
            tr(
                "{path} was written by a newer version (schema {version}, this one knows {schema}). "
                "Update the program.",
                path=store.path,
                version=version,
                schema=SCHEMA,
            )
        )
    elif version < SCHEMA:
        _bring_up_to_date(store, version)
    if missing:
        with store.writer.begin() as c:
            store.put_guards(c)
    return missing


def make_indexes_anew(c: Connection) -> None:
    """Every index from the chain."""
    INDEXES.drop_all(c)
    INDEXES.create_all(c)
    rebuild(c, c)


def free_name(path: Path) -> Path:
    """``path``, or the same with the first number that is free."""
    number, free = 1, path
    while free.exists():
        number += 1
        free = path.with_name(f"{path.stem}-{number}{path.suffix}")
    return free


def _make_anew(store: SqliteFile) -> None:
    with store.writer.begin() as c:
        if _version(c) == 0:  # nobody else was quicker
            CHAIN.create_all(c)
            INDEXES.create_all(c)
            c.execute(SCHEMA_TABLE.insert().values(version=SCHEMA))
            store.put_guards(c)


def _bring_up_to_date(store: SqliteFile, version: int) -> None:
    """The chain stays as it is; the indexes are made anew from it."""
    store.backup(free_name(store.path.with_name(f"journal.schema-{version}.sqlite")))
    with store.writer.begin() as c:
        if _version(c) == version:  # no other program has done it meanwhile
            make_indexes_anew(c)
            c.execute(update(SCHEMA_TABLE).values(version=SCHEMA))


def _version(c: Connection) -> int:
    """The schema of the file; 0 where it is new."""
    if not inspect(c).has_table("schema"):
        return 0
    return int(c.execute(select(SCHEMA_TABLE.c.version)).scalar() or 0)
