"""What the journal needs of a database."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Protocol

from sqlalchemy import Connection, Engine
from sqlalchemy.exc import DatabaseError

from benchapp.record.errors import RecordError


@contextlib.contextmanager
def transaction(engine: Engine, why: Callable[[DatabaseError], RecordError]) -> Iterator[Connection]:
    """A transaction of a database, whose errors are said as ``why`` says them."""
    try:
        with engine.begin() as c:
            yield c
    except DatabaseError as error:
        raise why(error) from error


class Database(Protocol):
    """What the journal needs of a database; SqliteFile is one."""

    @property
    def engine(self) -> Engine: ...  # to read with
    @property
    def writer(self) -> Engine: ...  # whose transactions no other writer can come between

    def close(self) -> None: ...
    def guards_missing(self, c: Connection) -> tuple[str, ...]: ...
    def schema_differences(self, c: Connection) -> tuple[str, ...]: ...
    def put_guards(self, c: Connection) -> None: ...
    def backup(self, to: Path) -> None: ...
    def page_damage(self) -> str: ...
    def gone(self) -> str: ...  # why it is not where it was opened, "" while it is
    def why(self, error: DatabaseError) -> RecordError: ...
