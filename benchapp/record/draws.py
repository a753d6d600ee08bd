"""What a batch drew out of each lot: one rule for the book of lots, the trace and the batch's own record."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.record.batch_events import BatchEvents, batch_events
from benchapp.record.lot_in_hand import asked_for
from benchapp.record.stored_event import StoredEvent

#: What takes something out of a lot.
DRAWING = (ev.WeightTaken, ev.TrialDosed, ev.MaterialRemoved, ev.MassLost, ev.LateDropFound, ev.PiecesUsed)
#: What says which lot that is.
NAMING = (ev.LotTaken, ev.WeightTaken)
#: All that has to be read of a batch to say what it drew.
OF_DRAWS = (ev.LotTaken, *DRAWING, ev.ActBegan, ev.ActTakenBack, ev.Corrected)


@dataclass(frozen=True, slots=True)
class Draw:
    """What was taken out of a lot for a line, in ``unit``; negative where that had been recorded wrongly.
    ``material`` "" : that of the lot."""

    line: str
    lot: str
    used: float = 0.0
    spoiled: float = 0.0
    unit: str = "g"
    material: str = ""

    @property
    def back(self) -> Draw:
        """The same, not taken after all."""
        return Draw(self.line, self.lot, -self.used, -self.spoiled, self.unit, self.material)


class LotsInHand:
    """Which lots a batch has in hand, its events taken in order."""

    def __init__(self) -> None:
        self._asked: dict[tuple[str, str], str] = {}
        self._last: dict[str, str] = {}

    def take(self, e: ev.Event) -> None:
        """An event that may name a lot."""
        if isinstance(e, ev.LotTaken):
            self._asked[e.step, e.line] = asked_for(e)
            self._last[e.line] = e.lot
        elif isinstance(e, ev.WeightTaken) and e.lot:
            self._last[e.line] = e.lot

    def of(self, e: ev.Event) -> str:
        """The lot that event drew from, "" where none is known: its own; that asked for in its step, where a weighing names
        none; of waste, of a late drop and of what was spilled of a pour, the last that its line was weighed from."""
        if isinstance(e, ev.WeightTaken):
            return e.lot or self._asked.get((e.step, e.line), "")
        if isinstance(e, ev.TrialDosed | ev.PiecesUsed):
            return e.lot
        line = e.pouring if isinstance(e, ev.MassLost) else getattr(e, "line", "")
        return self._last.get(line, "")


def draws_of(e: ev.Event, lot_of: Callable[[ev.Event], str], was: ev.Event | None = None) -> tuple[Draw, ...]:
    """What one event takes out of which lot. ``was``: as it was written, where it stands otherwise now: the lines of which
    something was spilled cannot be corrected, and each has its share."""
    if isinstance(e, ev.PiecesUsed):
        return (Draw(e.material, e.lot, e.pieces - e.spoiled, e.spoiled, "pieces", e.material),)
    if isinstance(e, ev.TrialDosed):
        return (Draw(e.line, e.lot, spoiled=e.mass_g),) if e.lot else ()
    if isinstance(e, ev.WeightTaken):
        return _of_line(e.line, lot_of(e), used=e.net_g)
    if isinstance(e, ev.LateDropFound):
        return _of_line(e.line, lot_of(e), used=e.drop_g)
    if isinstance(e, ev.MaterialRemoved):
        return _of_line(e.line, lot_of(e), spoiled=e.removed_g)
    if isinstance(e, ev.MassLost):
        # What was spilled of the line being poured is in no weighing; all else was drawn when it was weighed.
        gone_g = dict(e.lines).get(e.pouring, 0.0)
        then_g = was.lost_g if isinstance(was, ev.MassLost) else e.lost_g
        return _of_line(e.pouring, lot_of(e), spoiled=gone_g * e.lost_g / then_g) if gone_g and then_g else ()
    return ()


def _of_line(line: str, lot: str, used: float = 0.0, spoiled: float = 0.0) -> tuple[Draw, ...]:
    return (Draw(line, lot, used, spoiled, material="" if lot else line),)


def drawn_by(stored: BatchEvents | Sequence[StoredEvent]) -> Mapping[int, tuple[Draw, ...]]:
    """By its number what each event of a batch took out of which lot: what was not taken back, as it stands after every
    correction."""
    if not stored:
        return {}
    counted, hands = batch_events(stored).counted, LotsInHand()
    written: dict[int, ev.Event] = {s.n: s.event for s in counted.of(*DRAWING)} if counted.corrected else {}
    found: dict[int, tuple[Draw, ...]] = {}
    for s in counted.standing.of(ev.LotTaken, *DRAWING):
        hands.take(s.event)
        if isinstance(s.event, DRAWING):
            found[s.n] = draws_of(s.event, hands.of, written.get(s.n))
    return found


def hands_in(stored: Sequence[StoredEvent]) -> LotsInHand:
    """Which lots a batch has in hand after these events of it."""
    hands = LotsInHand()
    for s in batch_events(stored).counted.standing.of(*NAMING) if stored else ():
        hands.take(s.event)
    return hands
