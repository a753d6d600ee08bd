"""How the same waits went before: temperature curves of earlier makes of a procedure in about the same size."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from benchapp import events as ev
from benchapp.record.journal import Journal
from benchapp.record.past_makes import makes_alike, told_by

#: So many makes are looked at, the newest.
NEWEST = 3
#: Fewer points are no curve.
LEAST_POINTS = 4

#: By step and vessel: curves as (seconds since the step began, °C).
PastWaits = Mapping[tuple[str, str], tuple[tuple[tuple[float, float], ...], ...]]


def past_waits(
    journal: Journal, procedure: str, batch_g: float, rehearsal: bool, unread: dict[str, str] | None = None
) -> PastWaits:
    """Of every step in which temperatures were logged, from finished makes: rehearsals apart from the others. See
    ``told_by`` for those that cannot be read."""
    found: dict[tuple[str, str], list[tuple[tuple[float, float], ...]]] = {}
    alike = makes_alike(journal, procedure, batch_g, rehearsal, NEWEST)
    told = told_by(alike, partial(_curves, journal), {} if unread is None else unread)
    for curves in told.values():
        for key, points in curves.items():
            if len(points) >= LEAST_POINTS:
                found.setdefault(key, []).append(tuple(points))
    return {key: tuple(curves) for key, curves in found.items()}


def _curves(journal: Journal, batch: str) -> dict[tuple[str, str], list[tuple[float, float]]]:
    out: dict[tuple[str, str], list[tuple[float, float]]] = {}
    began: dict[str, float] = {}
    for s in journal.of_kinds((ev.StepBegan, ev.TemperaturesLogged), batch):
        e = s.event
        if isinstance(e, ev.StepBegan):
            began.setdefault(e.step, e.at_s)
        elif isinstance(e, ev.TemperaturesLogged) and e.source is ev.Source.MEASURED:
            for vessel, temp_c in e.temps_c:
                out.setdefault((e.step, vessel), []).append((e.at_s - began.get(e.step, e.at_s), temp_c))
    return out
