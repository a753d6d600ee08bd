"""From stored events to lines of the record: one event each, with names in place of keys and corrections beside it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any

from benchapp import events as ev
from benchapp.calculations.filling import fill_target
from benchapp.record.corrections import standing_events
from benchapp.record.facts import ProcedureFacts
from benchapp.record.lines import Correction, RecordLine
from benchapp.record.lot_in_hand import lots_in_hand
from benchapp.record.reconciliation import SHORT
from benchapp.record.stored_event import StoredEvent


class Writer:
    """Turns stored events into lines, knowing the procedure's names and every correction of the batch."""

    def __init__(self, stored: Sequence[StoredEvent], facts: ProcedureFacts) -> None:
        self.facts = facts
        self.corrections: dict[int, tuple[Correction, ...]] = {}
        for s in stored:
            if isinstance(e := s.event, ev.Corrected):
                found = Correction(e.field, e.old, e.new, e.reason, e.by, s.wall)
                self.corrections[e.n] = (*self.corrections.get(e.n, ()), found)
        standing = standing_events(stored)
        self._standing = {s.n: s for s in standing}
        self.lots, self.lots_now = lots_in_hand(stored), lots_in_hand(standing)
        self._density = next(
            (e.value for s in standing if isinstance(e := s.event, ev.NumberTaken) and e.what == "density"),
            None,
        )
        scales = (d for e in (stored[0].event,) if isinstance(e, ev.MakeStarted) for d in e.devices)
        self._coarse_g = max(
            ((d.capacity_g or 0.0, d.readability_g) for d in scales if d.kind == "scale" and d.readability_g),
            default=(0.0, 0.0),
        )[1]

    def fullest_g(self, step: str) -> float | None:
        """The upper limit of one container in grams, as the filling sums give it; None where it is not known."""
        found = self.facts.steps.get(step)
        if found is None or found.nominal is None or not self._coarse_g:
            return None
        if found.nominal_unit == "ml" and self._density is None:
            return None
        grams = found.nominal * (self._density or 0.0) if found.nominal_unit == "ml" else found.nominal
        return fill_target(grams, self._coarse_g).band.high

    def as_it_stands(self, s: StoredEvent) -> StoredEvent:
        """That event after every correction of it."""
        return self._standing.get(s.n, s)

    def lines(
        self, stored: Iterable[StoredEvent], make: Callable[[Writer, StoredEvent], Iterable[RecordLine]]
    ) -> tuple[RecordLine, ...]:
        """All lines of one kind, in order: as they stand, with the value and the lot that were written at first."""
        found: list[RecordLine] = []
        for s in stored:
            now = list(make(self, self.as_it_stands(s)))
            then = list(make(self, s)) if s.n in self.corrections else now
            found += (replace(a, value=b.value, lot=b.lot) for a, b in zip(now, then, strict=False))
        return tuple(found)

    def line(
        self, s: StoredEvent, step: str, what: str, value: float | None, unit: str, source: str, **more: Any
    ) -> RecordLine:
        """One line of one event."""
        found = self.corrections.get(s.n, ())
        more = {"lot_now": more.get("lot", ""), **more}
        return RecordLine(
            s.wall, s.event.at_s, step, what, value, unit, source, n=s.n, corrections=found, now=value, **more
        )


def weighing(w: Writer, s: StoredEvent) -> list[RecordLine]:
    """A weighing: name, planned and actual grams, its band, lot and scale."""
    e = s.event
    if not isinstance(e, ev.WeightTaken):
        return []
    hand, now = w.lots[s.n], w.lots_now[s.n]
    fixes = tuple(c for c in w.corrections.get(hand.n, ()) if c.field == "lot") if hand.n != s.n else ()
    line = (
        w.line(
            s, e.step, w.facts.line(e.line), e.net_g, "g", str(e.source), low=e.low_g, high=e.high_g,
            device=e.device, checked=e.checked, key=e.line, line=e.line, target=e.target_g, vessel=w.facts.vessel(e.vessel),
            lot=hand.lot, lot_now=now.lot, how=now.how, note=_out_of(e),
        )
    )  # fmt: skip
    return [replace(line, corrections=(*line.corrections, *fixes))]


def _out_of(e: ev.WeightTaken) -> str:
    """What was really on the scale, where it was a dilution."""
    weighed = f", of which {e.diluted_g:g} g were weighed" if e.diluted_g else ""
    return f"in the dilution {e.dilution}{weighed}" if e.dilution else ""


