"""Tracing as sheets: where a lot went, what is in a batch or a container, whom to call about a lot."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import replace

from benchapp.foundation.language import Name, tr, tr_n, translated
from benchapp.record.batch_line import BatchLine
from benchapp.record.correction_words import word_of
from benchapp.record.documents.plain_text import minute
from benchapp.record.errors import NoSuchBatch, no_lot
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
from benchapp.service.wording import REHEARSAL_DRAWS, amount, state_of


class Tracing(Matter):
    """From a lot to whoever has something of it, and back."""

    def trace(self, what: str) -> Sheet:
        """A lot forward, a batch or one of its containers back. Raises NoSuchBatch."""
        if self.records.lots_named(what):
            return self._told(_forward(forward(self.journal, what)))
        try:
            return self.trace_batch(what)
        except NoSuchBatch as error:
            raise error if "/" in what else NoSuchBatch(f"{error} {no_lot(what)}") from error

    def _known_until(self) -> tuple[str, ...]:
        said = self.journal.elsewhere.known_until()
        return (said,) if said else ()

    def _told(self, sheet: Sheet) -> Sheet:
        return replace(sheet, head=(*self.missing_elsewhere(), *sheet.head))

    def lot_traced(self, lot: str) -> ForwardTrace:
        """Where a lot went, as data. Raises NoSuchLot."""
        return forward(self.journal, lot)

    def batch_traced(self, batch: str) -> BackwardTrace:
        """What a batch was made of and where it went, as data. Raises NoSuchBatch."""
        return back(self.journal, batch)

    def trace_batch(self, batch: str) -> Sheet:
        """What a batch was made of, and where it went. Raises NoSuchBatch."""
        return self._told(_back(back(self.journal, batch)))

    def recall(self, lot: str) -> Sheet:
        """The list to work through with a telephone, and how long it took to draw up. Raises NoSuchLot."""
        began = time.perf_counter()
        found = forward(self.journal, lot)
        calls = recipients(found)
        took_s = time.perf_counter() - began
        rows = tuple(
            (Name(to), s.batch, ranges(s.containers), str(len(s.containers)), s.on, Name(s.note))
            for to, sents in calls.items()
            for s in sents
        )  # fmt: skip
        gone = len({(s.batch, n) for sents in calls.values() for s in sents for n in s.containers})
        return Sheet(
            (
                tr(
                    "Recall of lot {lot} ({name}), drawn up {at} in {took_s:.2f} s",
                    lot=lot,
                    name=found.lot.name,
                    at=minute(self.journal.wall()),
                    took_s=took_s,
                ),
                *self.missing_elsewhere(),
                *self._known_until(),
            ),
            (tr("call"), "batch", "containers", "pieces", tr("sent on"), "note"),
            rows,
            (
                tr(
                    "{count} to call about {containers} of {batches}.",
                    count=len(calls),
                    containers=tr_n("{n} container", "{n} containers", n=gone),
                    batches=tr_n("{n} batch", "{n} batches", n=len(found.reached)),
                ),
                *(
                    f"{r.batch.batch} ({translated(state_of(r.batch))}): {_left_here(r)}"
                    for r in found.reached
                ),
                *_notes(found.corrections, found),
            ),
        )


def _forward(found: ForwardTrace) -> Sheet:
    lot = found.lot
    stock = (
        tr("on tap since {received}", received=lot.received)
        if lot.on_tap
        else tr(
            "{amount} received {received}, {amount_2} left",
            amount=amount(lot.quantity, lot.unit),
            received=lot.received,
            amount_2=amount(lot.left, lot.unit),
        )
    )
    origin = tr(
        "from {supplier}, their lot {supplier_lot}",
        supplier=lot.supplier or tr("nobody named"),
        supplier_lot=lot.supplier_lot or "?",
    )
    state = f"{translated(lot.state)} ({lot.why})" if lot.why else lot.state
    head = tr(
        "Lot {lot}: {name} {origin}, {stock}, {state}",
        lot=lot.lot,
        name=lot.name,
        origin=origin,
        stock=stock,
        state=state,
    )
    rows = tuple(
        (
            r.batch.batch, ", ".join(tr("{amount} as {line}", amount=amount(u.used, u.unit), line=u.line) for u in r.uses), state_of(r.batch),
            "; ".join(_sent(s) for s in r.sent), tr("{ranges} still here", ranges=ranges(r.here)) if r.here else "",
        )
        for r in found.reached
    )  # fmt: skip
    nowhere = () if rows else (tr("It is in no batch yet."),)
    titles = ("batch", "drawn", "", tr("containers sent"), "")
    return Sheet((head,), titles, rows, (*nowhere, *_notes(found.corrections, found)))


def _back(found: BackwardTrace) -> Sheet:
    b = found.batch
    what = (
        tr("Container {container} of batch {batch}", container=found.container, batch=b.batch)
        if found.container
        else tr("Batch {batch}", batch=b.batch)
    )
    head = [
        tr(
            "{what}: {procedure}, made by {maker}, begun {replace}, {state}",
            what=what,
            procedure=b.procedure,
            maker=b.maker,
            replace=minute(b.wall),
            state=state_of(b),
        ),
        *(f"{_sent(s)} {s.note}".rstrip() for s in found.sent),
    ]
    if b.rehearsal:
        head.append(translated(REHEARSAL_DRAWS))
    elif not found.sent:
        head.append(tr("No dispatch note names it."))
    rows = () if b.rehearsal else tuple(_input(i, b) for i in found.inputs)
    unknown = () if rows or b.rehearsal else (tr("No lots were written down for it."),)
    titles = ("material", "used", tr("supplier and their lot"), "")
    return Sheet(tuple(head), titles, rows, (*unknown, *_notes(found.corrections)))


def _input(i: LotInBatch, b: BatchLine) -> tuple[str, ...]:
    used = tr(
        "{amount} of {how}",
        amount=amount(i.use.used, i.use.unit),
        how=tr("lot {lot}", lot=i.use.lot) if i.use.lot else tr("lot unknown"),
    )
    supplier = f"{i.lot.supplier} {i.lot.supplier_lot}".strip() if i.lot else ""
    return (
        i.lot.name if i.lot else i.use.material,
        used,
        supplier,
        "" if i.batch == b.batch else tr("by way of {batch}", batch=i.batch),
    )


def _sent(s: Dispatch) -> str:
    return tr("{ranges} went to {to} on {on}", ranges=ranges(s.containers), to=s.to, on=s.on)


def _left_here(reached: BatchReached) -> str:
    if reached.here:
        return tr_n(
            "container {ranges} is still here. Put it aside.",
            "containers {ranges} are still here. Put them aside.",
            n=len(reached.here),
            ranges=ranges(reached.here),
        )
    return tr("no container is here. What of it stands in bulk or as a lot of your own, put aside too.")


def _notes(corrections: Iterable[TracedCorrection], found: ForwardTrace | None = None) -> list[str]:
    """What was followed through lots of one's own, and what was corrected."""
    made = () if found is None else found.made
    unknown = () if found is None else found.unknown
    return [
        *(
            tr(
                "cannot be left out: {batch} has {amount} of {material}, lot unknown",
                batch=u.batch,
                amount=amount(u.used, u.unit),
                material=u.material,
            )
            for u in unknown
        ),
        *(
            tr(
                "followed through your own lot {lot} ({name}), made in {made_in}",
                lot=x.lot,
                name=x.name,
                made_in=x.made_in,
            )
            for x in made
        ),
        *(
            tr(
                "corrected in {batch}, event {of_n}: {field} was {old}, is {new} ({reason}; {by})",
                batch=x.batch,
                of_n=x.of_n,
                field=word_of(x.field),
                old=x.old,
                new=x.new,
                reason=x.reason,
                by=x.by,
            )
            for x in corrections
        ),
    ]
