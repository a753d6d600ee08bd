"""A weighing out of several lots, as the one weighing it was: whether it is in its band is asked of all of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from benchapp import events as ev
from benchapp.foundation.band import Band
from benchapp.foundation.numbers import exact
from benchapp.record.stored_event import StoredEvent


class Whole(NamedTuple):
    """What all lots together came to, in grams, and the band of it."""

    grams: float
    band: Band

    @property
    def outside(self) -> bool:
        """Whether it lies outside its band."""
        return not self.band.holds(self.grams)


def wholes_of(weighings: Iterable[StoredEvent]) -> Mapping[int, Whole]:
    """By the number of each weighing that was one lot's part of a pour: the whole of it."""
    pours: dict[tuple[str, str, str], list[tuple[int, ev.WeightTaken]]] = {}
    for s in weighings:
        if isinstance(e := s.event, ev.WeightTaken) and e.portions > 1:
            pours.setdefault((e.step, e.act, e.line), []).append((s.n, e))
    return {n: _whole([e for _, e in parts]) for parts in pours.values() if len(parts) > 1 for n, _ in parts}


def _whole(parts: list[ev.WeightTaken]) -> Whole:
    target_g = exact(sum(p.target_g for p in parts))
    # Each part has the tolerances of the whole, but that none is to be less than nothing.
    below, above = max(p.target_g - p.low_g for p in parts), max(p.high_g - p.target_g for p in parts)
    band = Band(exact(target_g - below), exact(target_g + above))
    return Whole(exact(sum(p.net_g for p in parts)), band)
