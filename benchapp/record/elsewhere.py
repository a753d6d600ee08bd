"""What the record needs to know of the other benches of a workshop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from benchapp import events as ev
from benchapp.record.lots import Lot


@dataclass(frozen=True, slots=True)
class PersonElsewhere:
    """A person as all benches together know them. Where they sign they have a PIN of that bench."""

    roles: tuple[str, ...]
    retired: bool


@dataclass(frozen=True, slots=True)
class BenchElsewhere:
    """A bench of the workshop: whether it is this one, when the server ``heard`` of it last (ISO, "" never), how many of its events are still to
    come, why its chain is not to be trusted ("" it is), its unfinished batches, and those that wait for a decision."""

    bench: str
    short: str
    own: bool
    heard: str
    lacking: int
    refused: str
    unfinished: tuple[str, ...]
    waiting: tuple[str, ...]


class Conflict(NamedTuple):
    """What benches did that does not go together, in a sentence; and the lot it is about, "" where it is about none."""

    said: str
    lot: str = ""


class Elsewhere:
    """What all benches together know. Here as a bench alone has it: nothing; benchapp.replication.together.Together answers for
    a workshop. Nothing here waits for a network."""

    #: Whether there is a workshop of several benches.
    shared = False
    #: Lots that another bench has blocked, by name, with the sentence why; as of the last look, at once.
    blocked: Mapping[str, str] = MappingProxyType({})

    def lots(self, own: Mapping[str, Lot]) -> Mapping[str, Lot]:
        """Every lot anybody received, with what is left of it; ``own`` as this bench alone knows them."""
        return own

    def knows(self, lot: str) -> bool:
        """Whether anybody ever received a lot of that name, empty or not."""
        return False

    def people(self) -> Mapping[str, PersonElsewhere]:
        """Everybody anybody enrolled."""
        return {}

    def against(self, batch: str, lots: frozenset[str]) -> tuple[str, ...]:
        """Why a batch of this bench that was made with these lots may not leave, a sentence each."""
        return ()

    def decided(self, batch: str) -> tuple[tuple[str, ev.BatchDecided], ...] | None:
        """The decisions about a batch that count by all chains, each with its wall time, that which holds last; None where nothing is
        known of any."""
        return None

    def benches(self) -> tuple[BenchElsewhere, ...]:
        """Every bench of the workshop, this one too; a bench that was replaced stands with the one that replaced it."""
        return ()

    def seal(self) -> None:
        """Write into the own chain how far the others' had come. Raises RecordError."""

    def conflicts(self) -> tuple[Conflict, ...]:
        """What benches did at once that does not go together."""
        return ()

    def missing(self) -> tuple[str, ...]:
        """Why an answer over all benches may lack something of theirs, a sentence each."""
        return ()

    def known_until(self) -> str:
        """Up to when the other benches are known here, in a sentence; "" where there are none."""
        return ""
