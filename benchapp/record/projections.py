"""The indexes: what each event changes in them. Written with the event, and the same when rebuilt from the chain."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from sqlalchemy import Connection, bindparam, delete, insert, select, update

from benchapp import events as ev
from benchapp.record.batch_code import batch_code
from benchapp.record.corrections import as_it_stands, corrected, may_correct
from benchapp.record.lot_index import Draw, LotIndex
from benchapp.record.reconciliation import more_product_g
from benchapp.record.stored_event import EventPosition, stored_of
from benchapp.record.tables import BATCH, CORRECTION, DISPATCH, EVENT, INDEXES

#: Decisions after which a batch waits no more.
FINAL = ("released", "rejected")


# Built once: putting a statement together costs more than running it. Names with "the_" say which row.
_BATCH_ROW = BATCH.c.batch == bindparam("the_batch")
_START_BATCH, _CHANGE_BATCH = insert(BATCH), update(BATCH).where(_BATCH_ROW)
_FILL_BATCH = _CHANGE_BATCH.where(BATCH.c.containers < bindparam("the_number"))
_IS_REHEARSAL = select(BATCH.c.rehearsal).where(_BATCH_ROW)


class Projector:
    """Keeps the indexes of one connection in step; earlier events are looked up in ``chain``, usually the same.
    Events have to come in the order of the journal, and ``flush`` after the last.
    ``empty``: nothing is in the indexes yet. ``whole``: every batch comes from its first event on, so that what was in
    hand is remembered and not looked up. ``lots``: what else keeps the index of lots."""

    def __init__(
        self,
        c: Connection,
        chain: Connection | None = None,
        empty: bool = False,
        whole: bool = False,
        lots: LotIndex | None = None,
    ) -> None:
        self._c = c
        self._chain = c if chain is None else chain
        self._rehearsals: dict[str, bool] = {}
        self._lots = LotIndex(c, empty) if lots is None else lots
        self._whole = whole
        self._hands: dict[tuple[str, str, str], str] = {}

    def take(self, at: EventPosition, event: ev.Event) -> None:
        """Write into the indexes what this event changes."""
        change = _CHANGES.get(type(event))
        if change is not None:
            change(self, at, event)

    def flush(self) -> None:
        """Write what is still only remembered."""
        self._lots.flush()

    # --- batches -------------------------------------------------------------------------------------

    def _started(self, at: EventPosition, e: ev.MakeStarted) -> None:
        if self._c.execute(select(BATCH.c.seq).where(BATCH.c.batch == at.batch)).first():
            return  # the first stands
        stem, number = stem_of(at.batch)
        self._c.execute(
            _START_BATCH,
            {"batch": at.batch, "seq": at.seq, "code": batch_code(at.batch), "stem": stem, "number": number, "procedure": e.procedure,
             "maker": e.maker, "batch_g": e.batch_g, "wall": at.wall, "rehearsal": e.rehearsal, "end": "",
             "ended": "", "containers": 0, "decision": "", "waiting": False},
        )  # fmt: skip

    def _revised(self, at: EventPosition, e: ev.TargetsRevised) -> None:
        self._batch(at.batch, grown_g=e.batch_g)

    def _finished(self, at: EventPosition, e: ev.MakeFinished) -> None:
        waiting = not self._rehearsed(at.batch)
        self._batch(at.batch, end="finished", ended=at.wall, product_g=e.product_g, waiting=waiting)

    def _abandoned(self, at: EventPosition, _: ev.MakeAbandoned) -> None:
        self._batch(at.batch, end="abandoned", ended=at.wall)

    def _filled(self, at: EventPosition, e: ev.BottleFilled) -> None:
        number = {"the_batch": at.batch, "the_number": e.number, "containers": e.number}
        self._c.execute(_FILL_BATCH, number)

    def _decided(self, at: EventPosition, e: ev.BatchDecided) -> None:
        values: dict[str, Any] = {"decision": e.decision}
        if e.decision in FINAL:
            values["waiting"] = False
        self._batch(at.batch, **values)

    def _batch(self, batch: str, **values: Any) -> None:
        self._c.execute(_CHANGE_BATCH, {"the_batch": batch, **values})

    def _rehearsed(self, batch: str) -> bool:
        if batch not in self._rehearsals:
            found = self._c.execute(_IS_REHEARSAL, {"the_batch": batch}).scalar()
            if found is None:
                return False
            self._rehearsals[batch] = bool(found)
        return self._rehearsals[batch]

    # --- lots ----------------------------------------------------------------------------------------

    def _received(self, _: EventPosition, e: ev.LotReceived) -> None:
        self._lots.receive(e)

    def _changed(self, at: EventPosition, e: ev.LotOpened | ev.LotJudged | ev.LotCounted) -> None:
        self._lots.change(at, e)

    # --- what was drawn from them --------------------------------------------------------------------

    def _in_hand(self, at: EventPosition, e: ev.LotTaken) -> None:
        self._hands[at.batch, e.step, e.line] = e.lot
        if not self._rehearsed(at.batch):
            self._lots.draw(at, Draw(e.line, e.lot, material=e.material))

    def _weighed(self, at: EventPosition, e: ev.WeightTaken, sign: int = 1) -> None:
        if not self._rehearsed(at.batch):
            lot = e.lot or self._hand(at, e)
            self._lots.draw(at, Draw(e.line, lot, used=sign * e.net_g, material="" if lot else e.line))

    def _hand(self, at: EventPosition, e: ev.WeightTaken) -> str:
        """The lot that was taken in hand for a weighing that names none, "" where it is not known."""
        known = self._hands.get((at.batch, e.step, e.line))
        if self._whole or known is not None:
            return known or ""
        earlier = (
            select(EVENT)
            .where(EVENT.c.batch == at.batch, EVENT.c.n < at.n, EVENT.c.kind == ev.LotTaken.__name__)
            .order_by(EVENT.c.n.desc())
        )
        taken = (stored_of(row).event for row in self._chain.execute(earlier))
        return next(
            (t.lot for t in taken if isinstance(t, ev.LotTaken) and (t.step, t.line) == (e.step, e.line)), ""
        )

    def _tried(self, at: EventPosition, e: ev.TrialDosed, sign: int = 1) -> None:
        if e.lot and not self._rehearsed(at.batch):
            self._lots.draw(at, Draw(e.line, e.lot, spoiled=sign * e.mass_g))

    def _removed(self, at: EventPosition, e: ev.MaterialRemoved, sign: int = 1) -> None:
        lot = self._lots.in_hand(at.batch, e.line)
        if lot:
            self._lots.draw(at, Draw(e.line, lot, spoiled=sign * e.removed_g))

    def _spilled(self, at: EventPosition, e: ev.MassLost) -> None:
        """What was spilled of the line being poured is in no weighing; all else was drawn when it was weighed."""
        gone = dict(e.lines).get(e.pouring, 0.0)
        if gone and not self._rehearsed(at.batch):
            lot = self._lots.in_hand(at.batch, e.pouring)
            self._lots.draw(at, Draw(e.pouring, lot, spoiled=gone, material="" if lot else e.pouring))

    def _late_drop(self, at: EventPosition, e: ev.LateDropFound, sign: int = 1) -> None:
        if not self._rehearsed(at.batch):
            lot = self._lots.in_hand(at.batch, e.line)
            self._lots.draw(at, Draw(e.line, lot, used=sign * e.drop_g, material="" if lot else e.line))

    def _pieces(self, at: EventPosition, e: ev.PiecesUsed, sign: int = 1) -> None:
        if not self._rehearsed(at.batch):
            used, spoiled = sign * (e.pieces - e.spoiled), sign * e.spoiled
            self._lots.draw(at, Draw(e.material, e.lot, used, spoiled, "pieces", e.material))

    def _taken_back(self, at: EventPosition, e: ev.ActTakenBack) -> None:
        """Weights that were only said, since the act began, were never drawn."""
        recent = (
            select(EVENT)
            .where(EVENT.c.batch == at.batch, EVENT.c.n < at.n)
            .where(EVENT.c.kind.in_(("ActBegan", "WeightTaken")))
            .order_by(EVENT.c.n.desc())
        )
        for row in self._chain.execute(recent):
            then = stored_of(row)
            event = then.event
            if isinstance(event, ev.ActBegan) and (event.step, event.act) == (e.step, e.act):
                return
            if isinstance(event, ev.WeightTaken) and (event.step, event.act) == (e.step, e.act):
                self._weighed(then.position, event, -1)

    # --- dispatch and corrections --------------------------------------------------------------------

    def _dispatched(self, at: EventPosition, e: ev.Dispatched) -> None:
        self._c.execute(insert(DISPATCH), {"batch": at.batch, "n": at.n, **_dispatch(e)})

    def _corrected(self, at: EventPosition, e: ev.Corrected) -> None:
        earlier = (
            select(CORRECTION)
            .where(CORRECTION.c.batch == at.batch, CORRECTION.c.of_n == e.n)
            .order_by(CORRECTION.c.n)
        )
        before = [
            ev.Corrected(
                at_s=0.0, n=r.of_n, field=r.field, old=r.old, new=r.new, reason=r.reason, by=r.by
            )
            for r in self._c.execute(earlier)
        ]  # fmt: skip
        self._c.execute(
            insert(CORRECTION),
            {"batch": at.batch, "n": at.n, "of_n": e.n, "field": e.field, "old": e.old, "new": e.new,
             "reason": e.reason, "by": e.by},
        )  # fmt: skip
        named = select(EVENT).where(EVENT.c.batch == at.batch, EVENT.c.n == e.n, EVENT.c.n < at.n)
        row = self._chain.execute(named).first()
        if row is None:
            return
        then = stored_of(row)
        was = as_it_stands(then.event, before)
        if may_correct(was, e):
            self._replace(then.position, was, corrected(was, e.field, e.new))

    def _replace(self, at: EventPosition, was: ev.Event, now: ev.Event) -> None:
        if isinstance(was, ev.WeightTaken) and isinstance(now, ev.WeightTaken):
            self._weighed(at, was, -1)
            self._weighed(at, now)
            self._more_product(at, was, now)
        elif isinstance(was, ev.BottleFilled | ev.SampleTaken | ev.MakeFinished):
            self._more_product(at, was, now)
        elif isinstance(was, ev.LateDropFound) and isinstance(now, ev.LateDropFound):
            self._late_drop(at, was, -1)
            self._late_drop(at, now)
        elif isinstance(was, ev.MaterialRemoved) and isinstance(now, ev.MaterialRemoved):
            self._removed(at, was, -1)
            self._removed(at, now)
        elif isinstance(was, ev.PiecesUsed) and isinstance(now, ev.PiecesUsed):
            self._pieces(at, was, -1)
            self._pieces(at, now)
        elif isinstance(was, ev.TrialDosed) and isinstance(now, ev.TrialDosed):
            self._tried(at, was, -1)
            self._tried(at, now)
        elif isinstance(now, ev.Dispatched):
            which = (DISPATCH.c.batch == at.batch) & (DISPATCH.c.n == at.n)
            self._c.execute(update(DISPATCH).where(which).values(**_dispatch(now)))
        elif isinstance(was, ev.LotReceived) and isinstance(now, ev.LotReceived):
            self._lots.receive_otherwise(was, now)

    def _more_product(self, at: EventPosition, was: ev.Event, now: ev.Event) -> None:
        row = self._c.execute(
            select(BATCH.c.product_g, BATCH.c.containers).where(BATCH.c.batch == at.batch)
        ).first()
        if row is None or row.product_g is None:
            return
        if isinstance(was, ev.MakeFinished) and isinstance(now, ev.MakeFinished):
            more = now.product_g - was.product_g
        else:
            more = more_product_g(was, now, row.containers > 0)
        self._batch(at.batch, product_g=round(row.product_g + more, 3))


_CHANGES: dict[type[ev.Event], Callable[[Projector, EventPosition, Any], None]] = {
    ev.MakeStarted: Projector._started,
    ev.TargetsRevised: Projector._revised,
    ev.MakeFinished: Projector._finished,
    ev.MakeAbandoned: Projector._abandoned,
    ev.BottleFilled: Projector._filled,
    ev.BatchDecided: Projector._decided,
    ev.LotReceived: Projector._received,
    ev.LotOpened: Projector._changed,
    ev.LotJudged: Projector._changed,
    ev.LotCounted: Projector._changed,
    ev.LotTaken: Projector._in_hand,
    ev.WeightTaken: Projector._weighed,
    ev.TrialDosed: Projector._tried,
    ev.MaterialRemoved: Projector._removed,
    ev.MassLost: Projector._spilled,
    ev.LateDropFound: Projector._late_drop,
    ev.PiecesUsed: Projector._pieces,
    ev.ActTakenBack: Projector._taken_back,
    ev.Dispatched: Projector._dispatched,
    ev.Corrected: Projector._corrected,
}
#: The kinds of event that change an index.
PROJECTED = tuple(kind.__name__ for kind in _CHANGES)


def rebuild(chain: Connection, into: Connection) -> None:
    """Write the indexes of ``into`` anew from the chain of ``chain`` (the two may be one). Within the caller's
    transaction."""
    for table in INDEXES.sorted_tables:
        into.execute(delete(table))
    projector = Projector(into, chain, empty=True, whole=True)
    wanted = select(EVENT).where(EVENT.c.kind.in_(PROJECTED)).order_by(EVENT.c.seq)
    for part in chain.execute(wanted).partitions(2000):
        for row in part:
            stored = stored_of(row)
            projector.take(stored.position, stored.event)
    projector.flush()


def stem_of(batch: str) -> tuple[str, int]:
    """A batch's name without its last number, and that number; 0 where there is none."""
    match = re.fullmatch(r"(.+)-(\d{1,9})", batch)
    return (match[1], int(match[2])) if match else (batch, 0)


def _dispatch(e: ev.Dispatched) -> dict[str, Any]:
    return {"first": e.first, "last": e.last, "to": e.to, "on": e.on, "note": e.note}
