"""What each container was to hold: as it was weighed against in the make, and anew where its density was corrected."""

from __future__ import annotations

from benchapp import events as ev
from benchapp.calculations.filling import fill_target
from benchapp.events.judging import DENSITY
from benchapp.foundation.band import Band, Target
from benchapp.record.batch_events import BatchEvents
from benchapp.record.facts import ProcedureFacts


class DeclaredContent:
    """The declared content of a batch's containers in grams. A container's event keeps its lower limit and its target; the
    most that its label allows to give away follows from the density and from the scale it was filled on."""

    def __init__(self, stored: BatchEvents, facts: ProcedureFacts) -> None:
        self._facts = facts
        self._then, self._now = _density(stored.counted), _density(stored.counted.standing)
        first = stored.first.event
        devices = first.devices if isinstance(first, ev.MakeStarted) else ()
        scales = sorted((d for d in devices if d.kind == "scale"), key=lambda d: -(d.capacity_g or 0.0))
        self._divisions_g = {d.name: d.readability_g for d in scales if d.readability_g}

    def of(self, filled: ev.BottleFilled) -> tuple[float, float, float | None]:
        """The least, the target and the most that a container may hold, in grams; None where nobody knows the most."""
        then_g, now_g = self._grams(filled.step, self._then), self._grams(filled.step, self._now)
        if then_g is None or now_g is None or not self._divisions_g:
            return filled.low_g, filled.target_g, None
        found: Target = fill_target(now_g, self._division_g(filled, then_g))
        band = Band(filled.low_g, found.band.high) if now_g == then_g else found.band
        return band.low, filled.target_g if now_g == then_g else found.grams, band.high

    def _division_g(self, filled: ev.BottleFilled, then_g: float) -> float:
        """Of the scale it was filled on; in journals that do not name it, of the one that gives that lower limit."""
        if filled.device in self._divisions_g:
            return self._divisions_g[filled.device]
        every = list(self._divisions_g.values())
        as_made = [g for g in every if fill_target(then_g, g).band.low == filled.low_g]
        return (as_made or every)[0]

    def _grams(self, step: str, density: float | None) -> float | None:
        known = self._facts.steps.get(step)
        if known is None or known.nominal is None:
            return None
        if known.nominal_unit != "ml":
            return known.nominal
        return None if density is None else known.nominal * density


def _density(stored: BatchEvents) -> float | None:
    """The density that was measured last, in g/ml."""
    return next((e.value for e in reversed(stored.events(ev.NumberTaken)) if e.what == DENSITY), None)
