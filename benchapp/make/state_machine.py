"""Which step is next and what may interrupt it: a state machine that the events of the fold drive.

It is no second truth: every event that is folded fires its trigger here, what the machine does not allow is refused,
and ``derived`` says from the fold alone where it has to stand (a test holds the two against each other).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from transitions import EventData, Machine, MachineError

from benchapp import events as ev
from benchapp.foundation.language import tr
from benchapp.make.state import State

READY = "ready"
HELD, LOST, DOUBTED, ALARM = "held", "device_lost", "scale_doubted", "alarm"
FINISHED, ABANDONED = "finished", "abandoned"
#: What may stand above a step, the most urgent first.
INTERRUPTS = (ALARM, HELD, LOST, DOUBTED)

#: The trigger each kind of event fires; all other events move nothing here.
TRIGGERS: dict[type[ev.Event], str] = {
    ev.StepBegan: "begin",
    ev.StepFinished: "leave",
    ev.StepSkipped: "skip",
    ev.StepPutOff: "put_off",
    ev.SteppedAside: "step_aside",
    ev.SteppedBack: "step_back",
    ev.MakeHeld: "hold",
    ev.HoldEnded: "resume",
    ev.AlarmRaised: "alarm",
    ev.AlarmCleared: "calm",
    ev.MakeFinished: "finish",
    ev.MakeAbandoned: "abandon",
}


class ImpossibleEvent(Exception):
    """An event that cannot happen where the make stands: a fault in the program, or a journal that was altered."""


class StepMachine:
    """The order of the steps, and what may interrupt them, as a ``transitions`` machine.

    ``state`` is where the make stands: ready, in a step, or under what stands above it.
    """

    state: str  # set by the machine

    def __init__(
        self,
        steps: Sequence[str],
        machine: type[Machine] = Machine,
        groups: Mapping[str, str] | None = None,
        **options: Any,
    ) -> None:
        self.steps, self._groups = tuple(steps), dict(groups or {})
        self._places = [f"step_{key}" for key in steps]
        self.machine = machine(
            model=self,
            states=[READY, *self._places, *INTERRUPTS, FINISHED, ABANDONED],
            initial=READY,
            auto_transitions=False,
            send_event=True,
            **options,
        )
        self._wire()

    def _wire(self) -> None:
        add: Any = self.machine.add_transition
        working = [READY, *self._places]
        below = [*working, LOST, DOUBTED]
        for key, place in zip(self.steps, self._places, strict=True):
            add("begin", READY, place, conditions=[_names(key), self._in_turn])
            add("step_back", below, place, conditions=_names(key))
        inside = [*self._places, LOST, DOUBTED]  # what a person can say without a device ends a step too
        add("leave", inside, READY)
        add("skip", inside, READY)
        add("put_off", inside, READY)
        add("step_aside", inside, READY)
        add("finish", READY, FINISHED)
        add("abandon", [*below, ALARM, HELD], ABANDONED)
        add("hold", below, HELD)
        add("alarm", [*below, HELD], ALARM)  # above everything that is not over
        add("lose", [*working, DOUBTED], LOST)
        add("doubt", working, DOUBTED)
        add("calm", ALARM, HELD, conditions=_held)
        for trigger, source in (("calm", ALARM), ("resume", HELD), ("find", LOST), ("reconcile", DOUBTED)):
            for key, place in zip(self.steps, self._places, strict=True):
                add(trigger, source, place, conditions=_in_step(key))
            add(trigger, source, READY)

    def _in_turn(self, data: EventData) -> bool:
        """Steps follow in their order; while a wait goes on, a later one may be done ahead, and one of a group before
        the others of it."""
        fold: State = data.kwargs["fold"]
        due, key = self.next_step(fold), data.kwargs["event"].step
        together = due is not None and self._groups.get(due) == self._groups.get(key) is not None
        return fold.waiting is not None or due == key or (together and key not in fold.steps_done)

    def fire(self, event: ev.Event, fold: State, needed: frozenset[str]) -> None:
        """Let an event that is folded move the machine; ``needed`` are the devices the act cannot go on without.

        Raises ImpossibleEvent for one that cannot happen where the make stands.
        """
        trigger = TRIGGERS.get(type(event))
        if trigger is not None:
            try:
                moved = self.trigger(trigger, fold=fold, event=event)  # type: ignore[attr-defined]
            except MachineError:
                moved = False
            if not moved:
                raise ImpossibleEvent(
                    tr("{name__} cannot happen at {state}.", name__=type(event).__name__, state=self.state)
                )
        self._interrupted(fold, needed)

    def _interrupted(self, fold: State, needed: frozenset[str]) -> None:
        """Devices come and go, and so do the acts that need them."""
        lost, doubted = bool(needed & fold.lost.keys()), bool(needed & fold.doubted.keys())
        given: dict[str, Any] = {"fold": fold, "event": None}
        if self.state == LOST and not lost:
            self.find(**given)  # type: ignore[attr-defined]
        if self.state == DOUBTED and not doubted:
            self.reconcile(**given)  # type: ignore[attr-defined]
        if lost and self.may("lose"):
            self.lose(**given)  # type: ignore[attr-defined]
        elif doubted and self.may("doubt"):
            self.doubt(**given)  # type: ignore[attr-defined]

    def stand(self, fold: State, needed: frozenset[str] = frozenset()) -> None:
        """Stand where the fold says, after something was taken back."""
        self.state = derived(fold, needed)

    def may(self, trigger: str) -> bool:
        """Whether that trigger is allowed from where the make stands."""
        return bool(self.machine.get_transitions(trigger, source=self.state))

    def next_step(self, fold: State) -> str | None:
        """The key of the first step that is not done, None when there is none left. Some were done ahead."""
        done = set(fold.steps_done)
        return next((key for key in self.steps if key not in done), None)


def derived(fold: State, needed: frozenset[str]) -> str:
    """Where a make stands, by the fold alone."""
    if fold.over:
        return FINISHED if fold.finished else ABANDONED
    if fold.alarm is not None:
        return ALARM
    if fold.held_since_s is not None:
        return HELD
    if needed & fold.lost.keys():
        return LOST
    if needed & fold.doubted.keys():
        return DOUBTED
    return f"step_{fold.step}" if fold.step else READY


def _names(key: str) -> Any:
    def named(data: EventData) -> bool:
        return bool(data.kwargs["event"].step == key)

    named.__name__ = f"it is {key}"
    return named


def _in_step(key: str) -> Any:
    def inside(data: EventData) -> bool:
        return bool(data.kwargs["fold"].step == key)

    inside.__name__ = f"in {key}"
    return inside


def _held(data: EventData) -> bool:
    return data.kwargs["fold"].held_since_s is not None
