"""What is folded of pH, numbers, containers."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from benchapp import events as ev
from benchapp.make.state import State


def _ph(s: State, e: ev.PhTaken) -> None:
    if e.of == "trial":
        s.trial.append(e)
        return
    s.phs.append(e)
    s.progress.value = e.ph


def _trial(s: State, e: ev.TrialDosed) -> None:
    s.trial.append(e)


def _reader(s: State, e: ev.PhReaderStated) -> None:
    s.ph_step = e.step_ph


def _diluted(s: State, e: ev.DilutionMade) -> None:
    s.dilutions[e.line] = e
    s.diluted_left_g[e.line] = e.solution_g + e.water_g


def _number(s: State, e: ev.NumberTaken) -> None:
    s.numbers[e.what] = e.value
    s.progress.value = e.value


def _bottle(s: State, e: ev.BottleFilled) -> None:
    s.bottles.setdefault(e.step, []).append(e)
    s.ledger.lose_evenly(e.vessel, e.net_g)
    s.progress.baseline_g = None
    s.progress.count = e.number


CHANGES: dict[type[ev.Event], Callable[[State, Any], None]] = {
    ev.PhTaken: _ph,
    ev.TrialDosed: _trial,
    ev.PhReaderStated: _reader,
    ev.DilutionMade: _diluted,
    ev.NumberTaken: _number,
    ev.BottleFilled: _bottle,
}
