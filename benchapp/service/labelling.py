"""The label approved for a procedure, and a batch held against it."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.make.law import LOST_PERCENT
from benchapp.record.label import Label, differences, label_from
from benchapp.record.workshop import Workshop
from benchapp.service.errors import CommandError
from benchapp.service.procedure_facts import facts_in, record_in


def approved_label(shop: Workshop, procedure: str) -> tuple[Label, str] | None:
    """The label approved last for a procedure and the hash of its approval; None without one."""
    found = [
        s for s in shop.journal.of_kinds((ev.LabelApproved,), ev.WORKSHOP)
        if isinstance(s.event, ev.LabelApproved) and s.event.procedure == procedure
    ]  # fmt: skip
    if not found:
        return None
    event = found[-1].event
    assert isinstance(event, ev.LabelApproved)
    try:
        return label_from(event.text), found[-1].hash
    except ValueError as error:
        raise CommandError(f"The approved label of {procedure} cannot be read: {error}") from error


def label_reasons(shop: Workshop, batch: str) -> tuple[str, ...]:
    """Why a batch is not what its approved label says: each one blocks its release. Nothing without a label."""
    stored = shop.journal.stored(batch)
    record = record_in(shop.journal, batch)
    found = approved_label(shop, record.procedure)
    if found is None:
        return ()
    lost = max(record.lost_percent, LOST_PERCENT)
    return differences(found[0], facts_in(stored), record.grams, lost)
