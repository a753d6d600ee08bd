"""Tracing: from a lot to every container it is in and where that went, and from a container back to every lot."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import Column, ColumnElement, Connection, or_, select

from benchapp.foundation.language import tr, tr_n
from benchapp.record.batch_line import BatchLine, batch_line
from benchapp.record.errors import NoSuchBatch, no_lot
from benchapp.record.journal import Journal
from benchapp.record.lot_index import lot_of_row
from benchapp.record.lots import Lot
from benchapp.record.tables import BATCH, CORRECTION, DISPATCH, LOT, USE

#: So many names are asked for at a time.
CHUNK = 500


@dataclass(frozen=True, slots=True)
class LotUse:
    """What one batch drew from one lot for one line; amounts in ``unit`` ("g" or "pieces")."""

    batch: str
    line: str
    lot: str
    material: str
    unit: str
    used: float
    spoiled: float


@dataclass(frozen=True, slots=True)
class Dispatch:
    """Containers ``first`` to ``last`` of a batch went to ``to``; ``n`` is the event that says so."""

    batch: str
    n: int
    first: int
    last: int
    to: str
    on: str
    note: str

    @property
    def containers(self) -> range:
        """Their numbers."""
        return range(self.first, self.last + 1)


@dataclass(frozen=True, slots=True)
class TracedCorrection:
    """That in ``batch`` ``field`` of event ``of_n`` was not ``old`` but ``new``."""

    batch: str
    of_n: int
    field: str
    old: str
    new: str
    reason: str
    by: str


@dataclass(frozen=True, slots=True)
class BatchReached:
    """A batch that holds something of a lot. ``here`` are the containers no dispatch note names."""

    batch: BatchLine
    uses: tuple[LotUse, ...]
    sent: tuple[Dispatch, ...]
    here: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class ForwardTrace:
    """Where a lot went. ``made`` are lots of the workshop's own that came out of those batches and were followed."""

    lot: Lot
    reached: tuple[BatchReached, ...]
    made: tuple[Lot, ...]
    corrections: tuple[TracedCorrection, ...]
    unknown: tuple[LotUse, ...] = ()  # weighings of the same material of which no lot is known


@dataclass(frozen=True, slots=True)
class LotInBatch:
    """A lot that is in a batch. ``batch`` is where it was drawn: the batch asked for, or one a premix came from."""

    batch: str
    use: LotUse
    lot: Lot | None  # None: weighed without a lot, or under a name nothing was received under


@dataclass(frozen=True, slots=True)
class BackwardTrace:
    """What a batch was made of. ``container`` 0: the whole batch; ``sent`` then has every dispatch."""

    batch: BatchLine
    container: int
    sent: tuple[Dispatch, ...]
    here: tuple[int, ...]  # of the whole batch, the containers no dispatch note names
    inputs: tuple[LotInBatch, ...]
    corrections: tuple[TracedCorrection, ...]


def forward(journal: Journal, lot: str) -> ForwardTrace:
    """Every batch that holds something of ``lot``, also by way of the workshop's own lots. Raises NoSuchLot."""
    with journal.reading() as c:
        asked = _lots(c, [lot]).get(lot)
        if asked is None:
            raise no_lot(lot)
        made: dict[str, Lot] = {}
        uses: dict[str, list[LotUse]] = {}
        ask = [lot]
        while ask:
            new = [u for u in _uses(c, USE.c.lot, ask) if u.used > 0 or u.spoiled > 0]
            batches = [b for b in dict.fromkeys(u.batch for u in new) if b not in uses]
            for use in new:
                uses.setdefault(use.batch, []).append(use)
            own = [x for x in _made_in(c, batches) if x.lot not in made and x.lot != lot]
            made.update({x.lot: x for x in own})
            ask = [x.lot for x in own]
        lines = _batches(c, uses)
        sent = _sent(c, uses)
        corrections = _corrections(c, list(sent), [lot, *made])
        materials = {asked.material, *(x.material for x in made.values())}
        unknown = [u for u in _uses(c, USE.c.lot, [""]) if u.material in materials and u.used > 0]
    reached = tuple(
        BatchReached(line, tuple(uses[line.batch]), out := tuple(sent.get(line.batch, ())), _here(line, out))
        for line in lines
    )
    return ForwardTrace(asked, reached, tuple(made.values()), corrections, tuple(unknown))


