"""The indexes: what each event changes in them. Written with the event, and the same when rebuilt from the chain."""

from __future__ import annotations

import dataclasses
import json
import re
from collections.abc import Callable
from typing import Any

from sqlalchemy import Connection, Row, bindparam, delete, insert, select, update

from benchapp import events as ev
from benchapp.record.batch_code import batch_code
from benchapp.record.chain import event_of, row_of
from benchapp.record.corrections import as_it_stands, corrected, may_correct
from benchapp.record.lots import NOTHING, Lot, after, drawn, received
from benchapp.record.tables import BATCH, CORRECTION, DISPATCH, EVENT, INDEXES, LOT, USE

#: Decisions after which a batch waits no more.
FINAL = ("released", "rejected")


@dataclasses.dataclass(frozen=True, slots=True)
class Place:
    """Where an event stands: in the whole journal, in its batch, and when it was written."""

    seq: int
    batch: str
    n: int
    wall: str


# Built once: putting a statement together costs more than running it. Names with "the_" say which row.
_BATCH_ROW = BATCH.c.batch == bindparam("the_batch")
_USE_ROW = (
    (USE.c.batch == bindparam("the_batch"))
    & (USE.c.line == bindparam("the_line"))
    & (USE.c.lot == bindparam("the_lot"))
)
_START_BATCH, _CHANGE_BATCH = insert(BATCH), update(BATCH).where(_BATCH_ROW)
_FILL_BATCH = _CHANGE_BATCH.where(BATCH.c.containers < bindparam("the_number"))
_IS_REHEARSAL = select(BATCH.c.rehearsal).where(_BATCH_ROW)
_THE_LOT = select(LOT).where(LOT.c.lot == bindparam("the_lot"))
_NEW_LOT, _CHANGE_LOT = insert(LOT), update(LOT).where(LOT.c.lot == bindparam("the_lot"))
_NEW_USE, _CHANGE_USE, _THE_USE = insert(USE), update(USE).where(_USE_ROW), select(USE).where(_USE_ROW)
_IN_HAND = (
    select(USE.c.lot)
    .where(USE.c.batch == bindparam("the_batch"), USE.c.line == bindparam("the_line"))
    .order_by(USE.c.seq.desc())
    .limit(1)
)


