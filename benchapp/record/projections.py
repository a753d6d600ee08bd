"""The indexes: what each event changes in them. Written with the event, and the same when rebuilt from the chain."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from sqlalchemy import Connection, bindparam, delete, insert, select, update

from benchapp import events as ev
from benchapp.record.batch_code import batch_code
from benchapp.record.corrections import as_it_stands, corrected, may_correct
from benchapp.record.draws import NAMING, OF_DRAWS, Draw, LotsInHand, drawn_by, draws_of, hands_in
from benchapp.record.lot_index import LotIndex
from benchapp.record.reconciliation import more_product_g
from benchapp.record.stored_event import EventPosition, StoredEvent, stored_of
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
        self._hands: dict[str, LotsInHand] = {}

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
        self._named(at, e)
        if not self._rehearsed(at.batch):
            self._lots.draw(at, Draw(e.line, e.lot, material=e.material))

    def _drew(self, at: EventPosition, e: ev.Event) -> None:
        if not self._rehearsed(at.batch):
            for draw in draws_of(e, lambda of: self._hands_of(at).of(of)):
                self._lots.draw(at, draw)
        self._named(at, e)

    def _named(self, at: EventPosition, e: ev.Event) -> None:
        if self._whole or at.batch in self._hands:
            self._hands_of(at).take(e)

    def _hands_of(self, at: EventPosition) -> LotsInHand:
        """What that batch has in hand there."""
        if at.batch not in self._hands:
            self._hands[at.batch] = hands_in([] if self._whole else self._named_before(at))
        return self._hands[at.batch]

    def _named_before(self, at: EventPosition) -> list[StoredEvent]:
        """What named the lots of a batch; where something was taken back or corrected, all that says which of it counts."""
        few = self._before(at, (*NAMING, ev.ActTakenBack, ev.Corrected))
        return (
            self._before(at) if any(isinstance(s.event, ev.ActTakenBack | ev.Corrected) for s in few) else few
        )

    def _before(self, at: EventPosition, kinds: tuple[type[ev.Event], ...] = OF_DRAWS) -> list[StoredEvent]:
        of_it = (
            EVENT.c.kind.in_([kind.__name__ for kind in kinds])
            & (EVENT.c.batch == at.batch)
            & (EVENT.c.n < at.n)
        )
        return [stored_of(row) for row in self._chain.execute(select(EVENT).where(of_it).order_by(EVENT.c.n))]

    def _drew_otherwise(self, at: EventPosition, e: ev.Event) -> None:
        """What a batch drew is other than it was by an event that takes back or corrects earlier ones."""
        if self._rehearsed(at.batch):
            return
        before = self._before(at)
        since = [*before, StoredEvent(*at, e, "")]
        then, now = drawn_by(before), drawn_by(since)
        for s in before:
            was, stands = then.get(s.n, ()), now.get(s.n, ())
            if was != stands:
                for draw in (*(x.back for x in was), *stands):
                    self._lots.draw(s.position, draw)
        self._hands[at.batch] = hands_in(since)

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
            if isinstance(was, OF_DRAWS):
                self._drew_otherwise(at, e)

    def _replace(self, at: EventPosition, was: ev.Event, now: ev.Event) -> None:
        if isinstance(was, ev.WeightTaken | ev.BottleFilled | ev.SampleTaken | ev.MakeFinished):
            self._more_product(at, was, now)
        elif isinstance(now, ev.Dispatched):
            which = (DISPATCH.c.batch == at.batch) & (DISPATCH.c.n == at.n)
            self._c.execute(update(DISPATCH).where(which).values(**_dispatch(now)))
        elif isinstance(was, ev.LotReceived) and isinstance(now, ev.LotReceived):
            self._lots.receive_otherwise(was, now)
        elif isinstance(was, ev.LotOpened) and isinstance(now, ev.LotOpened):
            self._lots.open_otherwise(was, now)

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
    ev.WeightTaken: Projector._drew,
    ev.TrialDosed: Projector._drew,
    ev.MaterialRemoved: Projector._drew,
    ev.MassLost: Projector._drew,
    ev.LateDropFound: Projector._drew,
    ev.PiecesUsed: Projector._drew,
    ev.ActTakenBack: Projector._drew_otherwise,
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
