"""Events of the workshop around the makes: people, lots, release, labels, dispatch, corrections.

They stand in the same chain as the makes. What belongs to one batch is written under its name; what belongs to
none is written under the name ``WORKSHOP``. ``at_s`` goes on from the make's last event, or is 0.
"""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.events.base import Event
from benchapp.foundation.source import Source

#: The name under which events stand that belong to no batch.
WORKSHOP = "workshop"


# --- people --------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonEnrolled(Event):
    """A person who may sign. ``roles`` are "maker", "helper", "releaser"; ``pin`` is a scrypt hash, never a PIN."""

    who: str
    roles: tuple[str, ...]
    pin: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonRetired(Event):
    """A person who may sign no more."""

    who: str
    by: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PinChanged(Event):
    """A new PIN, as a scrypt hash."""

    who: str
    pin: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PinRefused(Event):
    """Somebody gave a wrong PIN for ``who``; ``times`` in a row. ``at_s``: how long the computer had been running."""

    who: str
    times: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PinProved(Event):
    """The right PIN after wrong ones: the count of wrong ones begins anew."""

    who: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CompetenceGranted(Event):
    """A helper may do a kind of step with less supervision: "rehearsed", "supervised" or "independent"."""

    who: str
    step_kind: str
    level: str
    by: str
    reason: str = ""


# --- lots ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class LotReceived(Event):
    """One delivery of one material. ``quantity`` in ``unit`` ("g" or "pieces"); dates are ISO, "" unknown."""

    lot: str  # the workshop's own name for it
    material: str  # the material's key, as procedures name it; packaging has a key too
    name: str  # what it is called on the container
    supplier: str
    supplier_lot: str
    quantity: float
    unit: str
    received: str
    expires: str = ""
    opened: str = ""
    code: str = ""  # what a barcode reader types for it
    documents: tuple[str, ...] = ()  # names of delivery note, certificate, safety data sheet
    state: str = "usable"  # or "quarantined"
    by: str = ""
    made_in: str = ""  # the workshop's own batch it came out of: a premix, a stock solution


@dataclass(frozen=True, slots=True, kw_only=True)
class LotOpened(Event):
    """The first time its container was opened, an ISO date."""

    lot: str
    on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPriced(Event):
    """What a whole delivery cost, in one currency (ISO 4217)."""

    lot: str
    price: float
    currency: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotJudged(Event):
    """A lot's state was set: "usable", "quarantined", "rejected" or "used up"."""

    lot: str
    state: str
    reason: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotCounted(Event):
    """Weighed or counted again: this is what is there now."""

    lot: str
    quantity: float
    reason: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LotTaken(Event):
    """In a make: this lot is in hand for a line. ``how``: "scanned", "picked", "remembered" or "none". ``after_g``: grams of
    the line that were in the vessel when it took the place of the lot before, 0 where it is the first; ``source``: who
    said so."""

    step: str
    act: str
    line: str
    material: str
    lot: str
    how: str
    expires: str = ""
    after_g: float = 0.0
    source: Source = Source.MEASURED


@dataclass(frozen=True, slots=True, kw_only=True)
class LotRefused(Event):
    """In a make: a lot that may not be used was in hand, and the sentence that was shown."""

    step: str
    act: str
    line: str
    lot: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PiecesUsed(Event):
    """In a batch: packaging or labels drawn from a lot. ``spoiled`` of them did not leave with the product."""

    lot: str
    material: str
    pieces: int
    spoiled: int
    by: str


# --- after the make ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckRecorded(Event):
    """One line of the release specification: its value or words, and whether it is as it has to be."""

    check: str
    expect: str
    value: float | None
    words: str
    passed: bool
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DeviationClosed(Event):
    """An open deviation was looked into and accepted, with the reason why the product may still be used."""

    number: int
    reason: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchDecided(Event):
    """ "released", "rework" or "rejected", by a person with the right to decide."""

    decision: str
    reason: str
    by: str
    role: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleRetained(Event):
    """Containers kept back with the batch, and where."""

    pieces: int
    where: str
    until: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MasterApproved(Event):
    """A version of a procedure, with its text as it stood, may make batches that leave. ``trial``: the batch that showed
    it, "" where it was tried in none here."""

    procedure: str
    version: int
    sha256: str
    text: str
    reason: str
    by: str
    trial: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MasterWithdrawn(Event):
    """A version that makes no more batches that leave; those it has made stay as they are."""

    procedure: str
    version: int
    reason: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelApproved(Event):
    """The label text of a procedure as a person approved it; ``text`` is JSON (see record/label)."""

    procedure: str
    text: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelsPrinted(Event):
    """Labels written for a batch."""

    pieces: int
    approved: str  # the journal hash of the LabelApproved they were drawn from
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dispatched(Event):
    """Containers ``first`` to ``last`` of a batch went to ``to``."""

    first: int
    last: int
    to: str
    on: str
    note: str
    by: str

    @property
    def containers(self) -> range:
        """Their numbers."""
        return range(self.first, self.last + 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrected(Event):
    """A fact written earlier was wrong: event ``n`` of the batch, its field, what it is now, and why. The old
    event stays."""

    n: int
    field: str
    old: str
    new: str
    reason: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class GuardsRestored(Event):
    """When the journal was opened, guards against alteration were missing from its file; they were put back."""

    guards: tuple[str, ...]
