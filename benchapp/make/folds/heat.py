"""What is folded of probes, temperatures, holds, bursts."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from benchapp import events as ev
from benchapp.make.state import State


def _probe(s: State, e: ev.ProbeMoved) -> None:
    s.probes[e.probe] = e.vessel


def _temps(s: State, e: ev.TemperaturesLogged) -> None:
    for vessel, temp in e.temps_c:
        s.temps_c[vessel] = (temp, e.at_s)
        if temp > 45.0:
            s.ledger.account(vessel).heated = True


def _band_entered(s: State, e: ev.BandEntered) -> None:
    s.progress_of(e.step).in_band.add(e.vessel)


def _band_left(s: State, e: ev.BandLeft) -> None:
    s.progress_of(e.step).in_band.discard(e.vessel)


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
}
