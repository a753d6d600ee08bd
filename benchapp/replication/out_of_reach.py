"""The answers of a bench that cannot open what it has of the others."""

from __future__ import annotations

from benchapp.record.elsewhere import Conflict, Elsewhere


class OutOfReach(Elsewhere):
    """What the other benches know, where their file cannot be opened: nothing, and no batch leaves meanwhile."""

    shared = True

    def __init__(self, why: str) -> None:
        self._why = why

    def against(self, batch: str, lots: frozenset[str]) -> tuple[str, ...]:
        """That nothing is known."""
        return (self._why,)

    def conflicts(self) -> tuple[Conflict, ...]:
        """That nothing is known."""
        return (Conflict(self._why),)

    def missing(self) -> tuple[str, ...]:
        """Everything of theirs."""
        return (self._why,)
