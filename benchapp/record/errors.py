"""Why a record could not be written or read.

RecordError
├── JournalUnavailable   the folder or file cannot be opened, is locked, full or read-only
│   └── TakenUpElsewhere another window or program has taken the batch up and goes on with it
├── JournalDamaged       the file is no journal, or a row does not fit the chain
├── JournalTooNew        a newer version of the program wrote it
├── NoSuchBatch          nothing is recorded under that name
├── NoSuchLot            nothing was received under that name
├── Unspecified          what a batch has to be before it leaves cannot be read
├── NotAllowed           what is asked for may not be written now: the reasons, one a line
└── DocumentRefused      a document or label cannot be written as it was asked for
"""

from __future__ import annotations

from benchapp.foundation.language import tr


class RecordError(Exception):
    """The root; its text is one sentence a maker can act on."""


class JournalUnavailable(RecordError):
    """The journal cannot be opened or written now."""


class TakenUpElsewhere(JournalUnavailable):
    """Another window goes on with this batch; from here nothing more is written to it."""


class JournalDamaged(RecordError):
    """What is on disk is not what was written."""


class JournalTooNew(RecordError):
    """Written by a newer version."""


class NoSuchBatch(RecordError):
    """No such batch."""


class NoSuchLot(RecordError):
    """No such lot."""


class Unspecified(RecordError):
    """The release specification of a batch cannot be read by this version."""


class NotAllowed(RecordError):
    """What is asked for may not be written."""


class DocumentRefused(RecordError):
    """The document would not be what it has to be."""


def no_batch(name: str) -> NoSuchBatch:
    """That nothing is recorded under a name, and where the names stand."""
    return NoSuchBatch(
        tr("There is no batch {name!r} here. benchapp batches lists what there is.", name=name)
    )


def no_lot(name: str) -> NoSuchLot:
    """That nothing was received under a name, and where the names stand."""
    return NoSuchLot(tr("There is no lot {name!r} here. benchapp lot list shows what there is.", name=name))
