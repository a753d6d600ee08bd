"""The tables of the journal: the chain itself, and indexes that can be rebuilt from it at any time."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Boolean, Column, Float, Index, Integer, MetaData, String, Table, Text

#: 1: the chain alone. 2: with the indexes BATCH, LOT, USE, DISPATCH and CORRECTION. 3: what was
#: weighed without a known lot is in USE too, and what came out follows corrections. 4: how large a batch became.
SCHEMA = 4


def _texts(*names: str) -> list[Column[str]]:
    """Columns of text that are never empty of a value."""
    return [Column(name, String, nullable=False) for name in names]


def columns_like(table: Table) -> list[Column[Any]]:
    """The columns of a table again, for another."""
    return [Column(c.name, c.type, primary_key=c.primary_key, nullable=c.nullable) for c in table.columns]


CHAIN = MetaData()
EVENT = Table(
    "event",
    CHAIN,
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
SCHEMA_TABLE = Table("schema", CHAIN, Column("version", Integer, primary_key=True))

#: Nothing in these is true that is not in the chain: see benchapp.record.projections.
INDEXES = MetaData()
BATCH = Table(
    "batch_index",
    INDEXES,
    Column("batch", String, primary_key=True),
    Column("seq", Integer, nullable=False),
    Column("code", String, nullable=False),  # as it stands on a container
    Column("stem", String, nullable=False),  # the name without its last number
    Column("number", Integer, nullable=False),
    *_texts("procedure", "maker"),
    Column("batch_g", Float, nullable=False),  # as planned
    Column("grown_g", Float),  # what it became, where its formula was kept after too much of something
    Column("wall", String, nullable=False),
    Column("rehearsal", Boolean, nullable=False),
    Column("end", String, nullable=False, default=""),
    Column("ended", String, nullable=False, default=""),
    Column("product_g", Float),
    Column("containers", Integer, nullable=False, default=0),
    Column("decision", String, nullable=False, default=""),
    Column("waiting", Boolean, nullable=False, default=False),  # finished, and nobody has decided for good
    Index("batch_index_seq", "seq"),
    Index("batch_index_code", "code"),
    Index("batch_index_stem", "stem", "number"),
    Index("batch_index_waiting", "waiting", "seq"),
    Index("batch_index_end", "end", "seq"),
    Index("batch_index_procedure", "procedure", "seq"),
)
LOT = Table(
    "lot_index",
    INDEXES,
    Column("lot", String, primary_key=True),
    *_texts("material", "name", "supplier", "supplier_lot", "unit"),
    Column("quantity", Float, nullable=False),
    Column("left", Float, nullable=False),
    *_texts("received", "expires", "opened", "code"),
    Column("documents", Text, nullable=False),  # JSON
    *_texts("state", "why", "made_in"),
    Column("used_at", Integer, nullable=False),
    Column("counted_at", Integer, nullable=False),
    Column("live", Boolean, nullable=False),  # not used up, and something left of it
    Index("lot_index_made_in", "made_in"),
    Index("lot_index_live", "live", "used_at"),
)
USE = Table(
    "lot_use",
    INDEXES,
    Column("batch", String, primary_key=True),
    Column("line", String, primary_key=True),
    Column("lot", String, primary_key=True),
    *_texts("material", "unit"),
    Column("used", Float, nullable=False),
    Column("spoiled", Float, nullable=False),  # waste: out of the lot, not in the product
    Column("seq", Integer, nullable=False),  # when it was last in hand
    Index("lot_use_lot", "lot", "seq"),
)
DISPATCH = Table(
    "dispatch_index",
    INDEXES,
    Column("batch", String, primary_key=True),
    Column("n", Integer, primary_key=True),
    Column("first", Integer, nullable=False),
    Column("last", Integer, nullable=False),
    *_texts("to", "on", "note"),
)
CORRECTION = Table(
    "correction_index",
    INDEXES,
    Column("batch", String, primary_key=True),
    Column("n", Integer, primary_key=True),
    Column("of_n", Integer, nullable=False),
    *_texts("field", "old", "new", "reason", "by"),
    Index("correction_index_of", "batch", "of_n", "n"),
    Index("correction_index_old", "old"),
    Index("correction_index_new", "new"),
)
