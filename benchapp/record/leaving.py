"""Containers that leave a released batch, and those that are kept back with it."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr, tr_n
from benchapp.record.batch_line import BatchLine
from benchapp.record.errors import NotAllowed
from benchapp.record.tracing import gone_of, ranges
from benchapp.record.workshop import Workshop


def dispatch(shop: Workshop, batch: str, sent: ev.Dispatched) -> None:
    """Containers of a released batch leave."""
    line = shop.journal.batch(batch)
    if line.decision != "released":
        raise NotAllowed(tr("Batch {batch} is not released; nothing of it may leave.", batch=batch))
    open_ones = shop.standing(batch).blocking
    if open_ones:
        raise NotAllowed(
            tr(
                "Deviation {number} came up since and is open: {text}",
                number=open_ones[0].number,
                text=open_ones[0].text,
            )
        )
    reasons = shop.against_elsewhere(batch)
    if reasons:
        raise NotAllowed("\n".join(reasons))
    require_its_own(line, sent)
    twice = sorted(gone_of(shop.journal, batch).intersection(sent.containers))
    if twice:
        raise NotAllowed(
            tr_n(
                "Container {ranges} left already.",
                "Containers {ranges} left already.",
                n=len(twice),
                ranges=ranges(twice),
            )
        )
    if not sent.to.strip():
        raise NotAllowed(tr("Say where they go."))
    require_here(shop, batch, len(sent.containers))
    shop.add_to(batch, sent)


def require_its_own(line: BatchLine, sent: ev.Dispatched) -> None:
    """Refuse containers that a batch has not."""
    if not 1 <= sent.first <= sent.last <= line.containers:
        raise NotAllowed(
            tr(
                "Batch {batch} has containers 1 to {containers}.",
                batch=line.batch,
                containers=line.containers,
            )
        )


def retain(shop: Workshop, batch: str, kept: ev.SampleRetained) -> None:
    """Containers are kept back with the batch."""
    if not shop.journal.batch(batch).end:
        raise NotAllowed(tr("Batch {batch} is not finished.", batch=batch))
    if kept.pieces < 1:
        raise NotAllowed(tr("At least one container is kept."))
    if not kept.where.strip():
        raise NotAllowed(tr("Say where they are kept."))
    if kept.until < shop.journal.today():
        raise NotAllowed(tr("{until} is past.", until=kept.until))
    require_here(shop, batch, kept.pieces)
    shop.add_to(batch, kept)


def require_container(line: BatchLine, number: int) -> None:
    """Refuse the number of a container that a batch has not; 0 is not known."""
    if not 0 <= number <= line.containers:
        raise NotAllowed(
            tr(
                "{batch} has containers 1 to {containers}; leave the number out if nobody knows.",
                batch=line.batch,
                containers=line.containers,
            )
        )


def require_here(shop: Workshop, batch: str, pieces: int) -> None:
    """Refuse more containers than a batch has, less those that left and those that are kept back until later."""
    today, containers = shop.journal.today(), shop.journal.batch(batch).containers
    kept = sum(x.pieces for x in shop.standing(batch).retained if x.until >= today)
    gone = len(gone_of(shop.journal, batch))
    if pieces > 0 and containers and kept + gone + pieces > containers:
        raise NotAllowed(
            tr(
                "{kept} of its {containers} containers are kept back and {gone} have left: {pieces} more are not here.",
                kept=kept,
                containers=containers,
                gone=gone,
                pieces=pieces,
            )
        )