def reading(w: Writer, s: StoredEvent) -> list[RecordLine]:
    """pH, temperatures and any other number."""
    e = s.event
    step = w.facts.steps.get(getattr(e, "step", ""))
    if isinstance(e, ev.PhTaken):
        low, high = (step.low, step.high) if step else (None, None)
        what = "pH of the trial sample" if e.of == "trial" else "pH"
        strip = f"from a strip in steps of {e.step_ph:g}" if e.step_ph else ""
        note = ", ".join(x for x in ("diluted" if e.diluted else "", strip, _at(e.temp_c)) if x)
        return [w.line(s, e.step, what, e.ph, "pH", str(e.source), device=e.device, low=low, high=high, note=note)]  # fmt: skip
    if isinstance(e, ev.TrialDosed):
        what = f"{w.facts.line(e.line)} into the trial sample"
        return [w.line(s, e.step, what, e.mass_g, "g", str(e.source), device=e.device, lot=e.lot,
                       key="trial")]  # fmt: skip
    if isinstance(e, ev.DilutionMade):
        what = f"dilution {e.name}: {w.facts.line(e.line)} in {e.water_g:g} g of {w.facts.line(e.water)}"
        return [w.line(s, e.step, what, e.solution_g, "g", str(e.source), device=e.device, lot=e.lot)]
    if isinstance(e, ev.NumberTaken):
        banded = step is not None and step.unit == e.unit
        low, high = (step.low, step.high) if banded and step else (None, None)
        return [w.line(s, e.step, e.what, e.value, e.unit, str(e.source), low=low, high=high)]
    if isinstance(e, ev.TemperaturesLogged):
        return [
            w.line(s, e.step, w.facts.vessel(vessel), temp, "°C", str(e.source), key=vessel, vessel=w.facts.vessel(vessel))
            for vessel, temp in e.temps_c
        ]  # fmt: skip
    return []


def _at(temp_c: float | None) -> str:
    return "" if temp_c is None else f"sample at {temp_c:g} °C"


def look(w: Writer, s: StoredEvent) -> list[RecordLine]:
    """Something judged by eye, nose or hand."""
    e = s.event
    if not isinstance(e, ev.LookJudged):
        return []
    found = "as described" if e.as_expected else e.words
    return [w.line(s, e.step, f"{e.name}: {found}", None, "", str(ev.Source.STATED), note=e.expect)]


def container(w: Writer, s: StoredEvent) -> list[RecordLine]:
    """One container with both limits: its own lower one, and the most its label allows to give away."""
    e = s.event
    if not isinstance(e, ev.BottleFilled):
        return []
    step = w.facts.steps.get(e.step)
    name = step.container if step and step.container else "container"
    return [
        w.line(s, e.step, f"{name} {e.number}", e.net_g, "g", str(e.source), low=e.low_g, target=e.target_g,
               high=w.fullest_g(e.step))
    ]  # fmt: skip


def move(w: Writer, s: StoredEvent) -> list[RecordLine]:
    """Vessels as they stood empty, transfers, losses, samples and waste: every mass that is no weighing of a line."""
    e, name = s.event, w.facts.vessel
    measured = str(ev.Source.MEASURED)
    if isinstance(e, ev.VesselPlaced):
        if not e.empty:
            return []
        return [w.line(s, e.step, f"{name(e.vessel)}, empty", e.gross_g, "g", str(e.source), key="empty",
                       device=e.device)]  # fmt: skip
    if isinstance(e, ev.MassMoved):
        what = f"{name(e.origin)} into {name(e.into)} ({e.left_g:g} g stayed)"
        return [w.line(s, e.step, what, e.mass_g, "g", str(e.source), key="transfer")]
    if isinstance(e, ev.WaterLost):
        what = f"water lost from {name(e.vessel)}"
        return [w.line(s, e.step, what, e.lost_g, "g", str(e.source), key="water lost")]
    if isinstance(e, ev.LateDropFound):
        what = f"late drop of {w.facts.line(e.line)} into {name(e.vessel)}"
        return [w.line(s, e.step, what, e.drop_g, "g", measured, key="late drop", line=e.line,
                       device=e.device)]  # fmt: skip
    if isinstance(e, ev.SampleTaken):
        kind = "short" if e.what == SHORT else "sample"
        of = e.what if kind == "short" else f"sample ({e.what})"
        what = f"{of} out of {name(e.vessel)}"
        return [w.line(s, e.step, what, e.mass_g, "g", str(e.source), key=kind)]
    if isinstance(e, ev.MassLost):
        of = ", ".join(f"{w.facts.line(k)} {g:.3g} g" for k, g in e.lines) or "nobody knows of what"
        what = f"spilled from {name(e.vessel)} ({of})"
        return [w.line(s, e.step, what, e.lost_g, "g", measured, key="spilled", device=e.device)]
    if isinstance(e, ev.BaselineCrept):
        what = f"the {e.device} crept before the first drop; not counted"
        return [w.line(s, e.step, what, e.by_g, "g", measured, key="crept", device=e.device)]
    if isinstance(e, ev.TareChanged):
        what = f"{name(e.vessel)}: a tool or lid, not part of the batch"
        return [w.line(s, e.step, what, e.by_g, "g", measured, key="tare", device=e.device)]
    if isinstance(e, ev.MaterialRemoved):
        what = f"waste: {w.facts.line(e.line)} out of {name(e.vessel)}"
        return [w.line(s, e.step, what, e.removed_g, "g", measured, key="waste")]
    return []


def confirmation(w: Writer, s: StoredEvent) -> list[RecordLine]:
    """What the maker said yes to."""
    e = s.event
    if not isinstance(e, ev.Confirmed):
        return []
    return [w.line(s, e.step, e.text, None, "", str(ev.Source.STATED), key=w.facts.kind(e.step))]


