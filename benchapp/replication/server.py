"""What a bench asks of the workshop's server, and the one thing it adds there: its own chain."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from psycopg import Connection
from psycopg.errors import UndefinedTable, UniqueViolation

from benchapp.foundation.language import tr
from benchapp.replication.chain_row import BEGINNING, ChainHead, ChainRow
from benchapp.replication.errors import ServerRefuses
from benchapp.replication.member import MemberBench
from benchapp.replication.server_connection import SLOW_S, Watchdog, cut

#: The form of the server's tables (schema.sql).
SCHEMA = 1
#: So many events are sent in one transaction, and fetched of each bench in one answer.
PART = 500


class Server:
    """One connection. Raises psycopg's errors as they come (see server_connection.translated) and ServerRefuses."""

    def __init__(self, connection: Connection) -> None:
        self.connection = connection
        self._watchdog = Watchdog(connection)
        self.role, self.workshop = self._asked_version()

    def _asked_version(self) -> tuple[str, str]:
        """Who is connected, and to which workshop, once it is seen that the tables are of a version this program knows."""
        asked = (
            "select version, session_user::text, workshop from workshop.version order by version desc limit 1"
        )
        try:
            found = self._rows(asked)
        except UndefinedTable:
            found = []
        if not found:
            raise ServerRefuses(tr("That server holds no workshop. Prepare it: benchapp workshop prepare."))
        version, role, workshop = found[0]
        if version > SCHEMA:
            raise ServerRefuses(
                tr(
                    "The server's tables are of a newer version ({version}, this program knows "
                    "{schema}). Update the program.",
                    version=version,
                    schema=SCHEMA,
                )
            )
        return str(role), str(workshop)

    def _row(self, query: Any, *values: Any) -> tuple[Any, ...]:
        with self._watchdog.asking():
            found = self.connection.execute(query, values).fetchone()
        return found or (None,)

    def _rows(self, query: Any, *values: Any) -> list[tuple[Any, ...]]:
        with self._watchdog.asking():
            return self.connection.execute(query, values).fetchall()

    # --- who there is --------------------------------------------------------------------------------

    def members(self) -> dict[str, MemberBench]:
        """Every bench of the workshop."""
        rows = self._rows(
            "select b.bench, b.short, b.first, b.prev, coalesce(b.replaces, ''), coalesce(a.seq, 0), "
            "coalesce(to_char(a.at at time zone 'UTC', 'YYYY-MM-DD\"T\"HH24:MI:SS.MS\"+00:00\"'), '') "
            "from workshop.bench b left join workshop.announced a using (bench) order by b.bench"
        )
        return {row[0]: MemberBench(*row) for row in rows}

    def member(self) -> MemberBench:
        """The bench this connection is of. Raises ServerRefuses where it is none."""
        found = self.members().get(self.role)
        if found is None:
            raise ServerRefuses(
                tr(
                    "{role} is no bench of this workshop. Add it: benchapp workshop add {role} --short NAME.",
                    role=self.role,
                )
            )
        return found

    def announce(self, seq: int) -> None:
        """Say how far the own chain has come, sent or not."""
        self._rows(
            "insert into workshop.announced values (%s, %s, clock_timestamp()) "
            "on conflict (bench) do update set seq = excluded.seq, at = excluded.at returning 1",
            self.role,
            seq,
        )

    # --- chains --------------------------------------------------------------------------------------

    def head(self, bench: str) -> ChainHead:
        """How far the server has the chain of a bench; BEGINNING where it has nothing of it."""
        row = self._rows(
            "select seq, hash from workshop.event where bench = %s order by seq desc limit 1", bench
        )
        return ChainHead(*row[0]) if row else BEGINNING

    def hash_at(self, bench: str, seq: int) -> str:
        """The hash of one event as it stands there, "" where there is none."""
        found = self._row("select hash from workshop.event where bench = %s and seq = %s", bench, seq)[0]
        return str(found or "")

    def add(self, rows: Sequence[ChainRow]) -> bool:
        """Insert events, all or none; False where something stands in the place of one of them already."""
        columns = [list(column) for column in zip(*rows, strict=True)]
        try:
            self._rows(
                "insert into workshop.event (bench, seq, text, prev, hash) "
                "select * from unnest(%s::text[], %s::bigint[], %s::text[], %s::text[], %s::text[]) returning 1",
                *columns,
            )
        except UniqueViolation:
            return False
        return True

    def after(self, heads: Mapping[str, ChainHead]) -> dict[str, list[ChainRow]]:
        """The next events of each of these chains behind these heads, in order."""
        rows = self._rows(
            "select e.bench, e.seq, e.text, e.prev, e.hash from unnest(%s::text[], %s::bigint[]) as c (bench, seq) "
            "cross join lateral (select * from workshop.event e where e.bench = c.bench and e.seq > c.seq "
            "order by e.seq limit %s) e order by e.bench, e.seq",
            list(heads),
            [head.seq for head in heads.values()],
            PART,
        )
        found: dict[str, list[ChainRow]] = {}
        for row in rows:
            found.setdefault(row[0], []).append(ChainRow(*row))
        return found

    @property
    def slow(self) -> str:
        """That the line is slow, by the last answer; "" where it is not."""
        took_s = self._watchdog.took_s
        return (
            tr("The line is slow: an answer takes {took_s:.0f} s.", took_s=took_s) if took_s >= SLOW_S else ""
        )

    def listen(self) -> None:
        """Be told when something was added; a hint, as anybody may tell so."""
        with self._watchdog.asking():
            self.connection.execute("listen workshop_event")

    def cut(self) -> None:
        """Cut the line, whatever is being asked; any thread."""
        cut(self.connection)

    def told(self, seconds: float) -> bool:
        """Whether something was said to have been added since this was last asked, or is within this time."""
        # All of them, or what was said meanwhile would pile up, and wake us for each.
        return bool(list(self.connection.notifies(timeout=seconds, stop_after=1)))
