"""The events of one batch by their kind: a kind is read from its text when it is asked for, and no other is looked at."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property
from itertools import chain, groupby
from operator import attrgetter
from typing import TypeVar, cast

from benchapp import events as ev
from benchapp.record.computed_anew import ComputedAnew, computed_anew
from benchapp.record.corrections import standing_in
from benchapp.record.lot_in_hand import LotInHand, lots_in_hand
from benchapp.record.parts import Whole, wholes_of
from benchapp.record.stored_event import StoredEvent

E = TypeVar("E", bound=ev.Event)
_NUMBER = attrgetter("n")
#: What a person said or did not do after all. Deviations and temperatures happened beside it, and stay.
_TAKEN_BACK = (
    ev.Confirmed, ev.NumberTaken, ev.LookJudged, ev.LotTaken, ev.WeightTaken, ev.PhTaken, ev.StepFinished,
)  # fmt: skip


class BatchEvents:
    """One batch from its ``first`` event to its ``last``. Events of several kinds come in the order in which they were
    written; ``read`` gives those of one kind, and is asked once."""

    def __init__(
        self,
        kinds: Iterable[type[ev.Event]],
        read: Callable[[type[ev.Event]], Sequence[StoredEvent]],
        ends: tuple[StoredEvent, StoredEvent],
    ) -> None:
        self._kinds = tuple(kinds)
        self._read = read
        self._known: dict[type[ev.Event], Sequence[StoredEvent]] = {}
        self.first, self.last = ends

    def of(self, *kinds: type[ev.Event]) -> Sequence[StoredEvent]:
        """All events of these kinds, in order."""
        parts = [self._of_one(kind) for kind in self._kinds if kind in kinds]
        return parts[0] if len(parts) == 1 else sorted(chain(*parts), key=_NUMBER)

    def _of_one(self, kind: type[ev.Event]) -> Sequence[StoredEvent]:
        if kind not in self._known:
            self._known[kind] = self._read(kind)
        return self._known[kind]

    def each(self, kind: type[E]) -> Iterator[tuple[StoredEvent, E]]:
        """Every event of one kind, in order, with its place."""
        return ((s, cast(E, s.event)) for s in self.of(kind))

    def events(self, kind: type[E]) -> list[E]:
        """The events of one kind, in order."""
        return [e for _, e in self.each(kind)]

    def all(self) -> Sequence[StoredEvent]:
        """Every event, in order."""
        return self.of(*self._kinds)

    @property
    def end(self) -> StoredEvent | None:
        """Where the make was finished or given up; None while it goes on."""
        return next(iter(self.of(ev.MakeFinished, ev.MakeAbandoned)), None)

    # --- what counts, and as what --------------------------------------------------------------------

    @cached_property
    def counted(self) -> BatchEvents:
        """What counts: all but what the maker said and took back."""
        return self._those(lambda s: s.n not in self._gone) if self._gone else self

    @cached_property
    def withdrawn(self) -> BatchEvents:
        """What the maker said and took back: everything said since that act last began."""
        return self._those(lambda s: s.n in self._gone)

    @cached_property
    def _gone(self) -> frozenset[int]:
        if ev.ActTakenBack not in self._kinds:
            return frozenset()
        began: dict[tuple[str, str], int] = {}
        said: list[int] = []
        gone: set[int] = set()
        for s in self.of(ev.ActBegan, ev.ActTakenBack, *_TAKEN_BACK):
            e = s.event
            if isinstance(e, ev.ActBegan):
                began[e.step, e.act] = s.n
            elif isinstance(e, ev.ActTakenBack):
                since = began.get((e.step, e.act), s.n)
                gone.update(n for n in said if n >= since)
            else:
                said.append(s.n)
        return frozenset(gone)

    def _those(self, count: Callable[[StoredEvent], bool]) -> BatchEvents:
        return BatchEvents(
            self._kinds, lambda kind: [s for s in self._of_one(kind) if count(s)], (self.first, self.last)
        )

    @cached_property
    def standing(self) -> BatchEvents:
        """The same after every correction of them."""
        now = self.corrected
        if not now:
            return self
        first, last = (now.get(s.n, s) for s in (self.first, self.last))
        return BatchEvents(
            self._kinds, lambda kind: [now.get(s.n, s) for s in self._of_one(kind)], (first, last)
        )

    @cached_property
    def corrected(self) -> Mapping[int, StoredEvent]:
        """By its number each event that was corrected, or computed from one that was, as it stands."""
        return {**self._corrected_by_hand, **{n: x.now for n, x in self.computed_anew.items()}}

    @cached_property
    def computed_anew(self) -> Mapping[int, ComputedAnew]:
        """By its number each computed value that is another after corrections of what it was computed from."""
        by_hand = self._corrected_by_hand
        return {x.now.n: x for x in computed_anew(self.all(), by_hand)} if by_hand else {}

    @cached_property
    def _corrected_by_hand(self) -> Mapping[int, StoredEvent]:
        return standing_in(self.all()) if ev.Corrected in self._kinds else {}

    @cached_property
    def lots(self) -> Mapping[int, LotInHand]:
        """Event number of a weighing → the lot it drew from."""
        return lots_in_hand(self.of(ev.LotTaken, ev.WeightTaken))

    @cached_property
    def wholes(self) -> Mapping[int, Whole]:
        """Event number of a weighing that was one lot's part of a pour → the whole of it."""
        return wholes_of(self.of(ev.WeightTaken))


def batch_events(
    stored: BatchEvents | Sequence[StoredEvent], ends: tuple[StoredEvent, StoredEvent] | None = None
) -> BatchEvents:
    """A batch's events, of which there is one at least, by their kind; ``ends``: its first and its last, where those are others."""
    if isinstance(stored, BatchEvents):
        return stored
    kind = attrgetter("event.__class__")
    by_name = sorted(stored, key=lambda s: type(s.event).__name__)
    parts = {k: list(part) for k, part in groupby(by_name, key=kind)}
    return BatchEvents(parts, parts.__getitem__, ends or (stored[0], stored[-1]))