def in_hand(w: Writer, s: StoredEvent) -> list[RecordLine]:
    """Which lot was in hand."""
    e = s.event
    if not isinstance(e, ev.LotTaken):
        return []
    what = f"lot in hand for {w.facts.line(e.line)}: {e.lot or 'none'}"
    return [w.line(s, e.step, what, None, "", str(ev.Source.STATED), lot=e.lot)]


def wait(w: Writer, s: StoredEvent) -> list[RecordLine]:
    """Bursts, interruptions and what the devices did: time that passed for a reason."""
    e, computed = s.event, str(ev.Source.COMPUTED)
    if isinstance(e, ev.BurstDone):
        return [w.line(s, e.step, f"burst {e.number} of the blender", e.seconds, "s", str(e.source))]
    if isinstance(e, ev.BurstUnknown):
        return [w.line(s, e.step, f"burst {e.number} of the blender: not known. {e.why}", None, "", computed)]
    if isinstance(e, ev.BandEntered | ev.BandLeft):
        word = "came into its band" if isinstance(e, ev.BandEntered) else "left its band"
        return [w.line(s, e.step, f"{w.facts.vessel(e.vessel)} {word}", e.temp_c, "°C", str(e.source))]
    if isinstance(e, ev.HoldEnded):
        return [w.line(s, "", "held; the maker came back", e.held_s, "s", computed)]
    if isinstance(e, ev.MakeHeld):
        return [w.line(s, "", f"put on hold: {e.reason}", None, "", str(ev.Source.STATED))]
    if isinstance(e, ev.SteppedAside):
        return [w.line(s, e.step, f"waited; meanwhile: {w.facts.step(e.into)}", None, "", computed)]
    if isinstance(e, ev.SteppedBack):
        text = "meanwhile: done" if e.why == "done" else f"meanwhile: not finished. {e.why}"
        return [w.line(s, e.step, text, None, "", computed)]
    if isinstance(e, ev.MakeResumed):
        return [w.line(s, "", "program started again; nobody watched for", round(e.gap_s, 1), "s", computed)]
    return _probes(w, s) or _trouble(w, s)


def _probes(w: Writer, s: StoredEvent) -> list[RecordLine]:
    """Probes in doubt and what was said of them; temperatures beyond a limit, with peak and length."""
    e, measured = s.event, str(ev.Source.MEASURED)
    if isinstance(e, ev.ProbeDoubted):
        return [w.line(s, "", f"{e.probe} in doubt: {e.text}", e.to_c, "°C", measured)]
    if isinstance(e, ev.ProbeAnswered):
        what = f"{e.probe} in the {w.facts.vessel(e.vessel)}, the maker says: {e.answer}"
        return [w.line(s, "", what, e.shows_c, "°C", str(ev.Source.STATED))]
    if isinstance(e, ev.ProbeTrusted):
        return [w.line(s, "", f"{e.probe} counts again: {e.why}", e.temp_c, "°C", measured)]
    if isinstance(e, ev.ExcursionBegan):
        what = f"{w.facts.vessel(e.vessel)} went {e.side} {e.limit_c:g} °C"
        return [w.line(s, e.step, what, e.temp_c, "°C", measured)]
    if isinstance(e, ev.ExcursionEnded):
        most = "peak" if e.side == "above" else "lowest"
        what = f"{w.facts.vessel(e.vessel)} was {e.side} {e.limit_c:g} °C for {e.lasted_s:.0f} s, {most}"
        return [w.line(s, e.step, what, e.peak_c, "°C", measured)]
    return []


def _trouble(w: Writer, s: StoredEvent) -> list[RecordLine]:
    """Devices lost, doubted and found again; alarms."""
    e, measured = s.event, str(ev.Source.MEASURED)
    if isinstance(e, ev.DeviceLost):
        return [w.line(s, "", e.text, None, "", measured, device=e.device)]
    if isinstance(e, ev.DeviceReturned):
        return [w.line(s, "", f"{e.device} speaks again", None, "", measured, device=e.device)]
    if isinstance(e, ev.ScaleDoubted):
        return [w.line(s, "", f"{e.device} doubted: {e.why}", None, "", measured, device=e.device)]
    if isinstance(e, ev.PanSeenEmpty):
        return [w.line(s, "", f"{e.device} with an empty pan", e.zero_g, "g", measured, device=e.device)]
    if isinstance(e, ev.ZeroShifted):
        return [w.line(s, "", f"{e.device} goes on from another zero, shifted by", e.by_g, "g", measured, device=e.device)]  # fmt: skip
    if isinstance(e, ev.ScaleReconciled):
        on = w.facts.vessel(e.vessel) if e.vessel else "its empty pan"
        what = f"{e.device} seen again with {on}, {e.expected_g:g} g expected"
        return [w.line(s, "", what, e.found_g, "g", measured, device=e.device)]
    if isinstance(e, ev.AlarmRaised):
        return [w.line(s, "", f"alarm: {e.text}", None, "", measured)]
    if isinstance(e, ev.AlarmCleared):
        return [w.line(s, "", f"alarm seen to: {e.how}", None, "", str(ev.Source.STATED))]
    return []
