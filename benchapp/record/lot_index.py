"""The index of lots and of what each batch drew from them."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, bindparam, insert, select, update

from benchapp import events as ev
from benchapp.record.draws import Draw
from benchapp.record.lots import NOTHING, Lot, after, drawn, received
from benchapp.record.stored_event import EventPosition
from benchapp.record.tables import LOT, USE

# Built once: putting a statement together costs more than running it. Names with "the_" say which row.
_USE_ROW = (
    (USE.c.batch == bindparam("the_batch"))
    & (USE.c.line == bindparam("the_line"))
    & (USE.c.lot == bindparam("the_lot"))
)
_THE_LOT = select(LOT).where(LOT.c.lot == bindparam("the_lot"))
_NEW_LOT, _CHANGE_LOT = insert(LOT), update(LOT).where(LOT.c.lot == bindparam("the_lot"))
_NEW_USE, _CHANGE_USE, _THE_USE = insert(USE), update(USE).where(_USE_ROW), select(USE).where(_USE_ROW)


class LotIndex:
    """Keeps the rows of LOT and USE of one connection. What changes is remembered and written by ``flush``, each row
    once however often it was drawn from; until then nobody else sees it. ``empty``: the tables are, and what is not
    remembered is not looked up in them."""

    def __init__(self, c: Connection, empty: bool = False) -> None:
        self._c = c
        self._empty = empty
        self._lots: dict[str, Lot | None] = {}
        self._uses: dict[tuple[str, str, str], dict[str, Any] | None] = {}
        self._drawn: dict[str, list[tuple[float, int]]] = {}  # amounts and places not yet taken off
        self._new_lots: set[str] = set()
        self._changed_lots: set[str] = set()
        self._new_uses: set[tuple[str, str, str]] = set()
        self._changed_uses: set[tuple[str, str, str]] = set()

    def flush(self) -> None:
        """Write what was changed."""
        for lot in list(self._drawn):
            self._lot(lot)
        for statement, rows in (
            (_NEW_LOT, [self._lot_row(name) for name in sorted(self._new_lots)]),
            (_CHANGE_LOT, [self._lot_row(name) | {"the_lot": name} for name in sorted(self._changed_lots)]),
            (_NEW_USE, [self._use_row(key) for key in sorted(self._new_uses)]),
            (_CHANGE_USE, [self._use_row(key) | _which(key) for key in sorted(self._changed_uses)]),
        ):
            if rows:
                self._c.execute(statement, rows)
        for done in (self._new_lots, self._changed_lots, self._new_uses, self._changed_uses):
            done.clear()

    def _lot_row(self, name: str) -> dict[str, Any]:
        lot = self._lots[name]
        return {} if lot is None else row_of_lot(lot)

    def _use_row(self, key: tuple[str, str, str]) -> dict[str, Any]:
        return self._uses[key] or {}

    def receive(self, e: ev.LotReceived) -> None:
        """A delivery; a name stands for the first one that had it."""
        if self._lot(e.lot) is None:
            self._lots[e.lot] = received(e)
            self._new_lots.add(e.lot)

    def receive_otherwise(self, was: ev.LotReceived, now: ev.LotReceived) -> None:
        """A delivery that had been recorded wrongly."""
        known = self._lot(was.lot)
        if known is None or now.lot != was.lot or known.quantity != was.quantity:
            return  # a lot's own name is what everything hangs on: it cannot be corrected
        more = 0.0 if known.counted_at else now.quantity - was.quantity
        self._keep(
            dataclasses.replace(
                received(now), left=round(known.left + more, 4), used_at=known.used_at, counted_at=known.counted_at, why=known.why,
                # What was said of the lot since stands.
                opened=now.opened if known.opened == was.opened else known.opened,
                state=now.state if (known.state, known.why) == (was.state, "") else known.state,
            )
        )  # fmt: skip

    def open_otherwise(self, was: ev.LotOpened, now: ev.LotOpened) -> None:
        """An opening that had been recorded wrongly; where another stands, that one does."""
        known = self._lot(was.lot)
        if known is not None and now.lot == was.lot and known.opened == was.on:
            self._keep(dataclasses.replace(known, opened=now.on))

    def change(self, at: EventPosition, e: ev.LotOpened | ev.LotJudged | ev.LotCounted) -> None:
        """A lot was opened, judged or counted."""
        known = self._lot(e.lot)
        if known is not None:
            self._keep(after(known, e, at.seq))

    def draw(self, at: EventPosition, draw: Draw) -> None:
        """Something was taken out of a lot, or it was taken in hand."""
        key = (at.batch, draw.line, draw.lot)
        row = self._use(key)
        known = self._met(draw.lot) if draw.lot and (draw.used or draw.spoiled or not draw.material) else None
        if row is None:
            named = draw.material or (known.material if known else "")
            self._uses[key] = {
                "batch": at.batch, "line": draw.line, "lot": draw.lot, "material": named, "unit": draw.unit,
                "used": round(draw.used, 4), "spoiled": round(draw.spoiled, 4), "seq": at.seq,
            }  # fmt: skip
            self._new_uses.add(key)
        else:
            row["used"] = round(row["used"] + draw.used, 4)
            row["spoiled"] = round(row["spoiled"] + draw.spoiled, 4)
            row["seq"] = max(row["seq"], at.seq)
            if key not in self._new_uses:
                self._changed_uses.add(key)
        if known is not None and (draw.used or draw.spoiled):
            self._drawn.setdefault(draw.lot, []).append((draw.used + draw.spoiled, at.seq))

    def _use(self, key: tuple[str, str, str]) -> dict[str, Any] | None:
        if key not in self._uses:
            row = None if self._empty else self._c.execute(_THE_USE, _which(key)).first()
            self._uses[key] = None if row is None else dict(row._mapping)
        return self._uses[key]

    def _lot(self, lot: str) -> Lot | None:
        """A lot as it stands now."""
        known, amounts = self._met(lot), self._drawn.pop(lot, None)
        if known is not None and amounts:
            self._keep(drawn(known, amounts))
        return self._lots[lot]

    def _met(self, lot: str) -> Lot | None:
        """A lot without what was drawn from it since it was looked at last."""
        if lot not in self._lots:
            row = None if self._empty else self._c.execute(_THE_LOT, {"the_lot": lot}).first()
            self._lots[lot] = None if row is None else lot_of_row(row)
        return self._lots[lot]

    def _keep(self, lot: Lot) -> None:
        self._lots[lot.lot] = lot
        if lot.lot not in self._new_lots:
            self._changed_lots.add(lot.lot)


def _which(key: tuple[str, str, str]) -> dict[str, str]:
    return dict(zip(("the_batch", "the_line", "the_lot"), key, strict=True))


def row_of_lot(lot: Lot) -> dict[str, Any]:
    """A lot as a row of LOT."""
    fields: dict[str, Any] = {name: getattr(lot, name) for name in _LOT_FIELDS}
    live = lot.state != "used up" and (lot.on_tap or lot.left >= NOTHING)
    return {**fields, "documents": json.dumps(lot.documents), "live": live}


def lot_of_row(row: Sequence[Any]) -> Lot:
    """The lot again."""
    fields = dict(zip(_LOT_COLUMNS, row, strict=True))
    fields["documents"] = tuple(json.loads(fields["documents"]))
    del fields["live"]
    return Lot(**fields)


_LOT_COLUMNS = tuple(column.name for column in LOT.columns)
_LOT_FIELDS = tuple(f.name for f in dataclasses.fields(Lot))
