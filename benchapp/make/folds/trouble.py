"""What is folded of deviations, lost devices, doubted scales, alarms."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from benchapp import events as ev
from benchapp.foundation.language import tr_noop
from benchapp.make.state import State


def _deviation(s: State, e: ev.DeviationNoted) -> None:
    s.deviations.append(e)
    if e.kind.startswith("unchecked "):
        s.noted_unchecked.add(e.kind.removeprefix("unchecked "))


def _lost(s: State, e: ev.DeviceLost) -> None:
    s.lost[e.device] = e.text
    if e.most_g is not None:
        s.stood_g[e.device] = (e.least_g if e.least_g is not None else e.most_g, e.most_g)


def _device_back(s: State, e: ev.DeviceReturned) -> None:
    s.lost.pop(e.device, None)


def _doubted(s: State, e: ev.ScaleDoubted) -> None:
    s.doubted[e.device] = tr_noop("empty pan")
    s.doubt_why[e.device] = e.why


def _pan_empty(s: State, e: ev.PanSeenEmpty) -> None:
    if (
        s.progress.baseline_g is not None
    ):  # what was begun on it stands above its new zero as it did above the old one
        s.progress.baseline_g += e.zero_g - s.zero_g.get(e.device, 0.0)
    s.zero_g[e.device] = e.zero_g
    s.on_scale.pop(e.device, None)  # whatever stood there last
    if e.device in s.doubted:
        s.doubted[e.device] = "vessel"


def _reconciled(s: State, e: ev.ScaleReconciled) -> None:
    s.doubted.pop(e.device, None)
    s.doubt_why.pop(e.device, None)
    s.progress.lifted = False
    if e.vessel:
        s.on_scale[e.device] = e.vessel
    if s.progress.baseline_g is not None and e.vessel:
        # The display may stand on another zero now: what was poured before is kept by moving the baseline.
        account = s.ledger.of(e.vessel)
        if account.gross_g is not None:
            s.progress.baseline_g = account.gross_g + s.zero_g.get(e.device, 0.0)


def _zero_shifted(s: State, e: ev.ZeroShifted) -> None:
    s.zero_g[e.device] = s.zero_g.get(e.device, 0.0) + e.by_g


def _alarm(s: State, e: ev.AlarmRaised) -> None:
    s.alarm = e
    if e.probe:
        s.probes_asked |= {e.probe, *(d.probe for d in s.doubted_with(e.probe))}


def _alarm_cleared(s: State, e: ev.AlarmCleared) -> None:
    s.alarm = None


CHANGES: dict[type[ev.Event], Callable[[State, Any], None]] = {
    ev.DeviationNoted: _deviation,
    ev.DeviceLost: _lost,
    ev.DeviceReturned: _device_back,
    ev.ScaleDoubted: _doubted,
    ev.PanSeenEmpty: _pan_empty,
    ev.ScaleReconciled: _reconciled,
    ev.ZeroShifted: _zero_shifted,
    ev.AlarmRaised: _alarm,
    ev.AlarmCleared: _alarm_cleared,
}
