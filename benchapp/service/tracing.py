"""Tracing as sheets: where a lot went, what is in a batch or a container, whom to call about a lot."""

from __future__ import annotations

import time
from collections.abc import Iterable

from benchapp.record.journal import BatchLine
from benchapp.record.tracing import (
    BackwardTrace,
    BatchReached,
    Dispatch,
    ForwardTrace,
    LotInBatch,
    TracedCorrection,
    back,
    forward,
    ranges,
    recipients,
)
from benchapp.service.matter import Matter, Sheet
from benchapp.service.wording import amount


class Tracing(Matter):
    """From a lot to whoever has something of it, and back."""

    def trace(self, what: str) -> Sheet:
        """A lot forward, a batch or one of its containers back. Raises NoSuchBatch."""
        if self.records.lots_named(what):
            return _forward(forward(self.journal, what))
        return _back(back(self.journal, what))

    def trace_batch(self, batch: str) -> Sheet:
        """What a batch was made of, and where it went. Raises NoSuchBatch."""
        return _back(back(self.journal, batch))

    def recall(self, lot: str) -> Sheet:
        """The list to work through with a telephone, and how long it took to draw up. Raises NoSuchLot."""
        began = time.perf_counter()
        found, now = forward(self.journal, lot), self.journal.wall()
        calls = recipients(found)
        took_s = time.perf_counter() - began
        at = now[:16].replace("T", " ")
        rows = tuple(
            (to, s.batch, f"{s.first}–{s.last}" if s.last > s.first else str(s.first), str(_pieces(s)), s.on, s.note)
            for to, sents in calls.items()
            for s in sents
        )  # fmt: skip
        gone = sum(_pieces(s) for sents in calls.values() for s in sents)
        return Sheet(
            (f"Recall of lot {lot} ({found.lot.name}), drawn up {at} in {took_s:.2f} s",),
            ("call", "batch", "containers", "pieces", "sent on", "note"),
            rows,
            (
                f"{len(calls)} to call about {gone} containers of {len(found.reached)} batches.",
                *(f"{r.batch.batch} ({_state(r.batch)}): {_left_here(r)}" for r in found.reached),
                *_notes(found.corrections, found),
            ),
        )


def _forward(found: ForwardTrace) -> Sheet:
    lot = found.lot
    stock = (
        f"on tap since {lot.received}"
        if lot.on_tap
        else f"{amount(lot.quantity, lot.unit)} received {lot.received}, {amount(lot.left, lot.unit)} left"
    )
    origin = f"from {lot.supplier or 'nobody named'}, their lot {lot.supplier_lot or '?'}"
    head = f"Lot {lot.lot}: {lot.name} {origin}, {stock}, {lot.state}"
    rows = tuple(
        (
            r.batch.batch, ", ".join(f"{amount(u.used, u.unit)} as {u.line}" for u in r.uses), _state(r.batch),
            "; ".join(_sent(s) for s in r.sent), f"{ranges(r.here)} still here" if r.here else "",
        )
        for r in found.reached
    )  # fmt: skip
    nowhere = () if rows else ("It is in no batch yet.",)
    titles = ("batch", "drawn", "", "containers sent", "")
    return Sheet((head,), titles, rows, (*nowhere, *_notes(found.corrections, found)))


def _back(found: BackwardTrace) -> Sheet:
    b = found.batch
    what = f"Container {found.container} of batch {b.batch}" if found.container else f"Batch {b.batch}"
    head = [
        f"{what}: {b.procedure}, made by {b.maker}, begun {b.wall[:16].replace('T', ' ')}, {_state(b)}",
        *(f"{_sent(s)} {s.note}".rstrip() for s in found.sent),
    ]
    if b.rehearsal:
        head.append(
            "A rehearsal draws from no lot of the store; its lots are made up, and nothing of it leaves."
        )
    elif not found.sent:
        head.append("No dispatch note names it.")
    rows = () if b.rehearsal else tuple(_input(i, b) for i in found.inputs)
    unknown = () if rows or b.rehearsal else ("No lots were written down for it.",)
    titles = ("material", "used", "supplier and their lot", "")
    return Sheet(tuple(head), titles, rows, (*unknown, *_notes(found.corrections)))


def _input(i: LotInBatch, b: BatchLine) -> tuple[str, ...]:
    used = f"{amount(i.use.used, i.use.unit)} of {f'lot {i.use.lot}' if i.use.lot else 'lot unknown'}"
    supplier = f"{i.lot.supplier} {i.lot.supplier_lot}".strip() if i.lot else ""
    return (
        i.lot.name if i.lot else i.use.material,
        used,
        supplier,
        "" if i.batch == b.batch else f"by way of {i.batch}",
    )


def _sent(s: Dispatch) -> str:
    return f"{ranges(range(s.first, s.last + 1))} went to {s.to} on {s.on}"


def _pieces(s: Dispatch) -> int:
    return s.last - s.first + 1


def _state(b: BatchLine) -> str:
    return b.decision or b.end or "unfinished"


def _left_here(reached: BatchReached) -> str:
    if reached.here:
        return f"containers {ranges(reached.here)} are still here. Put them aside."
    return "no container is here. What of it stands in bulk or as a lot of your own, put aside too."


def _notes(corrections: Iterable[TracedCorrection], found: ForwardTrace | None = None) -> list[str]:
    """What was followed through lots of one's own, and what was corrected."""
    made = () if found is None else found.made
    unknown = () if found is None else found.unknown
    return [
        *(
            f"cannot be left out: {u.batch} has {amount(u.used, u.unit)} of {u.material}, lot unknown"
            for u in unknown
        ),
        *(f"followed through your own lot {x.lot} ({x.name}), made in {x.made_in}" for x in made),
        *(
            f"corrected in {x.batch}, event {x.of_n}: {x.field} was {x.old}, is {x.new} ({x.reason}; {x.by})"
            for x in corrections
        ),
    ]
