"""Events become the state of a make: the only hand that writes in it."""

from __future__ import annotations

from collections.abc import Iterable

from benchapp import events as ev
from benchapp.make.folds import heat, judging, trouble, walk, weighing
from benchapp.make.state import State
from benchapp.make.taking_back import without

#: What changes what is asked of the maker.
_TURNS = (
    ev.ActBegan, ev.StageReached, ev.PourBegan, ev.BottleFilled, ev.AlarmRaised, ev.AlarmCleared, ev.MakeHeld,
    ev.HoldEnded, ev.DeviceLost, ev.DeviceReturned, ev.ScaleDoubted, ev.PanSeenEmpty, ev.ScaleReconciled,
    ev.VesselLifted, ev.VesselReturned, ev.MakeResumed, ev.LotRefused, ev.SteppedAside, ev.SteppedBack, ev.StepPutOff,
)  # fmt: skip
_CHANGES = walk.CHANGES | weighing.CHANGES | heat.CHANGES | judging.CHANGES | trouble.CHANGES


def fold(events: Iterable[ev.Event]) -> State:
    """The state after these events."""
    state = State()
    for event in events:
        apply(state, event)
    return state


def apply(state: State, event: ev.Event) -> None:
    """Let one event change the state. Never refuses: what happened, happened."""
    if isinstance(event, ev.ActTakenBack):
        _taken_back(state, event)
        return
    state.log.append(event)
    state.count += 1
    state.now_s = max(state.now_s, event.at_s)
    state.times.hear(event)
    if isinstance(event, _TURNS):
        state.turn += 1
    change = _CHANGES.get(type(event))
    if change is not None:
        change(state, event)


def _taken_back(s: State, e: ev.ActTakenBack) -> None:
    """The fold of what still counts; only the numbers that tell one prompt from another go on."""
    again = fold(without(s.log, e))
    again.now_s = max(s.now_s, e.at_s)
    again.turn, again.count = s.turn + 1, s.count + 1
    for name in vars(s):
        setattr(s, name, getattr(again, name))
