"""What the program computed in a make follows the corrections of what it was computed from: the mean content its containers,
the density the mass and the temperature of the known volume."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from benchapp import events as ev
from benchapp.calculations.filling import density_at_20_g_ml
from benchapp.events.judging import DENSITY, MEAN_CONTENT, VOLUME_MASS, VOLUME_TEMP
from benchapp.record.stored_event import StoredEvent


@dataclass(frozen=True, slots=True)
class ComputedAnew:
    """A computed value as it stands ``now`` and as it was written, and the corrected event that it follows (the last, of
    several)."""

    now: StoredEvent
    was: float
    value: float
    follows: int


def computed_anew(
    stored: Sequence[StoredEvent], corrected: Mapping[int, StoredEvent]
) -> Iterator[ComputedAnew]:
    """Each computed value of a batch that is another by ``corrected``; one that a person corrected stays as they said."""
    for s in stored:
        e = s.event
        if not isinstance(e, ev.NumberTaken) or e.source is not ev.Source.COMPUTED or s.n in corrected:
            continue
        of = _computed_from(s.n, e, stored)
        fixed = [x.n for x in of if x.n in corrected]
        if fixed and (value := _value(e, of, [corrected.get(x.n, x) for x in of])) != e.value:
            yield ComputedAnew(s._replace(event=replace(e, value=value)), e.value, value, max(fixed))


def _computed_from(n: int, e: ev.NumberTaken, stored: Sequence[StoredEvent]) -> list[StoredEvent]:
    if e.what == MEAN_CONTENT:
        return [s for s in stored if isinstance(s.event, ev.BottleFilled) and s.event.step == e.step]
    if e.what != DENSITY:
        return []
    said = {
        s.event.what: s
        for s in stored
        if s.n < n and isinstance(s.event, ev.NumberTaken) and (s.event.step, s.event.act) == (e.step, e.act)
    }
    return [said[what] for what in (VOLUME_MASS, VOLUME_TEMP) if what in said]


def _value(e: ev.NumberTaken, then: Sequence[StoredEvent], now: Sequence[StoredEvent]) -> float:
    if e.what == MEAN_CONTENT:
        nets = [s.event.net_g for s in now if isinstance(s.event, ev.BottleFilled)]
        return round(sum(nets) / len(nets), 3)
    was = _at_20(then)
    return round(e.value * _at_20(now) / was, 4) if was else e.value


def _at_20(said: Sequence[StoredEvent]) -> float:
    """The mass of the known volume as if it had been at 20 °C, in grams."""
    found = {s.event.what: s.event.value for s in said if isinstance(s.event, ev.NumberTaken)}
    return density_at_20_g_ml(found.get(VOLUME_MASS, 0.0), found.get(VOLUME_TEMP, 20.0))