def back(journal: Journal, code: str) -> BackwardTrace:
    """Every lot in a batch or in one container (``batch/7``), packaging and premixes' own lots included.
    ``code`` may have the batch's name or the code from its label. Raises NoSuchBatch."""
    name, number = parted(code)
    line = journal.named(name)
    if number > line.containers:
        raise NoSuchBatch(
            tr(
                "Batch {batch} has {containers}; there is no number {number}.",
                batch=line.batch,
                containers=tr_n("{n} container", "{n} containers", n=line.containers),
                number=number,
            )
        )
    with journal.reading() as c:
        inputs: list[LotInBatch] = []
        seen: set[str] = set()
        ask = [line.batch]
        while ask:
            seen.update(ask)
            uses = [u for u in _uses(c, USE.c.batch, ask) if u.used > 0 or u.spoiled > 0]
            known = _lots(c, [u.lot for u in uses])
            inputs += [LotInBatch(u.batch, u, known.get(u.lot)) for u in uses]
            own = (x.made_in for x in known.values() if x.made_in)
            ask = [b for b in dict.fromkeys(own) if b not in seen]
        all_sent = _sent(c, [line.batch])[line.batch]
        corrections = _corrections(c, list(seen), [])
    sent = tuple(s for s in all_sent if not number or number in s.containers)
    return BackwardTrace(line, number, sent, _here(line, all_sent), tuple(inputs), corrections)


def parted(code: str) -> tuple[str, int]:
    """A batch's name or code, and the container's number; 0 where none is named."""
    match = re.fullmatch(r"(.+)/([1-9]\d{0,6})", code.strip())
    return (match[1], int(match[2])) if match else (code.strip(), 0)


def recipients(found: ForwardTrace) -> dict[str, list[Dispatch]]:
    """Whom to call, each with what they have."""
    out: dict[str, list[Dispatch]] = {}
    for reached in found.reached:
        for sent in reached.sent:
            out.setdefault(sent.to, []).append(sent)
    return dict(sorted(out.items()))


def ranges(numbers: Sequence[int]) -> str:
    """Container numbers in few words: 1–4, 7, 9–12."""
    parts: list[list[int]] = []
    for number in sorted(numbers):
        if parts and number == parts[-1][1] + 1:
            parts[-1][1] = number
        else:
            parts.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in parts)


def gone_of(journal: Journal, batch: str) -> frozenset[int]:
    """The numbers of the containers of one batch that a dispatch note names."""
    with journal.reading() as c:
        return _gone(_sent(c, [batch])[batch])


def _gone(sent: Iterable[Dispatch]) -> frozenset[int]:
    return frozenset(n for s in sent for n in s.containers)


def _here(batch: BatchLine, sent: Iterable[Dispatch]) -> tuple[int, ...]:
    gone = _gone(sent)
    return tuple(n for n in range(1, batch.containers + 1) if n not in gone)


def _chunks(names: Iterable[str]) -> list[list[str]]:
    wanted = list(dict.fromkeys(names))
    return [wanted[n : n + CHUNK] for n in range(0, len(wanted), CHUNK)]


def _uses(c: Connection, by: Column[str], names: Iterable[str]) -> list[LotUse]:
    rows = (
        r for chunk in _chunks(names) for r in c.execute(select(USE).where(by.in_(chunk)).order_by(USE.c.seq))
    )
    return [LotUse(r.batch, r.line, r.lot, r.material, r.unit, r.used, r.spoiled) for r in rows]


def _lots(c: Connection, names: Iterable[str]) -> dict[str, Lot]:
    rows = (r for chunk in _chunks(names) for r in c.execute(select(LOT).where(LOT.c.lot.in_(chunk))))
    return {r.lot: lot_of_row(r) for r in rows}


def _made_in(c: Connection, batches: Iterable[str]) -> list[Lot]:
    chunks = _chunks(batches)
    return [lot_of_row(r) for chunk in chunks for r in c.execute(select(LOT).where(LOT.c.made_in.in_(chunk)))]


def _batches(c: Connection, names: Iterable[str]) -> list[BatchLine]:
    rows = [r for chunk in _chunks(names) for r in c.execute(select(BATCH).where(BATCH.c.batch.in_(chunk)))]
    return [batch_line(r) for r in sorted(rows, key=lambda r: -r.seq)]


def _sent(c: Connection, batches: Iterable[str]) -> dict[str, list[Dispatch]]:
    out: dict[str, list[Dispatch]] = {name: [] for name in batches}
    for chunk in _chunks(out):
        query = select(DISPATCH).where(DISPATCH.c.batch.in_(chunk)).order_by(DISPATCH.c.batch, DISPATCH.c.n)
        for r in c.execute(query):
            out[r.batch].append(Dispatch(r.batch, r.n, r.first, r.last, r.to, r.on, r.note))
    return out


def _corrections(c: Connection, batches: Iterable[str], lots: Iterable[str]) -> tuple[TracedCorrection, ...]:
    """Corrections in these batches, and every one that took one of these lots away or put it in place."""
    found: dict[tuple[str, int], TracedCorrection] = {}
    conditions: list[ColumnElement[bool]] = [CORRECTION.c.batch.in_(chunk) for chunk in _chunks(batches)]
    for chunk in _chunks(lots):
        named = or_(CORRECTION.c.old.in_(chunk), CORRECTION.c.new.in_(chunk))
        conditions.append((CORRECTION.c.field == "lot") & named)
    for condition in conditions:
        for r in c.execute(select(CORRECTION).where(condition)):
            found[r.batch, r.n] = TracedCorrection(r.batch, r.of_n, r.field, r.old, r.new, r.reason, r.by)
    return tuple(found[key] for key in sorted(found))