class Projector:
    """Keeps the indexes of one connection in step; earlier events are looked up in ``chain``, usually the same.
    Events have to come in the order of the journal."""

    def __init__(self, c: Connection, chain: Connection | None = None) -> None:
        self._c = c
        self._chain = c if chain is None else chain
        self._rehearsals: dict[str, bool] = {}

    def take(self, at: Place, event: ev.Event) -> None:
        """Write into the indexes what this event changes."""
        change = _CHANGES.get(type(event))
        if change is not None:
            change(self, at, event)

    # --- batches -------------------------------------------------------------------------------------

    def _started(self, at: Place, e: ev.MakeStarted) -> None:
        if self._c.execute(select(BATCH.c.seq).where(BATCH.c.batch == at.batch)).first():
            return  # the first stands
        stem, number = stem_of(at.batch)
        self._c.execute(
            _START_BATCH,
            {"batch": at.batch, "seq": at.seq, "code": batch_code(at.batch), "stem": stem, "number": number, "procedure": e.procedure,
             "maker": e.maker, "batch_g": e.batch_g, "wall": at.wall, "rehearsal": e.rehearsal, "end": "",
             "ended": "", "containers": 0, "decision": "", "waiting": False},
        )  # fmt: skip

    def _finished(self, at: Place, e: ev.MakeFinished) -> None:
        waiting = not self._rehearsed(at.batch)
        self._batch(at.batch, end="finished", ended=at.wall, product_g=e.product_g, waiting=waiting)

    def _abandoned(self, at: Place, _: ev.MakeAbandoned) -> None:
        self._batch(at.batch, end="abandoned", ended=at.wall)

    def _filled(self, at: Place, e: ev.BottleFilled) -> None:
        number = {"the_batch": at.batch, "the_number": e.number, "containers": e.number}
        self._c.execute(_FILL_BATCH, number)

    def _decided(self, at: Place, e: ev.BatchDecided) -> None:
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

    def _received(self, _: Place, e: ev.LotReceived) -> None:
        if self._lot(e.lot) is None:  # a name stands for the first delivery that had it
            self._c.execute(_NEW_LOT, row_of_lot(received(e)))

    def _changed(self, at: Place, e: ev.LotOpened | ev.LotJudged | ev.LotCounted) -> None:
        known = self._lot(e.lot)
        if known is not None:
            self._keep(after(known, e, at.seq))

    def _lot(self, lot: str) -> Lot | None:
        row = self._c.execute(_THE_LOT, {"the_lot": lot}).first()
        return None if row is None else lot_of_row(row)

    def _keep(self, lot: Lot) -> None:
        self._c.execute(_CHANGE_LOT, {"the_lot": lot.lot, **row_of_lot(lot)})

    # --- what was drawn from them --------------------------------------------------------------------

    def _in_hand(self, at: Place, e: ev.LotTaken) -> None:
        if not self._rehearsed(at.batch):
            self._use(at, e.line, e.lot, e.material, "g", 0.0, 0.0)

    def _weighed(self, at: Place, e: ev.WeightTaken, sign: int = 1) -> None:
        if e.lot and not self._rehearsed(at.batch):
            self._use(at, e.line, e.lot, "", "g", sign * e.net_g, 0.0)

    def _tried(self, at: Place, e: ev.TrialDosed, sign: int = 1) -> None:
        if e.lot and not self._rehearsed(at.batch):
            self._use(at, e.line, e.lot, "", "g", 0.0, sign * e.mass_g)

    def _removed(self, at: Place, e: ev.MaterialRemoved) -> None:
        lot = self._lot_in_hand(at.batch, e.line)
        if lot:
            self._use(at, e.line, lot, "", "g", 0.0, e.removed_g)

    def _late_drop(self, at: Place, e: ev.LateDropFound) -> None:
        lot = self._lot_in_hand(at.batch, e.line)
        if lot:
            self._use(at, e.line, lot, "", "g", e.drop_g, 0.0)

    def _pieces(self, at: Place, e: ev.PiecesUsed, sign: int = 1) -> None:
        if not self._rehearsed(at.batch):
            good = e.pieces - e.spoiled
            self._use(at, e.material, e.lot, e.material, "pieces", sign * good, sign * e.spoiled)

    def _lot_in_hand(self, batch: str, line: str) -> str:
        found = self._c.execute(_IN_HAND, {"the_batch": batch, "the_line": line}).scalar()
        return str(found or "")

    def _use(
        self, at: Place, line: str, lot: str, material: str, unit: str, used: float, spoiled: float
    ) -> None:
        which = {"the_batch": at.batch, "the_line": line, "the_lot": lot}
        row = self._c.execute(_THE_USE, which).first()
        known = self._lot(lot) if lot and (used or spoiled or not material) else None
        if row is None:
            named = material or (known.material if known else "")
            self._c.execute(
                _NEW_USE,
                {"batch": at.batch, "line": line, "lot": lot, "material": named, "unit": unit,
                 "used": round(used, 4), "spoiled": round(spoiled, 4), "seq": at.seq},
            )  # fmt: skip
        else:
            more = {"used": round(row.used + used, 4), "spoiled": round(row.spoiled + spoiled, 4)}
            self._c.execute(_CHANGE_USE, {**which, **more, "seq": max(row.seq, at.seq)})
        if known is not None and (used or spoiled):
            self._keep(drawn(known, used + spoiled, at.seq))

    def _taken_back(self, at: Place, e: ev.ActTakenBack) -> None:
        """Weights that were only said, since the act began, were never drawn."""
        recent = (
            select(EVENT)
            .where(EVENT.c.batch == at.batch, EVENT.c.n < at.n)
            .where(EVENT.c.kind.in_(("ActBegan", "WeightTaken")))
            .order_by(EVENT.c.n.desc())
        )
        for row in self._chain.execute(recent):
            event = event_of(row.text)
            if isinstance(event, ev.ActBegan) and (event.step, event.act) == (e.step, e.act):
                return
            if isinstance(event, ev.WeightTaken) and (event.step, event.act) == (e.step, e.act):
                self._weighed(_place(row), event, -1)

    # --- dispatch and corrections --------------------------------------------------------------------

    def _dispatched(self, at: Place, e: ev.Dispatched) -> None:
        self._c.execute(insert(DISPATCH), {"batch": at.batch, "n": at.n, **_dispatch(e)})

    def _corrected(self, at: Place, e: ev.Corrected) -> None:
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
        was = as_it_stands(event_of(row.text), before)
        if may_correct(was, e):
            self._replace(_place(row), was, corrected(was, e.field, e.new))

    def _replace(self, at: Place, was: ev.Event, now: ev.Event) -> None:
        if isinstance(was, ev.WeightTaken) and isinstance(now, ev.WeightTaken):
            self._weighed(at, was, -1)
            self._weighed(at, now)
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
            self._received_otherwise(was, now)

    def _received_otherwise(self, was: ev.LotReceived, now: ev.LotReceived) -> None:
        known = self._lot(was.lot)
        if known is None or now.lot != was.lot or known.quantity != was.quantity:
            return  # a lot's own name is what everything hangs on: it cannot be corrected
        more = 0.0 if known.counted_at else now.quantity - was.quantity
        self._keep(
            dataclasses.replace(
                known, material=now.material, name=now.name, supplier=now.supplier,
                supplier_lot=now.supplier_lot, quantity=now.quantity, left=round(known.left + more, 4),
                received=now.received, expires=now.expires, code=now.code, made_in=now.made_in,
            )
        )  # fmt: skip


_CHANGES: dict[type[ev.Event], Callable[[Projector, Place, Any], None]] = {
    ev.MakeStarted: Projector._started,
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
    projector = Projector(into, chain)
    wanted = select(EVENT).where(EVENT.c.kind.in_(PROJECTED)).order_by(EVENT.c.seq)
    for part in chain.execute(wanted).partitions(2000):
        for row in part:
            projector.take(_place(row), event_of(row.text))


def stem_of(batch: str) -> tuple[str, int]:
    """A batch's name without its last number, and that number; 0 where there is none."""
    match = re.fullmatch(r"(.+)-(\d{1,9})", batch)
    return (match[1], int(match[2])) if match else (batch, 0)


def row_of_lot(lot: Lot) -> dict[str, Any]:
    """A lot as a row of LOT."""
    fields: dict[str, Any] = {name: getattr(lot, name) for name in _LOT_FIELDS}
    live = lot.state != "used up" and lot.left >= NOTHING
    return {**fields, "documents": json.dumps(lot.documents), "live": live}


def lot_of_row(row: Row[Any]) -> Lot:
    """The lot again."""
    fields = dict(row._mapping)
    documents = tuple(json.loads(fields.pop("documents")))
    del fields["live"]
    return Lot(**fields, documents=documents)


_LOT_FIELDS = tuple(f.name for f in dataclasses.fields(Lot))


def _dispatch(e: ev.Dispatched) -> dict[str, Any]:
    return {"first": e.first, "last": e.last, "to": e.to, "on": e.on, "note": e.note}


def _place(row: Row[Any]) -> Place:
    return Place(row.seq, row.batch, row.n, str(row_of(row.text)["wall"]))
