"""What was gathered of lots and batches worked out, and kept in the file of the others: of those alone of which something came since, so
that an answer takes no longer however much there is."""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from sqlalchemy import Column, Connection, Index, Integer, String, Table, Text, delete, select

from benchapp import events as ev
from benchapp.foundation.language import faced, speaking
from benchapp.record.elsewhere import Conflict
from benchapp.replication.all_indexes import add_names, keep_decisions, keep_lots, keep_names, keep_places
from benchapp.replication.gathered_tables import ALL_DIRTY, BATCH_DIRTY, DIRTY, LOT_DIRTY
from benchapp.replication.member import MemberBench
from benchapp.replication.origin_names import related, stems
from benchapp.replication.others import TABLES, OthersFile
from benchapp.replication.picture import NEWER, SHARED_NAME, Picture, Subjects, View

#: What does not go together, a sentence each: about a lot or a batch by its name here, or neither.
CONFLICT = Table(
    "conflict",
    TABLES,
    Column("kind", String, nullable=False),
    Column("subject", String, nullable=False),
    Column("text", Text, nullable=False),
    Index("conflict_subject", "kind", "subject"),
)
#: By which members, words and kinds of event everything was worked out last, and how often something was since.
SETTLED = Table(
    "settled", TABLES, Column("key", String, nullable=False), Column("times", Integer, nullable=False)
)
#: So many lots and batches are worked out in one transaction; where more than so many wait, everything is, which is quicker then.
AT_ONCE, MANY = 100, 2000


class _Waiting(NamedTuple):
    """What is to be worked out: the last mark that is met by it, the lots and batches (None: everything), and how it stood before."""

    until: int
    lots: frozenset[str] | None
    batches: frozenset[str]
    before: tuple[str, int]


def settle(others: OthersFile, members: Mapping[str, MemberBench], own: str) -> None:
    """Work out what has changed. Another window may do so at the same time: whoever comes second looks again. Raises RecordError."""
    key = _key(members, own)
    while True:
        with others.reading() as c:
            waiting = _waiting(c, key)
            if waiting is None:
                return
            about = None
            if waiting.lots is not None:
                about = Subjects(_related(waiting.lots, members), _related(waiting.batches, members))
            with speaking(faced()):
                picture = View(c, members, own, everything=about is None).picture(about)
        with others.writing() as c:
            if _settled(c) != waiting.before:
                continue
            if waiting.lots is None or about is None:
                _keep_all(c, picture, members, own)
            else:
                _keep_some(c, picture, waiting.lots, about, members)
            c.execute(delete(DIRTY).where(DIRTY.c.id <= waiting.until))
            c.execute(delete(SETTLED))
            c.execute(SETTLED.insert(), {"key": key, "times": waiting.before[1] + 1})


def is_settled(others: OthersFile) -> bool:
    """Whether everything was worked out once."""
    with others.reading() as c:
        return bool(_settled(c)[0])


def conflicts_in(c: Connection) -> tuple[Conflict, ...]:
    """Everything that does not go together."""
    places = (LOT_DIRTY, SHARED_NAME, "", BATCH_DIRTY, NEWER)
    rows = sorted(c.execute(select(CONFLICT)), key=lambda r: (places.index(r.kind), r.subject, r.text))
    of_lots = (LOT_DIRTY, SHARED_NAME)
    return tuple(
        dict.fromkeys(Conflict(row.text, row.subject if row.kind in of_lots else "") for row in rows)
    )


def _key(members: Mapping[str, MemberBench], own: str) -> str:
    """What everything hangs on: the benches, the language of the sentences, and which events this version can read."""
    benches = sorted((m.bench, m.short, m.first, m.prev, m.replaces) for m in members.values())
    kinds = sorted((name, [f.name for f in dataclasses.fields(kind)]) for name, kind in ev.KINDS.items())
    return hashlib.sha256(repr((own, benches, kinds, faced().code)).encode()).hexdigest()


def _settled(c: Connection) -> tuple[str, int]:
    row = c.execute(select(SETTLED)).first()
    return (row.key, row.times) if row else ("", 0)


def _waiting(c: Connection, key: str) -> _Waiting | None:
    """What waits to be worked out next; None where nothing does."""
    before = _settled(c)
    marks = c.execute(select(DIRTY).order_by(DIRTY.c.id).limit(MANY + 1)).all()
    if before[0] != key or len(marks) > MANY or any(mark.kind == ALL_DIRTY for mark in marks):
        return _Waiting(c.execute(select(DIRTY.c.id).order_by(DIRTY.c.id.desc()).limit(1)).scalar() or 0, None, frozenset(), before)  # fmt: skip
    if not marks:
        return None
    now = marks[:AT_ONCE]
    lots, batches = (
        frozenset(mark.subject for mark in now if mark.kind == kind) for kind in (LOT_DIRTY, BATCH_DIRTY)
    )
    return _Waiting(now[-1].id, lots, batches, before)


def _related(names: Iterable[str], members: Mapping[str, MemberBench]) -> frozenset[str]:
    return frozenset(one for name in names for one in related(name, members))


def _keep_all(c: Connection, picture: Picture, members: Mapping[str, MemberBench], own: str) -> None:
    keep_places(c, members, own)
    keep_names(c, picture.named, picture.named_lots)
    keep_decisions(c, {batch: one.decision for batch, one in picture.decisions.items()}, None)
    keep_lots(c, {name: (one.lot, one.blocked_by) for name, one in picture.lots.items()}, None)
    c.execute(delete(CONFLICT))
    _add_conflicts(c, picture.conflicts)


def _keep_some(
    c: Connection,
    picture: Picture,
    asked: frozenset[str],
    about: Subjects,
    members: Mapping[str, MemberBench],
) -> None:
    """Of lots only those that were asked for: of what is called like them not everything was looked at."""
    add_names(c, picture.named)
    decisions = {batch: one.decision for batch, one in picture.decisions.items()}
    keep_decisions(c, decisions, decisions.keys())
    known = {stem for name in asked for stem in stems(name, members)}
    lots = {name: (one.lot, one.blocked_by) for name, one in picture.lots.items() if one.lot.lot in known}
    keep_lots(c, lots, lots.keys())
    for kind, subjects in ((LOT_DIRTY, lots.keys()), (BATCH_DIRTY, about.batches)):
        c.execute(delete(CONFLICT).where(CONFLICT.c.kind == kind, CONFLICT.c.subject.in_(subjects)))
        _add_conflicts(c, [one for one in picture.conflicts if one[0] == kind and one[1] in subjects])
    _add_conflicts(c, [one for one in picture.conflicts if one[0] == NEWER])


def _add_conflicts(c: Connection, found: Iterable[tuple[str, str, str]]) -> None:
    rows = [dict(zip(("kind", "subject", "text"), one, strict=True)) for one in found]
    if rows:
        c.execute(CONFLICT.insert(), rows)
