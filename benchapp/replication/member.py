"""A bench of the workshop, as the server knows it."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.replication.chain_row import ChainHead


@dataclass(frozen=True, slots=True)
class Member:
    """A bench of the workshop. Its chain begins at ``first`` behind ``prev``, there where the chain of the bench it
    ``replaces`` ended. ``announced``: how far it said it is, at ``heard`` by the server's clock ("" never)."""

    bench: str
    short: str
    first: int
    prev: str
    replaces: str = ""
    announced: int = 0
    heard: str = ""

    @property
    def before(self) -> ChainHead:
        """What its first event follows."""
        return ChainHead(self.first - 1, self.prev)
