"""The record's indexes over all chains that are here, and all chains as one table of events, in the file of the others: whatever asks
an index of the journal can ask the same of the workshop. Nothing in them is true that is not in the chains."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from string import Template
from typing import Any

from sqlalchemy import (
    Column,
    ColumnElement,
    Connection,
    Index,
    Integer,
    String,
    Table,
    TextClause,
    and_,
    delete,
    select,
    text,
    update,
)

from benchapp import events as ev
from benchapp.record.lot_index import row_of_lot
from benchapp.record.lots import Lot
from benchapp.record.projections import FINAL
from benchapp.record.tables import BATCH, LOT, columns_like
from benchapp.replication.batch_projection import OF_A_BATCH, BatchProjection
from benchapp.replication.member import MemberBench, replaced_by
from benchapp.replication.others import TABLES

#: Numbers of events about a batch that another bench wrote begin behind so many for each of its short name; places in its
#: chain behind so many.
NUMBERS, PLACES = 10**7, 1 << 40
#: So many batches of a kind are listed over all benches, the newest.
MOST = 500


def _of_all(table: Table) -> Table:
    """An index of the record with the bench whose chain a row is from, and what the batch and the lot are called there. Its own
    columns say what they are called here."""
    keys = [column.name for column in table.primary_key.columns]
    written = [Column(f"written_{key}", String, primary_key=True) for key in keys if key in ("batch", "lot")]
    columns = [
        Column(
            c.name, c.type, primary_key=c.name in keys and c.name not in ("batch", "lot"), nullable=c.nullable
        )
        for c in table.columns
    ]
    indexes = [Index(f"all_{i.name}", *(c.name for c in i.columns)) for i in table.indexes]
    called = [Index(f"all_{table.name}_by_{key}", key) for key in keys if key in ("batch", "lot")]
    return Table(
        table.name, TABLES, Column("bench", String, primary_key=True), *written, *columns, *indexes, *called
    )


#: Named as in the journal, so that the same query asks either.
INDEX_OF_ALL = {table: _of_all(table) for table in OF_A_BATCH}
BATCHES = INDEX_OF_ALL[BATCH]
LOTS = Table(
    LOT.name,
    TABLES,
    *columns_like(LOT),
    Column("blocked_by", String, nullable=False),  # the bench whose judgement keeps it from use, "" none
    Index("all_lots_live", "live"),
    Index("all_lots_blocked", "blocked_by"),
)
#: Lots that are called otherwise here than a bench writes, as its name was given more than once.
NAMED_LOT = Table(
    "named_lot",
    TABLES,
    Column("bench", String, primary_key=True),
    Column("written", String, primary_key=True),
    Column("called", String, nullable=False),
)
#: Batches about which a bench wrote without having made them.
PART_OF = Table(
    "part_of",
    TABLES,
    Column("bench", String, primary_key=True),
    Column("batch", String, primary_key=True),
)
#: What another bench's batch is called here, and how much is added to the numbers of its events behind a place.
NAMED = Table(
    "named",
    TABLES,
    Column("bench", String, primary_key=True),
    Column("written", String, primary_key=True),
    Column("called", String, nullable=False),
    Column("more", Integer, nullable=False),
    Column("behind", Integer, nullable=False),
    Index("named_called", "called", "bench"),
)
#: Which places the chain of each bench has among all.
CHAIN_PLACES = Table(
    "chain_places",
    TABLES,
    Column("bench", String, primary_key=True),
    Column("own", Integer, nullable=False),
    Column("places", Integer, nullable=False),
)

_COLUMNS = "{at}.seq + p.places AS seq, {batch} AS batch, {n} AS n, {at}.kind AS kind, {at}.text AS text, {at}.prev AS prev, {at}.hash AS hash"
_PLAIN = _COLUMNS.format(at="e", batch="e.batch", n="e.n")
_RENAMED = _COLUMNS.format(
    at="e", batch="x.called", n="e.n + CASE WHEN e.seq > x.behind THEN x.more ELSE 0 END"
)
#: The journal's table of events, as every chain that is here has it; ``journal`` is the bench's own, attached.
EVENTS_OF_ALL = Template("""CREATE TEMPORARY VIEW event AS
SELECT $plain FROM chain_places p CROSS JOIN journal.event e
 WHERE p.own AND NOT EXISTS (SELECT 1 FROM named x WHERE x.bench = p.bench AND x.written = e.batch)
UNION ALL
SELECT $renamed FROM chain_places p CROSS JOIN named x CROSS JOIN journal.event e
 WHERE p.own AND x.bench = p.bench AND e.batch = x.written
