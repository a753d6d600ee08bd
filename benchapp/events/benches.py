"""Events of a workshop of several benches: a journal that becomes the chain of one of them, and what it holds of the
others' chains."""

from __future__ import annotations

from dataclasses import dataclass

from benchapp.events.base import Event


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchJoined(Event):
    """From here on this journal is the chain of ``bench`` in its workshop; ``short`` stands in the names of its batches
    and lots. ``workshop`` tells it from any other, whose benches may be called alike. ``first``: the place in the journal of the first event under that id; what stands before is the chain of
    ``replaces``, the bench that died, "" where there was none."""

    bench: str
    short: str
    workshop: str
    first: int
    replaces: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchLeft(Event):
    """This journal is no bench's of a workshop any more; nothing is sent or received from here on."""

    bench: str


@dataclass(frozen=True, slots=True)
class ReceivedHead:
    """The last event received of another bench's chain: its place and its hash."""

    bench: str
    seq: int
    hash: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadsReceived(Event):
    """How far the chains of other benches had come here: whoever rewrites one of them is contradicted by this."""

    heads: tuple[ReceivedHead, ...]
