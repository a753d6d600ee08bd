"""Which lot each weighing of a batch drew from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.record.stored_event import StoredEvent


@dataclass(frozen=True, slots=True)
class LotInHand:
    """A lot, the number of the event that says so, and how it was read back ("" where a weighing alone names it)."""

    lot: str
    n: int
    how: str = ""


def asked_for(hand: ev.LotTaken) -> str:
    """The lot of a weighing that names none, after ``hand`` was taken. One that took another's place in the middle of a pour
    is named by its own part: the other part names none because none was known."""
    return "" if hand.after_g else hand.lot


def lots_in_hand(stored: Sequence[StoredEvent]) -> Mapping[int, LotInHand]:
    """Event number of a weighing → the lot it drew from, out of the events that name a lot."""
    hand: dict[tuple[str, str], LotInHand] = {}
    how: dict[tuple[str, str, str], str] = {}  # a line may be weighed out of several
    found: dict[int, LotInHand] = {}
    for s in stored:
        if isinstance(e := s.event, ev.LotTaken):
            hand[e.step, e.line] = LotInHand(asked_for(e), s.n, e.how)
            how[e.step, e.line, e.lot] = e.how
        elif isinstance(e, ev.WeightTaken):
            taken = hand.get((e.step, e.line), LotInHand("", s.n))
            own = LotInHand(e.lot, s.n, how.get((e.step, e.line, e.lot), ""))
            found[s.n] = own if e.lot else taken
    return found