UNION ALL
SELECT $plain FROM received e CROSS JOIN chain_places p
 WHERE p.bench = e.bench AND NOT p.own AND NOT EXISTS (SELECT 1 FROM named x WHERE x.bench = e.bench AND x.written = e.batch)
UNION ALL
SELECT $renamed FROM named x CROSS JOIN chain_places p CROSS JOIN received e
 WHERE p.bench = x.bench AND NOT p.own AND e.bench = x.bench AND e.batch = x.written""").substitute(
    plain=_PLAIN, renamed=_RENAMED
)

_OF_KINDS = """SELECT $columns FROM journal.event e INDEXED BY event_kind CROSS JOIN chain_places p
 WHERE p.own AND e.kind IN ($kinds) AND +e.batch = :batch
UNION ALL
SELECT $others FROM received e INDEXED BY received_kinds CROSS JOIN chain_places p CROSS JOIN named x
 WHERE e.kind IN ($kinds) AND e.batch = :batch AND p.bench = e.bench AND NOT p.own AND x.bench = e.bench AND x.written = e.batch
ORDER BY seq"""


def of_the_workshop(kinds: Collection[str]) -> TextClause:
    """The events of these kinds that belong to no batch, of all chains. Every bench has thousands of others of that name, so it is said by
    which index they are found."""
    places = [f"kind{n}" for n, _ in enumerate(kinds)]
    sql = Template(_OF_KINDS).substitute(
        columns=_PLAIN, others=_RENAMED, kinds=", ".join(f":{place}" for place in places)
    )
    given = dict(zip(places, kinds, strict=True))
    return text(sql).bindparams(batch=ev.WORKSHOP, **given)


def rank(short: str) -> int:
    """A number for a bench that no other has and that never changes."""
    return int(short, 36) + 1


def keep_projection(
    c: Connection, bench: str, batch: str, found: BatchProjection, members: Mapping[str, MemberBench]
) -> None:
    """The rows of a batch as one chain has them, in the place of what they were. Where one bench goes on with the chain of another,
    its rows stand for both (see heir_with)."""
    ancestors = list(replaced_by(bench, members))
    calls = _calls(c, bench, batch)
    for table, all_of in INDEX_OF_ALL.items():
        c.execute(
            delete(all_of).where(all_of.c.written_batch == batch, all_of.c.bench.in_((bench, *ancestors)))
        )
        if rows := [_row(bench, row, calls) for row in found.rows[table]]:
            c.execute(all_of.insert(), rows)


def heir_with(c: Connection, bench: str, batch: str, members: Mapping[str, MemberBench]) -> str:
    """The bench that goes on with the chain of another and has rows of that batch, "" where none does."""
    heirs = [heir for heir in members if bench in replaced_by(heir, members)]
    if not heirs:
        return ""
    has = select(BATCHES.c.bench).where(BATCHES.c.bench.in_(heirs), BATCHES.c.written_batch == batch)
    return str(c.execute(has).scalar() or "")


def _calls(c: Connection, bench: str, batch: str) -> dict[tuple[str, str], str]:
    """What a batch of a bench, and its lots, are called here where that is otherwise."""
    named = select(NAMED.c.called).where(NAMED.c.bench == bench, NAMED.c.written == batch)
    lots = c.execute(select(NAMED_LOT.c.written, NAMED_LOT.c.called).where(NAMED_LOT.c.bench == bench))
    called = {("lot", row.written): row.called for row in lots}
    return called | {("batch", batch): c.execute(named).scalar() or batch}


def _row(bench: str, row: Mapping[str, Any], calls: Mapping[tuple[str, str], str]) -> dict[str, Any]:
    names = [key for key in ("batch", "lot") if key in row]
    own = {f"written_{key}": row[key] for key in names}
    return {"bench": bench, **own, **row, **{key: calls.get((key, row[key]), row[key]) for key in names}}


def keep_places(c: Connection, members: Mapping[str, MemberBench], own: str) -> None:
    """Where each chain stands among all."""
    wanted = {(m.bench, int(m.bench == own), rank(m.short) * PLACES) for m in members.values()}
    if {tuple(row) for row in c.execute(select(CHAIN_PLACES))} != wanted:
        c.execute(delete(CHAIN_PLACES))
        c.execute(
            CHAIN_PLACES.insert(), [dict(zip(("bench", "own", "places"), w, strict=True)) for w in wanted]
        )


def keep_names(
    c: Connection, named: Mapping[tuple[str, str], tuple[str, int, int]], lots: Mapping[tuple[str, str], str]
) -> None:
    """What batches and lots are called here: by bench and written name the name, and for batches how much is added to the numbers of its
    events behind which place."""
    known = {(r.bench, r.written): (r.called, r.more, r.behind) for r in c.execute(select(NAMED))}
    if known != named:
        c.execute(delete(NAMED))
        columns = ("bench", "written", "called", "more", "behind")
        rows = [dict(zip(columns, (*key, *value), strict=True)) for key, value in named.items()]
        if rows:
            c.execute(NAMED.insert(), rows)
    c.execute(delete(NAMED_LOT))
    if lots:
        c.execute(
            NAMED_LOT.insert(),
            [{"bench": b, "written": w, "called": called} for (b, w), called in lots.items()],
        )
    batches = {key: called for key, (called, _, _) in named.items() if called != key[1]}
    for table in INDEX_OF_ALL.values():
        _rename(c, table, "batch", batches)
        if "lot" in table.c:
            _rename(c, table, "lot", lots)


def _rename(c: Connection, table: Table, column: str, names: Mapping[tuple[str, str], str]) -> None:
    """Call a thing in every row as it is called here. What has one name everywhere, as nearly all have, is not touched."""
    here, written = table.c[column], table.c[f"written_{column}"]
    other = select(table.c.bench, written, here).where(here != written).distinct()
    known = {(bench, name): called for bench, name, called in c.execute(other)}
    for bench, name in known.keys() - names.keys():
        c.execute(update(table).where(table.c.bench == bench, written == name).values({column: name}))
    for (bench, name), called in names.items():
        c.execute(
            update(table)
            .where(table.c.bench == bench, written == name, here != called)
            .values({column: called})
        )


def add_names(c: Connection, named: Mapping[tuple[str, str], tuple[str, int, int]]) -> None:
    """Names of batches that no other bench gave (see keep_names)."""
    columns = ("bench", "written", "called", "more", "behind")
    for key, value in named.items():
        c.execute(NAMED.insert().prefix_with("OR IGNORE"), dict(zip(columns, (*key, *value), strict=True)))


def keep_decisions(c: Connection, decisions: Mapping[str, str], batches: Collection[str] | None) -> None:
    """The decision that holds, for each batch here, or for these alone."""
    stand: dict[str, tuple[str, bool]] = {}
    if batches is None:
        known = select(BATCHES.c.batch, BATCHES.c.decision, BATCHES.c.waiting).where(BATCHES.c.decision != "")
        stand = {row.batch: (row.decision, bool(row.waiting)) for row in c.execute(known)}
    for batch, decision in decisions.items():
        if stand.get(batch) == (decision, decision not in FINAL):
            continue
        finished = and_(BATCHES.c.end == "finished", ~BATCHES.c.rehearsal)
        which = update(BATCHES).where(BATCHES.c.batch == batch)
        c.execute(which.values(decision=decision, waiting=finished if decision not in FINAL else False))


def keep_lots(c: Connection, lots: Mapping[str, tuple[Lot, str]], names: Collection[str] | None) -> None:
    """Every lot as all benches know it, with who blocked it, by what it is called here; or those of these ``names`` alone."""
    known_ones = select(LOTS) if names is None else select(LOTS).where(LOTS.c.lot.in_(names))
    known = {row.lot: dict(row._mapping) for row in c.execute(known_ones)}
    now = {name: row_of_lot(lot) | {"lot": name, "blocked_by": by} for name, (lot, by) in lots.items()}
    for name in [name for name, row in known.items() if now.get(name) != row]:
        c.execute(delete(LOTS).where(LOTS.c.lot == name))
    if fresh := [row for name, row in now.items() if known.get(name) != row]:
        c.execute(LOTS.insert(), fresh)


def unfinished_and_waiting(
    c: Connection, heirs: Mapping[str, str]
) -> tuple[dict[str, tuple[str, ...]], dict[str, tuple[str, ...]]]:
    """By bench its batches that are not over and those that wait for a decision, the newest first; those of a bench that was replaced
    stand with its heir."""

    def by_bench(which: ColumnElement[bool]) -> dict[str, tuple[str, ...]]:
        found: dict[str, tuple[str, ...]] = {}
        query = (
            select(BATCHES.c.bench, BATCHES.c.batch).where(which).order_by(BATCHES.c.seq.desc()).limit(MOST)
        )
        for bench, batch in c.execute(query):
            one = heirs.get(bench, bench)
            found[one] = (*found.get(one, ()), batch)
        return found

    return by_bench(BATCHES.c.end == ""), by_bench(BATCHES.c.waiting)


def parts_written(rows: Iterable[tuple[str, str, str]]) -> list[dict[str, str]]:
    """Of the first events of batches in chains (bench, batch, kind), those that are about a batch of another's."""
    return [
        {"bench": bench, "batch": batch}
        for bench, batch, kind in rows
        if kind != ev.MakeStarted.__name__ and batch != ev.WORKSHOP
    ]
