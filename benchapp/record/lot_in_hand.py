"""Which lot each weighing of a batch drew from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from benchapp import events as ev
from benchapp.record.stored_event import StoredEvent


def lots_in_hand(stored: Sequence[StoredEvent]) -> Mapping[int, tuple[str, int]]:
    """Event number of a weighing → the lot that was in hand for its line, and the number of the event that says so."""
    hand: dict[tuple[str, str], tuple[str, int]] = {}
    found: dict[int, tuple[str, int]] = {}
    for s in stored:
        if isinstance(e := s.event, ev.LotTaken):
            hand[e.step, e.line] = (e.lot, s.n)
        elif isinstance(e, ev.WeightTaken):
            found[s.n] = (e.lot, s.n) if e.lot else hand.get((e.step, e.line), ("", s.n))
    return found
