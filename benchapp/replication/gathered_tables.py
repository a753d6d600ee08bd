"""Tables of what is kept of all chains, in the file of the others, and the kinds of event they are filled from."""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy import Column, Float, Index, Integer, String, Table, Text

from benchapp import events as ev
from benchapp.record.projections import PROJECTED
from benchapp.replication.others import TABLES

FACT = Table(
    "fact",
    TABLES,
    Column("bench", String, primary_key=True),
    Column("seq", Integer, primary_key=True),
    Column("kind", String, nullable=False),
    Column("subject", String, nullable=False),  # the lot, the person or the batch it is about
    Column("batch", String, nullable=False),  # in which it was written
    Column("text", Text, nullable=False),
    Index("fact_subject", "kind", "subject", "bench", "seq"),
    Index("fact_batch", "batch", "kind"),
)
DRAWN = Table(
    "drawn",
    TABLES,
    Column("bench", String, nullable=False),
    Column("batch", String, nullable=False),
    Column("seq", Integer, nullable=False),
    Column("lot", String, nullable=False),
    Column("amount", Float, nullable=False),
    Index("drawn_lot", "lot", "bench", "seq"),
    Index("drawn_batch", "bench", "batch"),
)
SEAL = Table(
    "seal",
    TABLES,
    Column("by", String, primary_key=True),
    Column("at", Integer, primary_key=True),
    Column("bench", String, primary_key=True),
    Column("seq", Integer, nullable=False),  # the furthest that was sealed up to there
    Column("workshop", String, nullable=False),  # in which it was written
    Index("seal_known", "by", "bench", "at", "seq", "workshop"),
)
#: What has to be worked out anew: a lot or a batch by a name that is written of it, or everything.
DIRTY = Table(
    "dirty",
    TABLES,
    Column("id", Integer, primary_key=True),
    Column("kind", String, nullable=False),
    Column("subject", String, nullable=False),
)
GATHERED = Table(
    "gathered",
    TABLES,
    Column("chain", String, primary_key=True),
    Column("seq", Integer, nullable=False),
    Column("kept", Integer, nullable=False),  # how many events so far were of the kinds that are kept
)

#: The field of each kind of fact that says what it is about; a batch's own events are about the batch.
SUBJECT: Mapping[str, str] = {
    "LotReceived": "lot", "LotOpened": "lot", "LotJudged": "lot", "LotCounted": "lot",
    "PersonEnrolled": "who", "PersonRetired": "who", "BatchDecided": "", "MakeStarted": "", "BenchJoined": "workshop",
    "MakeFinished": "", "MakeAbandoned": "", "Signed": "who", "DeviationClosed": "by", "CheckRecorded": "by", "MasterApproved": "procedure",
    "MasterWithdrawn": "procedure",
}  # fmt: skip
WANTED = (*{*SUBJECT, *PROJECTED}, ev.HeadsReceived.__name__)
#: The kinds of what has to be worked out anew.
LOT_DIRTY, BATCH_DIRTY, ALL_DIRTY = "lot", "batch", "all"
LOT_KINDS = ("LotReceived", "LotOpened", "LotJudged", "LotCounted")
#: The cursor over the own journal, which no bench is called; the end of a chain that goes on; what a newer version wrote.
OWN, NO_END, UNREADABLE = "", 1 << 62, "unreadable"
EVERYTHING = (ALL_DIRTY, "")
