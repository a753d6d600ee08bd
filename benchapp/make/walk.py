"""Which step is next and what may interrupt it: a state machine whose place is always derived from the fold."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from transitions import Machine

from benchapp.make.state import State

HELD, LOST, DOUBTED, ALARM, FINISHED, ABANDONED = (
    "held",
    "device lost",
    "scale doubted",
    "alarm",
    "finished",
    "abandoned",
)
READY = "ready"
#: What may stand above a step, the most urgent first.
INTERRUPTS = (ALARM, HELD, LOST, DOUBTED)


class Walk:
    """The order of the steps as a ``transitions`` machine.

    It is asked, never told: ``place`` puts it where the fold says, ``may`` and ``next_step`` answer from
    there. It fires nothing by itself, so a replay has no side effects.
    """

    state: str  # set by the machine

    def __init__(self, steps: Sequence[str]) -> None:
        self.steps = tuple(steps)
        names = [f"step:{key}" for key in steps]
        self._machine = Machine(
            model=self,
            states=[READY, *names, *INTERRUPTS, FINISHED, ABANDONED],
            initial=READY,
            auto_transitions=False,
            send_event=True,
        )
        self._wire(names)

    def _wire(self, names: list[str]) -> None:
        add: Any = self._machine.add_transition
        for before, after in zip([READY, *names], [*names, FINISHED], strict=True):
            add("advance", before, after)
        working = [READY, *names]
        for trigger, dest in (("hold", HELD), ("lose", LOST), ("doubt", DOUBTED), ("alarm", ALARM)):
            add(trigger, working, dest)
        # An alarm rises above everything that is not over; a hold above a lost device.
        add("alarm", [HELD, LOST, DOUBTED], ALARM)
        add("hold", [LOST, DOUBTED], HELD)
        for trigger, source in (("resume", HELD), ("find", LOST), ("reconcile", DOUBTED), ("calm", ALARM)):
            add(trigger, source, READY)  # the fold then says which step it was
        add("abandon", [*working, *INTERRUPTS], ABANDONED)
        add("skip", [*names, LOST, DOUBTED], None)
        add("press", names, None)  # answering a step's own prompt

    def place(self, fold: State, needed: frozenset[str] = frozenset()) -> str:
        """Derive the place from the fold; ``needed`` are the devices the current act cannot go on without."""
        self.state = self._where(fold, needed)
        return self.state

    def _where(self, fold: State, needed: frozenset[str]) -> str:
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
        return f"step:{fold.step}" if fold.step else READY

    def may(self, trigger: str) -> bool:
        """Whether that trigger is allowed from where the make stands."""
        return bool(self._machine.get_transitions(trigger, source=self.state))

    def next_step(self, fold: State) -> str | None:
        """The key of the first step that is not done, None when there is none left. Some were done ahead."""
        done = {f"step:{key}" for key in fold.steps_done}
        dest: Any = READY
        while dest == READY or dest in done:
            (move,) = self._machine.get_transitions("advance", source=dest)
            dest = move.dest
        return None if dest == FINISHED else str(dest).removeprefix("step:")
