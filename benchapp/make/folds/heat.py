"""What is folded of probes, temperatures, holds, bursts."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from benchapp import events as ev
from benchapp.make.state import State


def _probe(s: State, e: ev.ProbeMoved) -> None:
    s.probes[e.probe] = e.vessel
    _settle(s, e.probe)


def _settle(s: State, probe: str) -> None:
    s.probe_doubts.pop(probe, None)
    s.probe_answers.pop(probe, None)
    s.probes_asked.discard(probe)


def _doubted(s: State, e: ev.ProbeDoubted) -> None:
    _settle(s, e.probe)
    s.probe_doubts[e.probe] = e
    s.uncredited.add(e.probe)


def _answered(s: State, e: ev.ProbeAnswered) -> None:
    s.probe_answers[e.probe] = e.answer


def _trusted(s: State, e: ev.ProbeTrusted) -> None:
    _settle(s, e.probe)
    if e.held:
        s.uncredited.discard(e.probe)


def _temps(s: State, e: ev.TemperaturesLogged) -> None:
    for vessel, temp in e.temps_c:
        s.temps_c[vessel] = (temp, e.at_s)
        if e.source is ev.Source.STATED:
            s.stated_c[vessel] = (temp, e.at_s)
        for side, further in (("above", max), ("below", min)):
            if (vessel, side) in s.excursions:
                s.peaks_c[vessel, side] = further(s.peaks_c[vessel, side], temp)
        if temp > 45.0:
            s.ledger.account(vessel).heated = True


def _band_entered(s: State, e: ev.BandEntered) -> None:
    s.progress_of(e.step).in_band.add(e.vessel)


def _band_left(s: State, e: ev.BandLeft) -> None:
    s.progress_of(e.step).in_band.discard(e.vessel)


def _out(s: State, e: ev.ExcursionBegan) -> None:
    s.excursions[e.vessel, e.side] = e
    s.peaks_c[e.vessel, e.side] = e.temp_c


def _in_again(s: State, e: ev.ExcursionEnded) -> None:
    s.excursions.pop((e.vessel, e.side), None)
    s.peaks_c.pop((e.vessel, e.side), None)


def _hold_progress(s: State, e: ev.HoldProgressed) -> None:
    s.progress_of(e.step).held_s = e.held_s


def _burst(s: State, e: ev.BurstDone) -> None:
    s.progress.count = e.number


CHANGES: dict[type[ev.Event], Callable[[State, Any], None]] = {
    ev.ProbeMoved: _probe,
    ev.TemperaturesLogged: _temps,
    ev.BandEntered: _band_entered,
    ev.BandLeft: _band_left,
    ev.HoldProgressed: _hold_progress,
    ev.BurstDone: _burst,
    ev.ProbeDoubted: _doubted,
    ev.ProbeAnswered: _answered,
    ev.ProbeTrusted: _trusted,
    ev.ExcursionBegan: _out,
    ev.ExcursionEnded: _in_again,
}
