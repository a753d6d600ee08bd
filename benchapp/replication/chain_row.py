"""One event of a bench's chain as it travels, and the rule that it follows the one before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from benchapp.foundation.language import tr
from benchapp.record.chain import GENESIS, link
from benchapp.replication.errors import ChainRefused


class ChainRow(NamedTuple):
    """An event in its exact text: of which bench, at which place, bound to which before."""

    bench: str
    seq: int
    text: str
    prev: str
    hash: str


@dataclass(frozen=True, slots=True)
class ChainHead:
    """How far a chain goes: its last place and the hash there. ``BEGINNING`` is an empty one."""

    seq: int
    hash: str


BEGINNING = ChainHead(0, GENESIS)


def following(head: ChainHead, rows: Iterable[ChainRow]) -> Iterator[ChainRow]:
    """The rows of one bench, each as soon as it is seen to follow the one before. Raises ChainRefused."""
    for row in rows:
        if row.seq != head.seq + 1:
            raise ChainRefused(
                tr(
                    "Event {seq} of the bench {bench} came where event {seq_2} has to: something is missing.",
                    seq=row.seq,
                    bench=row.bench,
                    seq_2=head.seq + 1,
                )
            )
        if row.prev != head.hash:
            raise ChainRefused(
                tr(
                    "Event {seq} of the bench {bench} does not follow the one received before it: its "
                    "history was written anew, or two journals go by one name.",
                    seq=row.seq,
                    bench=row.bench,
                )
            )
        if link(row.prev, row.text) != row.hash:
            raise ChainRefused(
                tr(
                    "Event {seq} of the bench {bench} is not the text that was written.",
                    seq=row.seq,
                    bench=row.bench,
                )
            )
        yield row
        head = ChainHead(row.seq, row.hash)
