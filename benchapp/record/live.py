"""What a make is at just now, from the newest of its events: for whoever looks at it from another machine."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.events.step_times import KINDS, StepTimes
from benchapp.record.stored_event import StoredEvent

#: What says where a make stands and what is wrong there.
LIVE = (
    *KINDS, ev.AlarmRaised, ev.AlarmCleared, ev.DeviceLost, ev.DeviceReturned, ev.ScaleDoubted, ev.ScaleReconciled, ev.ExcursionBegan,
    ev.TemperaturesLogged,
)  # fmt: skip

#: The alarm that comes before any other.
TOO_HOT = "too hot"
#: That of a probe, whose number is not to be relied on.
PROBE = "probe"
#: What a vessel that is too hot begins with, and every kelvin above its band adds to: more than any other alarm, which counts 1 (ours).
HOT = 2.0


@dataclass(frozen=True, slots=True)
class LiveMake:
    """Where a make stands, ``times`` by its steps; ``now_s`` is the make's own time of its newest event, written at ``as_of``. ``held``: why
    nobody goes on; ``wrong``: alarms, lost devices and doubted scales, a sentence each; ``danger`` tells which make to go to first: that which
    is hottest above its band, then one with another alarm; ``alarm``: the kind of the gravest, "" none; ``vessel``: the key of the one it is about, and
    ``temp_c``, what that was last read at, None where nobody knows."""

    times: StepTimes
    now_s: float
    as_of: str
    held: str
    wrong: tuple[str, ...]
    danger: float = 0.0
    alarm: str = ""
    vessel: str = ""
    temp_c: float | None = None


def live_of(stored: Sequence[StoredEvent], newest: StoredEvent | None) -> LiveMake:
    """How an unfinished batch stands: the fold of events of LIVE, in order, and of the ``newest`` of any kind."""
    held = ""
    wrong: dict[tuple[str, str], str] = {}
    vessels: dict[str, str] = {}
    for s in stored:
        e = s.event
        match e:
            case ev.MakeHeld():
                held = e.reason
            case ev.HoldEnded():
                held = ""
            case ev.AlarmRaised():
                wrong["alarm", e.kind], vessels[e.kind] = e.text, e.vessel
            case ev.AlarmCleared():
                wrong.pop(("alarm", e.kind), None)
            case ev.DeviceLost():
                wrong["lost", e.device] = e.text
            case ev.DeviceReturned():
                wrong.pop(("lost", e.device), None)
            case ev.ScaleDoubted():
                wrong["doubted", e.device] = e.why
            case ev.ScaleReconciled():
                wrong.pop(("doubted", e.device), None)
    as_of, now_s = (newest.wall, newest.event.at_s) if newest is not None else ("", 0.0)
    kinds = [kind for what, kind in wrong if what == "alarm"]
    alarm = TOO_HOT if TOO_HOT in kinds else next(iter(kinds), "")
    vessel = vessels.get(alarm, "")
    temps_c, limits_c = _temperatures(stored) if kinds else ({}, {})
    danger = 1.0 if kinds else 0.0
    if alarm == TOO_HOT:
        danger = HOT + max(temps_c.get(vessel, 0.0) - limits_c.get(vessel, math.inf), 0.0)
    temp_c = None if alarm == PROBE else temps_c.get(vessel)
    times = StepTimes.of(s.event for s in stored)
    return LiveMake(times, now_s, as_of, held, tuple(wrong.values()), danger, alarm, vessel, temp_c)


def _temperatures(stored: Sequence[StoredEvent]) -> tuple[dict[str, float], dict[str, float]]:
    """What each vessel was last read at, and the limit that it last went above, in °C."""
    temps_c, limits_c = dict[str, float](), dict[str, float]()
    for s in stored:
        match s.event:
            case ev.ExcursionBegan(side="above", vessel=vessel, limit_c=limit_c, temp_c=temp_c):
                limits_c[vessel], temps_c[vessel] = limit_c, temp_c
            case ev.TemperaturesLogged(temps_c=logged):
                temps_c.update(logged)
    return temps_c, limits_c
