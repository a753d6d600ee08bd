"""What a make is at just now, from the newest of its events: for whoever looks at it from another machine."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchapp import events as ev
from benchapp.record.journal import Journal
from benchapp.record.stored_event import StoredEvent

#: What says where a make stands and what is wrong there.
LIVE = (
    ev.StepBegan, ev.SteppedBack, ev.StepFinished, ev.StepSkipped, ev.MakeHeld, ev.HoldEnded, ev.AlarmRaised, ev.AlarmCleared,
    ev.DeviceLost, ev.DeviceReturned, ev.ScaleDoubted, ev.ScaleReconciled, ev.ExcursionBegan, ev.TemperaturesLogged,
)  # fmt: skip

#: The kind of alarm that says a vessel is too hot, and how much more dangerous than any other that is, in kelvin above its band.
TOO_HOT, HOT = "too hot", 2.0


@dataclass(frozen=True, slots=True)
class LiveMake:
    """Where a make stands. ``step`` "": between two steps, or not begun; ``since_s`` the make's own time at which it began, ``now_s`` that of its newest
    event, written at ``as_of``. ``held``: why nobody goes on; ``wrong``: alarms, lost devices and doubted scales, a sentence each; ``danger``
    tells which make to go to first: that which is hottest above its band, then one with another alarm."""

    step: str
    since_s: float
    now_s: float
    as_of: str
    done: frozenset[str]
    held: str
    wrong: tuple[str, ...]
    danger: float = 0.0


def live_of(stored: Iterable[StoredEvent], newest: StoredEvent | None) -> LiveMake:
    """How an unfinished batch stands: the fold of events of LIVE, in order, and of the ``newest`` of any kind."""
    step, since_s, held = "", 0.0, ""
    done: set[str] = set()
    wrong: dict[tuple[str, str], str] = {}
    hot, temps_c, limits_c = "", dict[str, float](), dict[str, float]()
    for s in stored:
        e = s.event
        match e:
            case ev.StepBegan() | ev.SteppedBack():
                step, since_s = e.step, e.at_s
            case ev.StepFinished() | ev.StepSkipped():
                done.add(e.step)
                step = "" if step == e.step else step
            case ev.MakeHeld():
                held = e.reason
            case ev.HoldEnded():
                held = ""
            case ev.AlarmRaised():
                wrong["alarm", e.kind] = e.text
                hot = e.vessel if e.kind == TOO_HOT else hot
            case ev.AlarmCleared():
                wrong.pop(("alarm", e.kind), None)
                hot = "" if e.kind == TOO_HOT else hot
            case ev.ExcursionBegan(side="above"):
                limits_c[e.vessel], temps_c[e.vessel] = e.limit_c, e.temp_c
            case ev.TemperaturesLogged():
                temps_c.update(e.temps_c)
            case ev.DeviceLost():
                wrong["lost", e.device] = e.text
            case ev.DeviceReturned():
                wrong.pop(("lost", e.device), None)
            case ev.ScaleDoubted():
                wrong["doubted", e.device] = e.why
            case ev.ScaleReconciled():
                wrong.pop(("doubted", e.device), None)
    as_of, now_s = (newest.wall, newest.event.at_s) if newest is not None else ("", 0.0)
    danger = float(any(what == "alarm" for what, _ in wrong))
    if hot:
        danger = HOT + max(temps_c.get(hot, 0.0) - limits_c.get(hot, math.inf), 0.0)
    return LiveMake(step, since_s, now_s, as_of, frozenset(done), held, tuple(wrong.values()), danger)


def still_took_s(journal: Journal, batches: Sequence[str], step: str) -> list[float]:
    """How long each of some finished makes took from the beginning of a step to its end, by its own time; those left out that did not come
    to it."""
    found = list[float]()
    for stored in journal.of_batches((ev.StepBegan, ev.MakeFinished), batches).values():
        events = [s.event for s in stored]
        began = next((e.at_s for e in events if isinstance(e, ev.StepBegan) and e.step == step), None)
        ended = next((e.at_s for e in reversed(events) if isinstance(e, ev.MakeFinished)), None)
        if began is not None and ended is not None:
            found.append(ended - began)
    return found
