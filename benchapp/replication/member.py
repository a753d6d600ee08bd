"""A bench of the workshop, as the server knows it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from benchapp.replication.chain_row import ChainHead


@dataclass(frozen=True, slots=True)
class MemberBench:
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


def replaced_by(bench: str, members: Mapping[str, MemberBench]) -> dict[str, ChainHead]:
    """The benches whose chains a bench goes on with, and how much of each stands in its own journal."""
    found: dict[str, ChainHead] = {}
    member = members.get(bench)
    while member is not None and member.replaces and member.replaces not in found:
        found[member.replaces] = member.before
        member = members.get(member.replaces)
    return found


def writer_of(bench: str, seq: int, members: Mapping[str, MemberBench]) -> str:
    """Who wrote what stands at a place of the journal of ``bench``: the bench itself, or one whose chain it goes on with."""
    while bench in members and seq < members[bench].first and members[bench].replaces:
        bench = members[bench].replaces
    return bench
