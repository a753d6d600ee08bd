"""Which version of a procedure is approved: the newest that somebody approved and nobody has withdrawn since."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from benchapp import events as ev
from benchapp.record.journal import Journal
from benchapp.record.stored_event import StoredEvent


@dataclass(frozen=True, slots=True)
class Master:
    """One approved version of a procedure: its text, when (ISO) and by whom, why, and why it was ``withdrawn``."""

    version: int
    sha256: str
    text: str
    approved: str
    by: str
    reason: str
    trial: str = ""
    withdrawn: str = ""


def masters_of(stored: Iterable[StoredEvent]) -> dict[str, tuple[Master, ...]]:
    """Every version of every procedure by its key, the oldest first. Versions have an order of their own: what benches did without knowing
    of each other comes in any, and what is withdrawn on one is withdrawn."""
    found: dict[str, list[Master]] = {}
    withdrawn: dict[tuple[str, int], str] = {}
    for s in stored:
        e = s.event
        if isinstance(e, ev.MasterApproved):
            found.setdefault(e.procedure, []).append(
                Master(e.version, e.sha256, e.text, s.wall, e.by, e.reason, e.trial)
            )
        elif isinstance(e, ev.MasterWithdrawn):
            withdrawn[e.procedure, e.version] = e.reason
    return {
        key: tuple(
            replace(one, withdrawn=withdrawn.get((key, one.version), ""))
            for one in sorted(versions, key=lambda one: one.version)
        )
        for key, versions in found.items()
    }


def versions_in(journal: Journal, procedure: str) -> tuple[Master, ...]:
    """The approved versions of one procedure, the oldest first."""
    stored = journal.of_kinds((ev.MasterApproved, ev.MasterWithdrawn), ev.WORKSHOP)
    return masters_of(stored).get(procedure, ())


def current(versions: tuple[Master, ...]) -> Master | None:
    """The version that counts: the newest, unless it was withdrawn. An older one does not come back by itself, and where two benches
    approved different texts under one number neither counts until there is a next."""
    if not versions or versions[-1].withdrawn:
        return None
    last = versions[-1]
    twins = {one.sha256 for one in versions if one.version == last.version}
    return last if len(twins) == 1 else None


def version_of(journal: Journal, procedure: str, sha256: str) -> int:
    """The number of the approved version whose text has that hash, if it is the one that counts; else ``events.TRIAL``."""
    now = current(versions_in(journal, procedure))
    return now.version if now is not None and now.sha256 == sha256 else ev.TRIAL
