"""The label that was approved last for a procedure."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.record.errors import NotAllowed
from benchapp.record.journal import Journal
from benchapp.record.label import Label, label_from


def approved_label(journal: Journal, procedure: str) -> tuple[Label, str] | None:
    """The label approved last for a procedure and the hash of its approval; None without one. Raises NotAllowed where
    its text cannot be read."""
    found = [
        (s.event.text, s.hash)
        for s in journal.of_kinds((ev.LabelApproved,), ev.WORKSHOP)
        if isinstance(s.event, ev.LabelApproved) and s.event.procedure == procedure
    ]
    if not found:
        return None
    text, digest = found[-1]
    try:
        return label_from(text), digest
    except ValueError as error:
        raise NotAllowed(
            tr("The approved label of {procedure} cannot be read: {error}", procedure=procedure, error=error)
        ) from error
