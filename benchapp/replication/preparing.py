"""Done once by who looks after the server: its tables and rights, and a role for each bench."""

from __future__ import annotations

import re
import secrets
from dataclasses import dataclass
from importlib import resources

from psycopg import Connection, sql
from psycopg.errors import UniqueViolation

from benchapp.foundation.language import tr
from benchapp.replication.chain_row import BEGINNING
from benchapp.replication.errors import ServerRefuses
from benchapp.replication.server import Server

#: Who may be a bench: a role of PostgreSQL; and what stands in names: a capital, and two more or digits at most.
BENCH, SHORT = re.compile(r"[a-z][a-z0-9_]{0,30}"), re.compile(r"[A-Z][A-Z0-9]{0,2}")


def prepare(connection: Connection) -> None:
    """Tables, guards and rights of a workshop; what is there stays, what is missing is put back."""
    script = resources.files("benchapp.replication").joinpath("schema.sql").read_bytes()
    with connection.transaction():
        connection.execute(script)


@dataclass(frozen=True, slots=True)
class NewBench:
    """A bench to be added: its id, the short name that stands in batches and lots, whom it replaces ("" nobody)."""

    bench: str
    short: str
    replaces: str = ""

    def __post_init__(self) -> None:
        """Raises ServerRefuses where it cannot be called so."""
        if not BENCH.fullmatch(self.bench):
            raise ServerRefuses(
                tr(
                    "{bench!r} is no name for a bench: a small letter, then small letters, digits and _ "
                    "up to 31.",
                    bench=self.bench,
                )
            )
        if not SHORT.fullmatch(self.short):
            raise ServerRefuses(
                tr(
                    "{short!r} is no short name: a capital letter, then two capitals or digits at most.",
                    short=self.short,
                )
            )


def add_bench(connection: Connection, new: NewBench) -> str:
    """Add a bench and the role it connects as; one that is there under the same names gets a new password. Returns the
    password, which the server never gets to see. Raises ServerRefuses where a name is taken."""
    server = Server(connection)
    known = server.members().get(new.bench)
    if known is not None and known.short != new.short:
        raise ServerRefuses(
            tr(
                "The bench {bench} is there already, its short name is {short}.",
                bench=new.bench,
                short=known.short,
            )
        )
    with connection.transaction():
        if known is None:
            _add_member(connection, server, new)
        return _role(connection, new.bench)


def _add_member(connection: Connection, server: Server, new: NewBench) -> None:
    if new.replaces and new.replaces not in server.members():
        raise ServerRefuses(tr("There is no bench {replaces} that could be replaced.", replaces=new.replaces))
    ended = server.head(new.replaces) if new.replaces else BEGINNING
    if new.replaces and ended == BEGINNING:
        ended = server.members()[new.replaces].before
    try:
        connection.execute(
            "insert into workshop.bench values (%s, %s, %s, %s, %s)",
            (new.bench, new.short, ended.seq + 1, ended.hash, new.replaces or None),
        )
        # What the dead one said it had and never sent does not come; should it wake up, it says so anew.
        connection.execute(
            "update workshop.announced set seq = least(seq, %s) where bench = %s", (ended.seq, new.replaces)
        )
    except UniqueViolation as error:
        raise ServerRefuses(
            tr("Another bench has the short name {short}. Choose another.", short=new.short)
        ) from error


def _role(connection: Connection, bench: str) -> str:
    password = secrets.token_urlsafe(24)
    verifier = connection.pgconn.encrypt_password(
        password.encode(), bench.encode(), b"scram-sha-256"
    ).decode()
    there = connection.execute("select 1 from pg_roles where rolname = %s", (bench,)).fetchone()
    word = sql.SQL("alter" if there else "create")
    connection.execute(
        sql.SQL("{} role {} login password {}").format(word, sql.Identifier(bench), sql.Literal(verifier))
    )
    connection.execute(sql.SQL("grant benchapp_bench to {}").format(sql.Identifier(bench)))
    return password
