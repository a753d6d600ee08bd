"""The answers of a bench that cannot open what it has of the others."""

from __future__ import annotations

from collections.abc import Mapping

from benchapp import events as ev
from benchapp.record.elsewhere import BenchElsewhere, Conflict, PersonElsewhere
from benchapp.record.lots import Lot


class OutOfReach:
    """What the other benches know, where their file cannot be opened: nothing, and no batch leaves meanwhile."""

    def __init__(self, why: str) -> None:
        self._why = why
        self.blocked: Mapping[str, str] = {}

    def lots(self, own: Mapping[str, Lot]) -> Mapping[str, Lot]:
        """The own ones."""
        return own

    def knows(self, lot: str) -> bool:
        """Not known."""
        return False

    def people(self) -> Mapping[str, PersonElsewhere]:
        """Nobody."""
        return {}

    def against(self, batch: str, lots: frozenset[str]) -> tuple[str, ...]:
        """That nothing is known."""
        return (self._why,)

    def decided(self, batch: str) -> tuple[ev.BatchDecided, ...] | None:
        """Nobody knows."""
        return None

    def benches(self) -> tuple[BenchElsewhere, ...]:
        """None is known."""
        return ()

    def seal(self) -> None:
        """Nothing is known that could be written down."""

    def conflicts(self) -> tuple[Conflict, ...]:
        """That nothing is known."""
        return (Conflict(self._why),)

    def missing(self) -> tuple[str, ...]:
        """Everything of theirs."""
        return (self._why,)

    def known_until(self) -> str:
        """Never."""
        return ""
