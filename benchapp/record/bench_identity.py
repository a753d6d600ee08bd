"""Which bench of a workshop this journal is the chain of, and how that keeps its names apart from the other benches'."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp import events as ev
from benchapp.record.journal import Journal


@dataclass(frozen=True, slots=True)
class BenchIdentity:
    """The bench of a ``workshop`` whose chain a journal is from its event ``first`` on. ``joined``: it has not left since. Its ``short``
    name stays in the names given here either way, so that none is ever given twice."""

    bench: str
    short: str
    first: int
    joined: bool
    workshop: str = ""


def identity_in(journal: Journal) -> BenchIdentity | None:
    """Who this journal is; None for a bench that never joined a workshop. Raises RecordError."""
    written = [s.event for s in journal.own.of_kinds((ev.BenchJoined, ev.BenchLeft), ev.WORKSHOP)]
    joined = next((e for e in reversed(written) if isinstance(e, ev.BenchJoined)), None)
    if joined is None:
        return None
    here = isinstance(written[-1], ev.BenchJoined)
    return BenchIdentity(joined.bench, joined.short, joined.first, here, joined.workshop)


def own_stem(journal: Journal, name: str) -> str:
    """A name for a batch that no other bench gives: ``oat-hand-lotion-E`` on the bench E, as it is on a bench alone."""
    identity = identity_in(journal)
    return name if identity is None else f"{name}-{identity.short}"


def own_short(journal: Journal) -> str:
    """What stands before a number that no other bench gives: the bench's short name, "" on one that was always alone."""
    identity = identity_in(journal)
    return "" if identity is None else identity.short


def numbered(short: str, number: int) -> str:
    """Such a number as it is written and read: ``E-1`` of the bench E."""
    return f"{short}-{number}" if short else str(number)


def own_lot(journal: Journal, lot: str) -> str:
    """The same for a delivery: ``E-oil-1``, unless it begins so already."""
    identity = identity_in(journal)
    if identity is None or not lot.strip() or lot.startswith(f"{identity.short}-"):
        return lot
    return f"{identity.short}-{lot}"
